package rules

import (
	"math"
	"testing"

	"trueup/dxfio/geom"
)

// legs are four square legs of 70 mm under a top, set in by so much.
func legs(width, depth, in float64) []geom.Loop {
	var out []geom.Loop
	for _, x := range []float64{in, width - in - 70} {
		for _, y := range []float64{in, depth - in - 70} {
			out = append(out, box(x, y, x+70, y+70))
		}
	}
	return out
}

// TestTablesOnCornerLegs: limits of 3 cm stone are 36 in and 10 in, Dimension Stone
// Design Manual 8.0 (2016), ch. 17; lengths between legs and beyond them by hand.
func TestTablesOnCornerLegs(t *testing.T) {
	for _, tc := range []struct {
		name                  string
		width, depth, in      float64
		span, overhang, share float64 // measured by each rule, 0: silent
	}{
		{"within the limits both ways", 1000, 800, 0, 0, 0, 0},
		{"within the limits, legs set in by 100", 1200, 900, 100, 0, 0, 0},
		{"1260 between legs", 1400, 800, 0, 1260, 0, 0},
		{"beyond the legs 283 hang at the corners", 1200, 900, 200, 0, 200 * math.Sqrt2, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			in := supportInput(carriedTop(box(0, 0, tc.width, tc.depth), legs(tc.width, tc.depth, tc.in)...))
			for _, r := range []struct {
				Rule
				want float64
			}{{unsupportedSpan(), tc.span}, {overhang(), tc.overhang}, {overhangShare(), tc.share}} {
				found := runRule(&r.Rule, in)
				if len(found.unchecked) > 0 || (len(found.flags) > 0) != (r.want > 0) {
					t.Errorf("%s: %s%v", r.ID, listed(found.flags), found.unchecked)
				}
				for _, f := range found.flags {
					if math.Abs(f.Measured-r.want) > 0.5 {
						t.Errorf("%s measures %.3f, want %.3f", r.ID, f.Measured, r.want)
					}
				}
			}
		})
	}
}

// TestStressOfATable: a square plate on its corners bends at the middle of its edges
// by 0.1527 q a^2 under its own weight, Poisson's ratio 0.25 (Timoshenko and
// Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., plates supported at the
// corners; from memory). Finite elements of Adini and Clough, 20 by 20, gave 0.1521,
// and 0.417 N mm/mm a newton of the screen's load on a square of 236.1 mm at the
// middle of an edge of 760, 0.456 of one of 900 (0.439 between them at 840). The screen
// may not be below them.
func TestStressOfATable(t *testing.T) {
	for _, tc := range []struct{ clear, load float64 }{{760, 0.417}, {840, 0.439}} {
		width := tc.clear + 140
		in := supportInput(carriedTop(box(0, 0, width, width), legs(width, width, 0)...))
		in.Settings.Support.PointLoad = 889.6
		c := in.carried(&in.Template.Pieces[0])
		worst := c.worst()
		const density = 2700
		s := newStrip(in, c, worst.Chord, density)
		weight := density * 1e-9 * gravity * 30 // N/mm2
		plate := (0.1527*weight*tc.clear*tc.clear + tc.load*889.6) * 6 / (30 * 30)
		if s.peak < plate || s.peak > 1.35*plate {
			t.Errorf("legs %.0f apart: the screen gives %.3f MPa on a chord of %.1f, the plate %.3f", tc.clear, s.peak, worst.Length(), plate)
		}
	}
}
