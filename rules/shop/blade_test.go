package shop

import (
	"math"
	"testing"
)

// Worked values of the chord of a circle, half chord = sqrt(h (D - h)): done by
// hand from the textbook formula for the chord at a given sagitta.
func TestChord(t *testing.T) {
	for _, tc := range []struct {
		name                        string
		diameter, depth, want, tols float64
	}{
		{"400 mm blade 32 mm deep", 400, 32, 108.5173, 5e-5},
		{"350 mm blade 22 mm deep", 350, 22, 84.94704, 5e-6},
		{"625 mm blade 32 mm deep", 625, 32, 137.7534, 5e-5},
		{"16 in blade 1.25 in deep", 16, 1.25, 4.293891, 5e-7},
		{"sagitta 20 of radius 500: chord 280", 1000, 20, 140, 1e-9},
		{"down to the axis", 400, 200, 200, 0},
		{"deeper than the axis", 400, 300, 200, 0},
		{"not in the stone", 400, 0, 0, 0},
	} {
		t.Run(tc.name, func(t *testing.T) { near(t, "half chord", Chord(tc.diameter, tc.depth), tc.want, tc.tols) })
	}
}

// What stays uncut at the bottom, measured on a blade simulated as a disc: the
// axis stands where the disc just touches the corner in the top face.
func TestShortAgainstDisc(t *testing.T) {
	saw := Default().Saw
	for _, thickness := range []float64{12, 20, 30, 60} {
		r, h := saw.Blade/2, thickness+saw.Overcut
		inside := func(x, depth float64) bool { // of the disc, axis at x = 0
			up := r - h + depth // distance of the level below the axis
			return x*x+up*up <= r*r
		}
		reach := func(depth float64) float64 { // how far the disc reaches at a level, by halving
			low, high := 0.0, r
			for range 60 {
				if mid := (low + high) / 2; inside(mid, depth) {
					low = mid
				} else {
					high = mid
				}
			}
			return low
		}
		near(t, "short", saw.blade(thickness).short(), reach(0)-reach(thickness), 1e-9)
	}
	// sqrt(32 x 368) - sqrt(2 x 398), by hand.
	near(t, "3 cm with the usual blade", saw.blade(30).short(), math.Sqrt(11776)-math.Sqrt(796), 1e-12)
}
