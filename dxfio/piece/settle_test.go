package piece

import (
	"math"
	"testing"

	"trueup/dxfio/geom"
)

// A line that runs on past its outline by more than bridging trims (3 mm) bounds
// nothing there: DESIGN section 3, nothing is changed silently. Lengths and
// places are what was drawn.
func TestTails(t *testing.T) {
	type tail struct {
		length   float64
		from, to geom.Point
	}
	const top = "COUNTER: 2400,0 2400,600 0,600 0,0 loose\n"
	for _, tc := range []struct {
		name, text string
		pieces     int
		want       []tail
	}{
		{"trimmed", top + "COUNTER: 0,0 2402.9,0 loose", 1, nil},
		{"just past trimming", top + "COUNTER: 0,0 2403.1,0 loose", 1, []tail{{3.1, geom.Point{X: 2400}, geom.Point{X: 2403.1}}}},
		{"an arm that was never drawn", top + "COUNTER: 0,0 3200,0 loose", 1, []tail{{800, geom.Point{X: 2400}, geom.Point{X: 3200}}}},
		{"both ends", top + "COUNTER: -40,0 2460,0 loose", 1, []tail{{40, geom.Point{X: -40}, geom.Point{}}, {60, geom.Point{X: 2400}, geom.Point{X: 2460}}}},
		{"one line along two tops", "COUNTER: 0,0 3000,0 loose\nCOUNTER: 1000,0 1000,600 0,600 0,0 loose\nCOUNTER: 3000,0 3000,600 1200,600 1200,0 loose",
			2, []tail{{200, geom.Point{X: 1000}, geom.Point{X: 1200}}}},
		{"a sink's line", "COUNTER: 0,0 2400,0 2400,600 0,600 close\nSINK: 1400,100 1400,500 800,500 800,100 loose\nSINK: 800,100 1430,100 loose",
			1, []tail{{30, geom.Point{X: 1400, Y: 100}, geom.Point{X: 1430, Y: 100}}}},
		{"a wall lends its stretch and runs on", "COUNTER: 2400,600 2400,0 0,0 0,600 loose\nWALL: -500,600 3000,600 loose", 1, nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := build(t, tc.text)
			if len(got.Pieces) != tc.pieces {
				t.Fatalf("%d pieces, want %d", len(got.Pieces), tc.pieces)
			}
			var found []Problem
			for _, p := range got.Problems {
				if p.Kind == StrayCurve {
					found = append(found, p)
				}
			}
			if len(found) != len(tc.want) {
				t.Fatalf("%d strays, want %d: %v", len(found), len(tc.want), found)
			}
			for i, w := range tc.want {
				p := found[i]
				off := math.Min(p.Witness.From.Distance(w.from)+p.Witness.To.Distance(w.to), p.Witness.From.Distance(w.to)+p.Witness.To.Distance(w.from))
				if !p.Part || off > 1e-9 || math.Abs(p.Measured-w.length) > 1e-9 {
					t.Errorf("%+v, want %+v", p, w)
				}
			}
		})
	}
}

// Two cutouts that cross are the same flaw whichever was drawn first, and no line
// crosses itself: that was told of either, and not how much they share. Of the
// circle of 17.5 about a point 10 beyond the side a segment lies in the sink:
// r2 acos(d/r) - d sqrt(r2 - d2), from any handbook.
func TestCrossingCutoutsInAnyOrder(t *testing.T) {
	const top, sink, hole = "COUNTER: 0,0 2400,0 2400,600 0,600 close\n", "SINK: 800,100 1400,100 1400,500 800,500 close\n", "HOLE: circle 1100,510 d35\n"
	for _, text := range []string{top + sink + hole, top + hole + sink} {
		n := 0
		for _, p := range build(t, text).Problems {
			if p.Kind == SelfCrossing {
				t.Errorf("a line is said to cross itself in %q", text)
			}
			if p.Kind == OverlappingCutouts {
				n++
				const r, d = 17.5, 10
				if want := r*r*math.Acos(d/r) - d*math.Sqrt(r*r-d*d); p.Piece != "A" || p.Other != "A-1 A-2" || math.Abs(p.Measured-want) > 1e-6 {
					t.Errorf("%+v, want %v in %q", p, want, text)
				}
			}
		}
		if n != 1 {
			t.Errorf("%d crossings in %q, want 1", n, text)
		}
	}
}
