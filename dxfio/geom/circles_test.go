package geom

import (
	"math"
	"testing"
)

// TestNearlyTheSameCircle: circles that differ by a hair still cross where they
// cross, and touch only where one reaches out of the other by no more than the
// measuring tolerance. By hand, for centres d apart on the x axis: the common
// points lie at x = (d^2 + R^2 - r^2) / 2d, on both circles.
func TestNearlyTheSameCircle(t *testing.T) {
	for _, tc := range []struct {
		name    string
		d, R, r float64 // the second circle's centre, first and second radius
		touch   bool
		x       float64
		within  float64 // a touch is anywhere along where the circles are one by measure
	}{
		{"moved by a hair", 1e-3, 300, 300, false, 5e-4, 1e-6},
		{"moved by more", 0.134, 300, 300, false, 0.067, 1e-6},
		{"moved along and a little smaller", 0.02, 300, 299.99, false, (0.0004 + 90000 - 299.99*299.99) / 0.04, 1e-4},
		{"inside, touching", 10, 300, 290, true, 300, 1e-3},
		{"inside, touching, nearly the same radius", 0.01, 300, 299.99, true, 300, 1},
		{"outside, touching", 500, 300, 200, true, 300, 1e-3},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var found []Intersection
			for _, c := range Circle(Point{}, tc.R).turned(1) {
				for _, e := range Circle(Point{X: tc.d}, tc.r).turned(2) {
					for _, h := range Intersect(c, e) {
						found = append(found, h)
						near(t, "distance from the first", c.Distance(h.P), 0, 2*Tolerance)
						near(t, "distance from the second", e.Distance(h.P), 0, 2*Tolerance)
						near(t, "x", h.P.X, tc.x, tc.within)
						if touches := h.Kind == Touching; touches != tc.touch {
							t.Errorf("kind %d at %v", h.Kind, h.P)
						}
					}
				}
			}
			want := 2
			if tc.touch {
				want = 1
			}
			if len(found) != want {
				t.Errorf("%d contacts, want %d: %v", len(found), want, found)
			}
		})
	}
}

// turned returns a circle that begins elsewhere, so that no half ends where
// circles meet.
func (l Loop) turned(angle float64) Loop {
	o := l[0].Center()
	out := make(Loop, len(l))
	for i, c := range l {
		out[i] = c.Translate(o.Mul(-1)).Rotate(math.Mod(angle, math.Pi)).Translate(o)
	}
	return out
}
