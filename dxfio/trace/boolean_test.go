package trace

import (
	"math"
	"testing"

	"trueup/dxfio/geom"
)

func box(x0, y0, x1, y1 float64) geom.Loop {
	return geom.Polygon(geom.Point{X: x0, Y: y0}, geom.Point{X: x1, Y: y0}, geom.Point{X: x1, Y: y1}, geom.Point{X: x0, Y: y1})
}

func TestBoolean(t *testing.T) {
	counter := box(0, 0, 2000, 600)
	circle := func(x, y, r float64) geom.Loop { return geom.Circle(geom.Point{X: x, Y: y}, r) }
	// Lens of two equal circles, Weisstein, Circle-Circle Intersection.
	lens := 2*1e4*math.Acos(0.6) - 60*math.Sqrt(4*1e4-120*120)
	for _, tc := range []struct {
		name  string
		got   []geom.Region
		areas []float64
		holes []int
	}{
		{"sink inside", all(Subtract(nil, counter, []geom.Loop{box(500, 100, 900, 500)})), []float64{1040000}, []int{1}},
		{"clockwise sink", all(Subtract(nil, counter, []geom.Loop{box(500, 100, 900, 500).Reverse()})), []float64{1040000}, []int{1}},
		{"apron sink over the front", all(Subtract(nil, counter, []geom.Loop{box(500, -50, 900, 450)})), []float64{1020000}, []int{0}},
		{"flush with the front", all(Subtract(nil, counter, []geom.Loop{box(500, 0, 900, 450)})), []float64{1020000}, []int{0}},
		{"right through", all(Subtract(nil, counter, []geom.Loop{box(500, -50, 900, 650)})), []float64{660000, 300000}, []int{0, 0}},
		{"half a circle over the front", all(Subtract(nil, counter, []geom.Loop{circle(700, 0, 100)})), []float64{1200000 - math.Pi*5000}, []int{0}},
		{"touches the front inside", all(Subtract(nil, counter, []geom.Loop{circle(700, 100, 100)})), []float64{1200000 - math.Pi*1e4}, []int{1}},
		{"two overlapping cutouts", all(Subtract(nil, counter, []geom.Loop{circle(700, 300, 100), circle(820, 300, 100)})), []float64{1200000 - 2e4*math.Pi + lens}, []int{1}},
		{"outside", all(Subtract(nil, counter, []geom.Loop{box(3000, 0, 3100, 100)})), []float64{1200000}, []int{0}},
		{"all of it", all(Subtract(nil, counter, []geom.Loop{box(-1, -1, 2001, 601)})), nil, nil},
		{"itself", all(Subtract(nil, counter, []geom.Loop{counter})), nil, nil},
		{"lens", all(Intersection(nil, circle(0, 0, 100), circle(120, 0, 100))), []float64{lens}, []int{0}},
		{"no common area", all(Intersection(nil, circle(0, 0, 100), circle(200, 0, 100))), nil, nil},
		{"one in the other", all(Intersection(nil, counter, circle(700, 300, 100))), []float64{math.Pi * 1e4}, []int{0}},
		{"common edge", all(Union(nil, counter, box(2000, 0, 3000, 600))), []float64{1800000}, []int{0}},
		{"apart", all(Union(nil, counter, box(2500, 0, 3000, 600))), []float64{1200000, 300000}, []int{0, 0}},
		{"ring of four", all(Union(nil, box(0, 0, 100, 10), box(90, 0, 100, 100), box(0, 90, 100, 100), box(0, 0, 10, 100))), []float64{3600}, []int{1}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if len(tc.got) != len(tc.areas) {
				t.Fatalf("%d regions, want %d", len(tc.got), len(tc.areas))
			}
			for i, r := range tc.got {
				if a := r.Area(); math.Abs(a-tc.areas[i]) > 1e-6 {
					t.Errorf("area %.9g, want %.9g", a, tc.areas[i])
				}
				if len(r.Holes) != tc.holes[i] {
					t.Errorf("%d holes, want %d", len(r.Holes), tc.holes[i])
				}
			}
		})
	}
}

// |A| + |B| = |A or B| + |A and B|, and A less B is |A| - |A and B|, whatever
// the shapes.
func TestBooleanAreasAddUp(t *testing.T) {
	r := newRand(t, 31)
	sum := func(regions []geom.Region) (a float64) {
		for _, x := range regions {
			a += x.Area()
		}
		return a
	}
	for round := range 300 {
		var a, b geom.Loop
		for _, c := range star(r, 3+r.IntN(30), 0) {
			a = append(a, c.Curve)
		}
		shift := geom.Point{X: r.Float64() * 1500}
		for _, c := range star(r, 3+r.IntN(30), 0) {
			b = append(b, c.Curve.Translate(shift))
		}
		both, either, rest := sum(all(Intersection(nil, a, b))), sum(all(Union(nil, a, b))), sum(all(Subtract(nil, a, []geom.Loop{b})))
		if d := a.Area() + b.Area() - both - either; math.Abs(d) > 1e-3 {
			t.Errorf("round %d: union and intersection are off by %g", round, d)
		}
		if d := a.Area() - both - rest; math.Abs(d) > 1e-3 {
			t.Errorf("round %d: difference is off by %g", round, d)
		}
	}
}

// A rounded corner that dips by a hair past the edge it runs out on, a cooktop over
// the edge of a top say, crosses that edge a hair before it runs along it. The cut
// was lost with it.
func TestSubtractAlongAnEdgeThatIsCrossedFirst(t *testing.T) {
	outline := box(600, 0, 1576, 1008)
	cut := geom.Loop{
		geom.Line(geom.Point{X: 35}, geom.Point{X: 912.94}),
		{A: geom.Point{X: 912.94}, B: geom.Point{X: 948, Y: 35}, Bulge: math.Tan(math.Pi / 8)},
		geom.Line(geom.Point{X: 948, Y: 35}, geom.Point{X: 948, Y: 900}),
		geom.Line(geom.Point{X: 948, Y: 900}, geom.Point{X: 35, Y: 900}),
		geom.Line(geom.Point{X: 35, Y: 900}, geom.Point{X: 35}),
	}
	parts, err := Subtract(NewGuard(t.Context(), Default()), outline, []geom.Loop{cut})
	if err != nil || len(parts) != 1 {
		t.Fatal(len(parts), err)
	}
	// By hand: 976 x 1008 less 348 x 900, and the corner outside the cut's arc, a
	// square of 35 less a quarter circle. The drawn arc is not quite a quarter.
	want := 976*1008 - 348*900 + 35*35*(1-math.Pi/4)
	if got := parts[0].Area(); math.Abs(got-want) > 2 {
		t.Errorf("area %.1f, want %.1f", got, want)
	}
}
