package rules

import (
	"math"
	"testing"
)

// A line drawn once on a layer of outlines with stone on both sides asks whether it is
// a seam. Lengths by hand.
func TestSeamAssumed(t *testing.T) {
	const top, whole = "COUNTER 0,0 2400,0 2400,640 0,640 close; ", "loose 0,0 2400,0 2400,640 0,640 close; "
	for _, c := range []struct {
		name, drawing string
		long          []float64 // mm, of every flag
	}{
		{"a line across", top + "COUNTER 1200,0 1200,640", []float64{640}},
		{"of loose lines", "COUNTER " + whole + "COUNTER loose 1200,0 1200,640", []float64{640}},
		{"drawn twice", top + "COUNTER 1200,0 1200,640; COUNTER 1200,640 1200,0", []float64{640}},
		{"drawn three times, a hair apart", "COUNTER " + whole + "COUNTER loose 1200,0 1200,640; COUNTER loose 1200.2,0 1200.2,640; COUNTER loose 1200,640 1200,0", []float64{640}},
		{"in two parts", top + "COUNTER 1200,0 1200,300; COUNTER 1200,300 1200,640", []float64{640}},
		{"with a step", top + "COUNTER 1200,0 1200,300 1500,300 1500,640", []float64{940}},
		{"that ends 2 mm short", top + "COUNTER 1200,2 1200,638", []float64{640}},
		{"an arc", top + "COUNTER 1000,0^0.2 1000,640", []float64{640 * 1.04 / 0.4 * 2 * math.Atan(0.2)}},
		{"two tops with one side", "COUNTER loose 0,0 1200,0 1200,640 0,640 close; COUNTER loose 1200,100 2000,100 2000,500 1200,500", []float64{400}},
		{"a line through a sink", top + "COUNTER 1200,0 1200,640; SINK 900,100 1500,100 1500,500 900,500 close", []float64{640}},
		{"a line on another outline layer", top + "OUTLINE 1200,0 1200,640", []float64{640}},
		{"three tops in a row", top + "COUNTER 800,0 800,640; COUNTER 1600,0 1600,640", []float64{640, 640}},
		{"a splash", "COUNTER 0,0 2400,0 2400,640 0,640 close; SPLASH 0,800 2400,800 2400,900 0,900 close; SPLASH 1200,800 1200,900", []float64{100}},

		{"a seam", top + "SEAM 1200,0 1200,640", nil},
		{"a seam along it", top + "COUNTER 1200,0 1200,640; SEAM 1200,0 1200,640", nil},
		{"an edge to polish", top + "COUNTER 1200,0 1200,640; FINISHED 1200,0 1200,640", nil},
		{"two closed tops", "COUNTER 0,0 1200,0 1200,640 0,640 close; COUNTER 1200,0 2400,0 2400,640 1200,640 close", nil},
		{"two closed tops of other depths", "COUNTER 0,0 1200,0 1200,640 0,640 close; COUNTER 1200,100 2400,100 2400,500 1200,500 close", nil},
		{"two tops of loose lines", "COUNTER loose 0,0 1200,0 1200,640 0,640 close; COUNTER loose 1200,0 2400,0 2400,640 1200,640 close", nil},
		{"two tops of loose lines of other depths", "COUNTER loose 0,0 1200,0 1200,640 0,640 close; COUNTER loose 1200,100 2400,100 2400,500 1200,500 close", nil},
		{"one closed, one loose", "COUNTER 0,0 1200,0 1200,640 0,640 close; COUNTER loose 1200,0 2400,0 2400,640 1200,640 close", nil},
		{"a line across a cutout", top + "COUNTER 800,100 1400,100 1400,500 800,500 close; COUNTER 1100,100 1100,500", nil},
		{"tops apart", "COUNTER 0,0 1200,0 1200,640 0,640 close; COUNTER 1300,0 2400,0 2400,640 1300,640 close", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			flags, _ := check(t, seamAssumed(), input(drawn(t, c.drawing)))
			if len(flags) != len(c.long) {
				t.Fatalf("%d flags, want %d:\n%s", len(flags), len(c.long), listed(flags))
			}
			for i, f := range flags {
				if math.Abs(f.Measured-c.long[i]) > 0.01 || f.Severity != Stop || f.Piece == "" || f.Other == f.Piece {
					t.Errorf("measured %g, want %g: %+v", f.Measured, c.long[i], f)
				}
			}
		})
	}
}
