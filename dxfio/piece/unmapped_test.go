package piece

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// A sink on a layer with a new name was left out of the stone, and nothing but a
// count of curves told of it.
func TestUnmappedLoops(t *testing.T) {
	const top = "COUNTER: 0,0 1500,0 1500,560 0,560 close\nCOUNTER: 2000,0 3000,0 3000,560 2000,560 close\nSINK: 900,100 1300,100 1300,450 900,450 close\n"
	for _, tc := range []struct {
		name, drawing string
		closed, open  int
		piece         string
	}{
		{"a sink", "LAYER 7: 180,20 610,20 610,350 180,350 close", 1, 0, "A"},
		{"a sink of loose lines", "LAYER 7: 180,20 610,20 610,350 180,350 180,20 loose", 1, 0, "A"},
		{"loose lines that miss each other by less than the joining distance", "LAYER 7: 180,20 610,20 loose\nLAYER 7: 610.3,20 610,350 loose\nLAYER 7: 610,350.2 180,350 loose\nLAYER 7: 180,350 180,20.4 loose", 1, 0, "A"},
		{"a tap hole", "HAHN: circle 200,500 d35", 1, 0, "A"},
		{"a point's mark", "PUNKT: circle 200,500 d9", 0, 0, ""},
		{"two in the second piece", "LAYER 7: circle 2300,280 d300\nLAYER 7: circle 2700,280 d300", 2, 0, "B"},
		{"a cabinet across the front", "LAYER 8: 10,-30 1400,-30 1400,520 10,520 close", 1, 0, "A"},
		{"an open line through the stone", "LASER: 100,100 800,100 800,300", 0, 2, "A"},
		{"lines from edge to edge that do not close", "LASER: 100,0 100,560\nLASER: 300,0 300,560", 0, 2, "A"},
		{"a clipped corner", "LASER: 1400,0 1500,100", 0, 1, "A"},
		{"a tick across the edge", "LASER: 700,-20 700,20", 0, 0, ""},
		{"a line along the edge", "LASER: 0,3 1500,3", 0, 0, ""},
		{"beside the stone", "LAYER 9: -500,-500 -100,-500 -100,-100 -500,-100 close", 0, 0, ""},
		{"around all stone", "LAYER 9: -500,-500 4000,-500 4000,1000 -500,1000 close", 0, 0, ""},
		{"the outline once more", "LAYER 6: 0,0 1500,0 1500,560 0,560 close", 0, 0, ""},
		{"the bowl inside a sink", "MULDE: 950,150 1250,150 1250,400 950,400 close", 0, 0, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tpl := build(t, top+tc.drawing)
			var found *Problem
			for i := range tpl.Problems {
				if tpl.Problems[i].Kind == UnmappedLayer {
					found = &tpl.Problems[i]
				}
			}
			if found == nil || found.Closed != tc.closed || found.Open != tc.open || found.Piece != tc.piece {
				t.Fatalf("%+v, want %d closed and %d open in %q", found, tc.closed, tc.open, tc.piece)
			}
			// The place of a closed line is its middle: of the sinks 180..610 x 20..350.
			if strings.HasPrefix(tc.name, "a sink") && found.At.Distance(geom.Point{X: 395, Y: 185}) > 1e-6 {
				t.Errorf("it stands at %v", found.At)
			}
		})
	}
}

// However the lines of closed polygons and open runs are shuffled and turned
// around, the closed ones are those that close.
func TestClosedGroupsOfShuffledLines(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for range 200 {
		b := &builder{d: &dxfio.Drawing{}}
		b.ts.Join = 0.5
		want := 0
		for n := range 1 + r.IntN(6) {
			corners := 3 + r.IntN(6)
			center := geom.Point{X: float64(n) * 1000}
			at := func(k int) geom.Point {
				s, c := math.Sincos(2 * math.Pi * float64(k%corners) / float64(corners))
				near := geom.Point{X: r.Float64() * 0.3, Y: r.Float64() * 0.3} // within the joining distance of each other
				return center.Add(geom.Point{X: 300 * c, Y: 300 * s}).Add(near)
			}
			sides := corners
			if r.IntN(2) == 0 {
				sides-- // one side is missing
			} else {
				want++
			}
			for k := range sides {
				c := geom.Line(at(k), at(k+1))
				if r.IntN(2) == 0 {
					c = c.Reverse()
				}
				b.d.Curves = append(b.d.Curves, dxfio.Curve{Curve: c})
			}
		}
		ids := make([]int32, len(b.d.Curves))
		for i, k := range r.Perm(len(ids)) {
			ids[i] = int32(k)
		}
		curves := make([]geom.Curve, len(ids))
		for i, id := range ids {
			curves[i] = b.d.Curves[id].Curve
		}
		if got, _ := closedGroups(curves, 0.5); len(got) != want {
			t.Fatalf("%d closed groups, want %d", len(got), want)
		}
	}
}
