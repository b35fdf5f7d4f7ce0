package dxfio

import (
	"fmt"
	"math"
	"testing"

	"trueup/dxfio/geom"
)

func TestEllipseFit(t *testing.T) {
	for _, tc := range []struct {
		name             string
		a, b, turn       float64
		start, end       float64
		most             int // arcs
		length, accuracy float64
	}{
		// Perimeter by numerical integration: 968.8448.
		{"200 by 100, whole", 200, 100, 0, 0, 2 * math.Pi, 60, 968.8448, 0.02},
		{"200 by 100, turned", 200, 100, 0.7, 0, 2 * math.Pi, 60, 968.8448, 0.02},
		{"slender", 900, 30, 0.2, 0, 2 * math.Pi, 96, 0, 0},
		{"small hole", 20, 15, 0, 0, 2 * math.Pi, 40, 0, 0},
		{"part over the start", 300, 200, 0, 5, 1, 40, 0, 0},
		{"nearly round", 100, 99.9, 0, 0, 2 * math.Pi, 16, 0, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			sin, cos := math.Sincos(tc.turn)
			d := mustRead(t, entities(fmt.Sprintf("0 ELLIPSE 8 TOP 10 1000 20 500 11 %.17g 21 %.17g 40 %.17g 41 %.17g 42 %.17g", tc.a*cos, tc.a*sin, tc.b/tc.a, tc.start, tc.end)))
			end := tc.end
			if end < tc.start {
				end += 2 * math.Pi
			}
			at := func(v float64) geom.Point {
				s, c := math.Sincos(v)
				return geom.Point{X: tc.a * c, Y: tc.b * s}.Rotate(tc.turn).Add(geom.Point{X: 1000, Y: 500})
			}
			whole := tc.end-tc.start == 2*math.Pi
			wantFit(t, d, at, tc.start, end, 0.01, whole)
			t.Logf("%d arcs", len(d.Curves))
			if len(d.Curves) > tc.most {
				t.Errorf("%d arcs, want at most %d", len(d.Curves), tc.most)
			}
			if tc.length > 0 && math.Abs(length(d)-tc.length) > tc.accuracy {
				t.Errorf("length %v, want %v", length(d), tc.length)
			}
		})
	}
}

// An ellipse seen from its edge is a line, walked to and fro.
func TestEllipseEdgewise(t *testing.T) {
	d := mustRead(t, entities("0 CIRCLE 8 TOP 10 0 20 0 40 50 210 1 220 0 230 0"))
	for _, c := range d.Curves {
		if !c.IsLine() || math.Abs(c.A.X) > 1e-9 {
			t.Errorf("%v", c)
		}
	}
	if math.Abs(length(d)-200) > 1e-9 {
		t.Errorf("length %v", length(d))
	}
}

// Found by fuzzing: an elliptical arc whose start angle is so large that its
// sweep vanishes beside it.
func TestEllipseFarStart(t *testing.T) {
	d := mustRead(t, withBlocks("0 BLOCK 2 A 0 ARC 8 0 10 0 20 0 40 50 50 100000000000 51 100000000001 0 ENDBLK", "0 INSERT 8 TOP 2 A 10 0 20 0 41 2"))
	if want := 50 * radians(1); length(d) < want || length(d) > 2*want {
		t.Errorf("length %v, want between %v and %v", length(d), want, 2*want)
	}
}
