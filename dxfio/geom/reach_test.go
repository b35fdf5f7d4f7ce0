package geom

import (
	"math"
	"testing"
)

// The dual hull must give the same extents as measuring every curve.
func TestReachesAgainstExtent(t *testing.T) {
	rnd := newRand(t, 77)
	loops := map[string]Loop{
		"rectangle":         Polygon(Point{0, 0}, Point{2400, 0}, Point{2400, 650}, Point{0, 650}),
		"rounded rectangle": rounded(600, 400, 25),
		"circle":            Circle(Point{100, -40}, 300),
		"half round":        {Line(Point{0, 0}, Point{500, 0}), {Point{500, 0}, Point{0, 0}, 1}},
		"hollow side":       {Line(Point{0, 0}, Point{500, 0}), Line(Point{500, 0}, Point{500, 400}), {Point{500, 400}, Point{0, 400}, -0.3}, Line(Point{0, 400}, Point{0, 0})},
	}
	for name, l := range loops {
		for k := range 40 {
			turned := l.Rotate(rnd.Float64() * 7).Translate(Point{rnd.Float64() * 1000, rnd.Float64() * 1000})
			if k == 0 {
				turned = l
			}
			list := turned.Reaches()
			if list[0].From != 0 || math.Abs(list[len(list)-1].To-2*math.Pi) > 1e-12 {
				t.Fatalf("%s: directions from %v to %v", name, list[0].From, list[len(list)-1].To)
			}
			for i, r := range list {
				if i > 0 && r.From != list[i-1].To {
					t.Fatalf("%s: gap before %v", name, r)
				}
				for _, f := range [3]float64{0, 0.37, 1} {
					a := r.From + f*(r.To-r.From)
					_, most := turned.Extent(direction(a))
					near(t, name, r.Center.Dot(direction(a))+r.Radius, most, 1e-7)
				}
			}
		}
	}
}
