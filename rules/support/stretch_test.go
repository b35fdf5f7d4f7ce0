package support

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// TestStretch compares the boundary past an overhang of 254 mm with closed forms:
// a point of the boundary is past it where the support lies farther off, for
// from there the shortest chord runs straight to the support.
func TestStretch(t *testing.T) {
	limits := Limits{Span: 914, Cantilever: 254}
	rect := func(x0, y0, x1, y1 float64) geom.Loop {
		return geom.Polygon(geom.Point{X: x0, Y: y0}, geom.Point{X: x1, Y: y0}, geom.Point{X: x1, Y: y1}, geom.Point{X: x0, Y: y1})
	}
	origin := geom.Point{}
	// Up the ends, 40 beside the cabinet, to where its corner is 254 off.
	side := 290 - math.Sqrt(254*254-40*40)
	beside := math.Sqrt(254*254 - 240*240) // of a strut that ends 240 off
	for _, tc := range []struct {
		name     string
		outline  geom.Loop
		cutout   geom.Loop
		supports []geom.Loop
		want     []float64 // the places' stretches, the longest first
	}{
		{"a straight front", rect(0, 0, 2400, 1000), nil,
			[]geom.Loop{rect(0, 300, 2400, 1000)}, []float64{2400 + 2*46}},
		{"a whole front, its worst points in the corners", rect(0, 0, 2700, 1050), nil,
			[]geom.Loop{rect(40, 290, 2660, 1010)}, []float64{2700 + 2*side}},
		{"a front whose corners are cut off", geom.Polygon(geom.Point{X: 200}, geom.Point{X: 2200}, geom.Point{X: 2400, Y: 200}, geom.Point{X: 2400, Y: 1000}, geom.Point{X: 0, Y: 1000}, geom.Point{X: 0, Y: 200}), nil,
			[]geom.Loop{rect(0, 300, 2400, 1000)}, []float64{2000 + 2*46*math.Sqrt2}},
		{"a square top on a square post", rect(-450, -450, 450, 450), nil,
			[]geom.Loop{rect(-100, -100, 100, 100)}, []float64{3600}},
		{"a round table", geom.Circle(origin, 600), nil,
			[]geom.Loop{geom.Circle(origin, 300)}, []float64{2 * math.Pi * 600}},
		{"a bowed front, worst in its middle", geom.Loop{
			{A: geom.Point{X: -1000, Y: 0}, B: geom.Point{X: 1000, Y: 0}, Bulge: 0.1}, geom.Line(geom.Point{X: 1000, Y: 0}, geom.Point{X: 1000, Y: 900}),
			geom.Line(geom.Point{X: 1000, Y: 900}, geom.Point{X: -1000, Y: 900}), geom.Line(geom.Point{X: -1000, Y: 900}, geom.Point{X: -1000, Y: 0})}, nil,
			[]geom.Loop{rect(-1000, 200, 1000, 900)}, []float64{beyond(1000, 0.1, 54)}},
		{"a front with a strut in it", rect(0, 0, 2400, 1000), nil,
			[]geom.Loop{rect(0, 300, 2400, 1000), rect(1180, 240, 1300, 300)}, []float64{46 + 1180 - beside, 2400 - 1300 - beside + 46}},
		{"a front with two narrow brackets that carry what is between them", rect(0, 0, 1900, 1000), nil,
			[]geom.Loop{rect(0, 300, 1900, 1000), rect(480, 254, 520, 300), rect(1340, 254, 1380, 300)}, []float64{1900 - 1380 + 46, 480 + 46}},
		{"the edge of a cutout, carried at its ends", rect(0, 0, 2400, 1300), rect(600, 650, 1800, 1000),
			[]geom.Loop{rect(0, 0, 2400, 340), rect(0, 0, 600, 1300), rect(1800, 0, 2400, 1300), rect(0, 1000, 2400, 1300)}, []float64{1200 - 2*254}},
	} {
		for _, angle := range []float64{0, 90, 180, 33} {
			t.Run(fmt.Sprintf("%s, turned by %g", tc.name, angle), func(t *testing.T) {
				a := angle * math.Pi / 180
				tp := &piece.Template{HasSupport: true, Pieces: []piece.Piece{{ID: "A", Outline: tc.outline.Rotate(a), Thickness: 30}}}
				if tc.cutout != nil {
					tp.Pieces[0].Cutouts = []piece.Cutout{{Kind: piece.Sink, Loop: tc.cutout.Rotate(a).Reverse()}}
				}
				for _, s := range tc.supports {
					tp.Supports = append(tp.Supports, piece.Support{Area: s.Rotate(a)})
				}
				r := modelOf(tp, 80).Past(limits)
				var got []float64
				for i := range r.Places {
					if p := &r.Places[i]; p.Kind != Cantilever {
						t.Errorf("a place that is no overhang: %v at %v", p.Kind, p.At)
					}
					got = append(got, r.Places[i].Stretch)
				}
				slices.SortFunc(got, func(a, b float64) int { return cmp.Compare(b, a) })
				if len(got) != len(tc.want) {
					t.Fatalf("%v, want %v", got, tc.want)
				}
				for i, want := range tc.want {
					// To half a mm, and where the overhang grows slowly past its limit along
					// the edge (beside a bracket) to a mm at each end.
					if math.Abs(got[i]-want) > 2 {
						t.Errorf("%v, want %v", got[i], want)
					}
				}
			})
		}
	}
}

// beyond is the length of the part of an arc over a chord of 2h that lies more
// than depth beyond the chord: the sagitta is h bulge, the radius
// h (1+bulge^2) / (2 bulge).
func beyond(h, bulge, depth float64) float64 {
	r := h * (1 + bulge*bulge) / (2 * bulge)
	return 2 * r * math.Acos((r-h*bulge+depth)/r)
}
