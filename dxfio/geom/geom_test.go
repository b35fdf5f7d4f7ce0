package geom

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

// near fails the test when got differs from want by more than tol.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g (tolerance %g)", what, got, want, tol)
	}
}

func nearPoint(t *testing.T, what string, got, want Point, tol float64) {
	t.Helper()
	if !(got.Distance(want) <= tol) {
		t.Errorf("%s = %v, want %v (tolerance %g)", what, got, want, tol)
	}
}

// newRand returns a seeded source and prints the seed when the test fails.
func newRand(t testing.TB, seed uint64) *rand.Rand {
	t.Helper()
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, seed))
}

// rounded returns the counter-clockwise rectangle with corner radius r.
func rounded(w, h, r float64) Loop {
	k := math.Tan(math.Pi / 8)
	return Loop{
		Line(Point{r, 0}, Point{w - r, 0}), {Point{w - r, 0}, Point{w, r}, k},
		Line(Point{w, r}, Point{w, h - r}), {Point{w, h - r}, Point{w - r, h}, k},
		Line(Point{w - r, h}, Point{r, h}), {Point{r, h}, Point{0, h - r}, k},
		Line(Point{0, h - r}, Point{0, r}), {Point{0, r}, Point{r, 0}, k},
	}
}

// arcTo returns the arc of the given included angle in degrees over a chord.
func arcTo(a, b Point, deg float64) Curve {
	return Curve{a, b, math.Tan(deg * math.Pi / 180 / 4)}
}

func TestCurveMeasures(t *testing.T) {
	// Closed forms of the circular segment: R^2 (t - sin t)/2, 2R sin(t/2),
	// R(1 - cos(t/2)), Rt (any handbook table of segments of circles).
	quarter := arcTo(Point{0, 0}, Point{141.4213562373095, 0}, 90)
	near(t, "area of 90 degree segment, R 100", quarter.segmentArea(), 2853.9816339744831, 1e-9)
	near(t, "length", quarter.Length(), 157.07963267948966, 1e-9)
	near(t, "radius", quarter.Radius(), 100, 1e-9)
	byHeight := Curve{Point{0, 0}, Point{280, 0}, 2 * 20 / 280.0}
	near(t, "radius for chord 280 and sagitta 20", byHeight.Radius(), 500, 1e-9)
	near(t, "turn", byHeight.Sweep()*180/math.Pi, 32.52041, 5e-6)
	near(t, "area", byHeight.segmentArea(), 3748.527, 5e-4)
	near(t, "length", byHeight.Length(), 283.7941, 5e-5)
	half := Curve{Point{0, 0}, Point{100, 0}, 0.5}
	near(t, "radius of bulge 0.5", half.Radius(), 62.5, 1e-9)
	near(t, "turn", half.Sweep()*180/math.Pi, 106.2602, 5e-5)
	near(t, "length", half.Length(), 115.9119, 5e-5)
	near(t, "area", half.segmentArea(), 1747.247, 5e-4)
	// tan(t/4), DXF Reference, group code 42.
	for deg, want := range map[float64]float64{30: 0.1316525, 45: 0.1989124, 60: 0.2679492, 90: 0.4142136, 180: 1, 270: 2.414214} {
		c := Curve{Point{0, 0}, Point{1, 0}, want}
		near(t, "sweep of the bulge", c.Sweep()*180/math.Pi, deg, 5e-5)
	}
}

// segmentReference returns area and moment of the segment over a unit chord by
// the textbook forms R^2 (t - sin t)/2 and (2/3) R^3 sin^3(t/2) about the
// centre, in 400 bit arithmetic by the Taylor series of the arc's tangent.
func segmentReference(b float64) (area, moment float64) {
	const prec = 400
	num := func(x float64) *big.Float { return new(big.Float).SetPrec(prec).SetFloat64(x) }
	mul := func(x, y *big.Float) *big.Float { return new(big.Float).SetPrec(prec).Mul(x, y) }
	quo := func(x, y *big.Float) *big.Float { return new(big.Float).SetPrec(prec).Quo(x, y) }
	add := func(x, y *big.Float) *big.Float { return new(big.Float).SetPrec(prec).Add(x, y) }
	sub := func(x, y *big.Float) *big.Float { return new(big.Float).SetPrec(prec).Sub(x, y) }
	bb := num(b)
	x := mul(bb, bb)
	one := num(1)
	// atan b = b/(1+x) * sum of (2n)!!/(2n+1)!! (x/(1+x))^n (Euler).
	q := quo(x, add(one, x))
	atan, term := num(0), quo(bb, add(one, x))
	for n := 1; n < 900; n++ {
		atan = add(atan, term)
		term = quo(mul(mul(term, q), num(float64(2*n))), num(float64(2*n+1)))
	}
	radius := quo(add(one, x), mul(num(4), bb))
	turn := mul(num(4), atan)
	sine := quo(mul(mul(num(4), bb), sub(one, x)), mul(add(one, x), add(one, x)))
	a := quo(mul(mul(radius, radius), sub(turn, sine)), num(2))
	// First moment about the centre c^3/12, less apothem times area.
	apothem := quo(sub(one, x), mul(num(4), bb))
	m := sub(quo(one, num(12)), mul(apothem, a))
	area, _ = a.Float64()
	moment, _ = m.Float64()
	return area, moment
}

func TestSegmentSeries(t *testing.T) {
	for _, b := range []float64{1e-12, 1e-8, 1e-5, 1e-3, 0.01, 0.049999, 0.05, 0.1, 0.2, 0.2499999, 0.25, 0.3, 0.41421356, 0.7, 1} {
		for _, sign := range []float64{1, -1} {
			c := Curve{Point{-0.5, 0}, Point{0.5, 0}, sign * b}
			area, moment := segmentReference(b)
			near(t, "area / reference", c.segmentArea()/(sign*area), 1, 4e-15)
			near(t, "moment / reference", c.segmentMoment()/moment, 1, 2e-14)
		}
	}
}

func TestLoopMeasures(t *testing.T) {
	// A = wh - (4 - pi) r^2, P = 2(w + h) - 8r + 2 pi r.
	near(t, "rounded rectangle area", rounded(600, 400, 25).Area(), 239463.495, 5e-4)
	near(t, "rounded rectangle perimeter", rounded(600, 400, 25).Length(), 1957.080, 5e-4)
	near(t, "in inches", rounded(30, 18, 0.75).Area(), 539.5171, 5e-5)
	near(t, "in inches", rounded(30, 18, 0.75).Length(), 94.71239, 5e-6)

	l := Polygon(Point{0, 0}, Point{2400, 0}, Point{2400, 650}, Point{650, 650}, Point{650, 1850}, Point{0, 1850})
	near(t, "L area", l.Area(), 2340000, 0)
	near(t, "L perimeter", l.Length(), 8500, 0)
	nearPoint(t, "L centroid", l.Centroid(), Point{908.3333333333, 633.3333333333}, 1e-6)
	// Inside fillet on an L: area + (1 - pi/4) r^2, perimeter - (2 - pi/2) r.
	fillet := Loop{l[0], l[1], Line(Point{2400, 650}, Point{660, 650}), arcTo(Point{660, 650}, Point{650, 660}, -90),
		Line(Point{650, 660}, Point{650, 1850}), l[4], l[5]}
	near(t, "L with fillet area", fillet.Area(), 2340021.46, 5e-3)
	near(t, "L with fillet perimeter", fillet.Length(), 8495.708, 5e-4)

	// Regular polygons in a circle: (n/2) R^2 sin(2 pi/n).
	for n, want := range map[int]float64{16: 30614.67, 64: 31365.48} {
		var p []Point
		for i := range n {
			p = append(p, Point{100, 0}.Rotate(2*math.Pi*float64(i)/float64(n)))
		}
		near(t, "polygon in circle", Polygon(p...).Area(), want, 5e-3)
	}
	// Centroid of a half disc: 4R/(3 pi) from the diameter (any handbook).
	halfDisc := Loop{{Point{-90, 0}, Point{90, 0}, 1}, Line(Point{90, 0}, Point{-90, 0})}
	nearPoint(t, "half disc centroid", halfDisc.Centroid(), Point{0, -4 * 90 / (3 * math.Pi)}, 1e-12)
	// Circular spandrel (square less quarter disc): area (1 - pi/4) r^2, centroid
	// from the corner's tangents (10 - 3 pi)/(12 - 3 pi) r.
	spandrel := Loop{Line(Point{0, 0}, Point{10, 0}), arcTo(Point{10, 0}, Point{0, 10}, -90), Line(Point{0, 10}, Point{0, 0})}
	near(t, "spandrel area", spandrel.Area(), (1-math.Pi/4)*100, 1e-12)
	k := (10 - 3*math.Pi) / (12 - 3*math.Pi) * 10
	nearPoint(t, "spandrel centroid", spandrel.Centroid(), Point{k, k}, 1e-11)
	// Lens of two circles of radius R at distance d:
	// 2 R^2 acos(d/2R) - (d/2) sqrt(4R^2 - d^2) (Weisstein, Circle-Circle Intersection).
	r, d := 100.0, 120.0
	h := math.Sqrt(r*r - d*d/4)
	deg := 2 * math.Acos(d/2/r) * 180 / math.Pi
	lens := Loop{arcTo(Point{d / 2, -h}, Point{d / 2, h}, deg), arcTo(Point{d / 2, h}, Point{d / 2, -h}, deg)}
	near(t, "lens", lens.Area(), 2*r*r*math.Acos(d/2/r)-d/2*math.Sqrt(4*r*r-d*d), 1e-9)
	far := lens.Translate(Point{1e6, -1e6})
	nearPoint(t, "far centroid", far.Centroid(), Point{1e6 + d/2, -1e6}, 1e-8)
	if (Loop{}).Area() != 0 || (Loop{}).Length() != 0 || (Loop{}).Centroid() != (Point{}) {
		t.Error("the empty loop has no measures")
	}
}

func TestNearestPoint(t *testing.T) {
	arc := Curve{Point{100, 0}, Point{-100, 0}, 1} // upper half circle
	for _, tc := range []struct {
		name  string
		c     Curve
		p, q  Point
		t, on float64
	}{
		{"foot on a line", Line(Point{0, 0}, Point{10, 0}), Point{3, 4}, Point{3, 0}, 0.3, 4},
		{"before a line", Line(Point{0, 0}, Point{10, 0}), Point{-3, 4}, Point{0, 0}, 0, 5},
		{"past a line", Line(Point{0, 0}, Point{10, 0}), Point{13, 4}, Point{10, 0}, 1, 5},
		{"inside an arc", arc, Point{0, 40}, Point{0, 100}, 0.5, 60},
		{"outside an arc", arc, Point{-200, 200}, Point{-70.710678118654755, 70.710678118654755}, 0.75, 182.84271247461902},
		{"below an arc", arc, Point{80, -1}, Point{100, 0}, 0, math.Hypot(20, 1)},
		{"at the centre", arc, Point{0, 0}, Point{0, 100}, 0.5, 100},
		{"clockwise", arc.Reverse(), Point{0, 40}, Point{0, 100}, 0.5, 60},
		{"bulge above 1", arcTo(Point{0, -100}, Point{100, 0}, -270), Point{-50, 0}, Point{-100, 0}, 1 / 3.0, 50},
		{"hardly an arc", Curve{Point{0, 0}, Point{1000, 0}, 1e-13}, Point{250, 7}, Point{250, 0}, 0.25, 7},
		{"shallow arc", Curve{Point{0, 0}, Point{1000, 0}, 1e-6}, Point{500, 7}, Point{500, -0.0005}, 0.5, 7.0005},
	} {
		t.Run(tc.name, func(t *testing.T) {
			q, u := NearestPoint(tc.c, tc.p)
			nearPoint(t, "point", q, tc.q, 1e-9)
			near(t, "fraction", u, tc.t, 1e-9)
			near(t, "distance", tc.c.Distance(tc.p), tc.on, 1e-9)
		})
	}
}

func TestIntersect(t *testing.T) {
	circle := Circle(Point{0, 0}, 100)
	upper, lower := circle[0], circle[1]
	line := func(x0, y0, x1, y1 float64) Curve { return Line(Point{x0, y0}, Point{x1, y1}) }
	at := func(k ContactKind, xy ...float64) (h []Intersection) {
		for i := 0; i < len(xy); i += 2 {
			h = append(h, Intersection{P: Point{xy[i], xy[i+1]}, Kind: k})
		}
		return h
	}
	for _, tc := range []struct {
		name string
		c, d Curve
		want []Intersection
	}{
		{"lines cross", line(0, 0, 10, 10), line(0, 10, 10, 0), at(Crossing, 5, 5)},
		{"lines miss", line(0, 0, 10, 10), line(0, 10, 4, 6), nil},
		{"tee", line(0, 0, 10, 0), line(4, 0, 4, 9), at(Touching, 4, 0)},
		{"common end", line(0, 0, 10, 0), line(10, 0, 10, 9), at(Touching, 10, 0)},
		{"parallel", line(0, 0, 10, 0), line(0, 1, 10, 1), nil},
		{"collinear apart", line(0, 0, 10, 0), line(11, 0, 20, 0), nil},
		{"collinear end to end", line(0, 0, 10, 0), line(10, 0, 20, 0), at(Touching, 10, 0)},
		{"collinear in part", line(0, 0, 10, 0), line(14, 0, 6, 0), at(Overlapping, 6, 0, 10, 0)},
		{"collinear covered", line(0, 0, 10, 0), line(3, 0, 6, 0), at(Overlapping, 3, 0, 6, 0)},
		{"same line reversed", line(0, 0, 10, 0), line(10, 0, 0, 0), at(Overlapping, 0, 0, 10, 0)},
		{"within tolerance of collinear", line(0, 0, 1000, 0), line(100, 5e-7, 900, -5e-7), at(Overlapping, 100, 0, 900, 0)},
		{"line through an arc", upper, line(-200, 60, 200, 60), at(Crossing, 80, 60, -80, 60)},
		{"line ends inside an arc", upper, line(-200, 60, 0, 60), at(Crossing, -80, 60)},
		{"line under an arc", upper, line(-200, -60, 200, -60), nil},
		{"tangent line", upper, line(-200, 100, 200, 100), at(Touching, 0, 100)},
		{"tangent within tolerance", upper, line(-200, 100+5e-7, 200, 100+5e-7), at(Touching, 0, 100)},
		{"just not tangent", upper, line(-200, 100.00001, 200, 100.00001), nil},
		{"just cut", upper, line(-200, 99.99999, 200, 99.99999), at(Crossing, 0.0447213584, 99.99999, -0.0447213584, 99.99999)},
		{"fillet", line(-50, -100, 0, -100), arcTo(Point{0, -100}, Point{100, 0}, 90), at(Touching, 0, -100)},
		{"fillet with rounded ends", line(-50, -100, 3e-7, -100.0000004), arcTo(Point{0, -100}, Point{100, 0}, 90), at(Touching, 0, -100)},
		{"halves of a circle", upper, lower, at(Touching, 100, 0, -100, 0)},
		{"circles cross", upper, Curve{Point{220, 0}, Point{20, 0}, 1}, at(Crossing, 60, 80)},
		{"circles touch outside", upper.Rotate(-math.Pi / 2), Circle(Point{200, 0}, 100)[0].Rotate(0.3).Translate(Point{200, 0}.Sub(Point{200, 0}.Rotate(0.3))), at(Touching, 100, 0)},
		{"co-circular in part", upper, Circle(Point{0, 0}, 100)[0].Rotate(math.Pi / 2), at(Overlapping, 0, 100, -100, 0)},
		{"same arc reversed", upper, upper.Reverse(), at(Overlapping, 100, 0, -100, 0)},
		{"arc and its chord", arcTo(Point{0, 0}, Point{10, 0}, 30), line(0, 0, 10, 0), at(Touching, 0, 0, 10, 0)},
		{"concentric", upper, Circle(Point{0, 0}, 99)[0], nil},
		{"shallow arc and line", Curve{Point{0, 0}, Point{1000, 0}, 2e-9}, line(500, -5, 500, 5), at(Crossing, 500, -1e-6)},
		{"two shallow arcs", Curve{Point{0, 0}, Point{1000, 0}, 1e-7}, Curve{Point{500, -300}, Point{500, 300}, -1e-7}, at(Crossing, 499.99997, -5e-5)},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, swap := range []bool{false, true} {
				c, d := tc.c, tc.d
				if swap {
					c, d = d, c
				}
				got := Intersect(c, d)
				if len(got) != len(tc.want) {
					t.Fatalf("swap %v: got %v, want %v", swap, got, tc.want)
				}
				for _, w := range tc.want {
					found := false
					for _, g := range got {
						found = found || g.P.Distance(w.P) < 2e-6 && g.Kind == w.Kind
					}
					if !found {
						t.Errorf("swap %v: no %v at %v in %v", swap, w.Kind, w.P, got)
					}
				}
				for _, g := range got {
					nearPoint(t, "point by T", c.At(g.T), g.P, 2e-6)
					nearPoint(t, "point by U", d.At(g.U), g.P, 2e-6)
				}
			}
		})
	}
}

func TestLocateAndCorner(t *testing.T) {
	l := rounded(600, 400, 25)
	for p, want := range map[Point]Location{
		{300, 200}: Inside, {0, 200}: On, {300, 400}: On, {-1, 200}: Outside, {601, 25}: Outside, {300, 401}: Outside,
		{1, 1}: Outside, {7, 7}: Outside, {8, 8}: Inside, {25 - 25/math.Sqrt2, 25 - 25/math.Sqrt2}: On, {25, 25}: Inside, {0, 0}: Outside,
		{12.5, 12.5}: Inside, {600, 375}: On, {592, 392}: Inside, {593, 393}: Outside, {1e9, 200}: Outside,
	} {
		if got := l.Locate(p); got != want {
			t.Errorf("rounded rectangle at %v: %v, want %v", p, got, want)
		}
		if got := l.Reverse().Locate(p); got != want {
			t.Errorf("clockwise at %v: %v, want %v", p, got, want)
		}
	}
	notch := Loop{ // a bay cut into the top edge
		Line(Point{0, 0}, Point{100, 0}), Line(Point{100, 0}, Point{100, 50}), Line(Point{100, 50}, Point{80, 50}),
		{Point{80, 50}, Point{20, 50}, -1}, Line(Point{20, 50}, Point{0, 50}), Line(Point{0, 50}, Point{0, 0}),
	}
	for p, want := range map[Point]Location{{50, 49}: Outside, {50, 50}: Outside, {50, 20}: On, {50, 19}: Inside, {79, 50}: Outside, {90, 50}: On, {5, 45}: Inside} {
		if got := notch.Locate(p); got != want {
			t.Errorf("bay at %v: %v, want %v", p, got, want)
		}
	}
	for i, want := range []float64{90, 90, 90, 90, 90, 90} {
		near(t, "corner", notch.Corner(i), want, 1e-9)
	}
	for i, want := range []float64{270, 270, 270, 270, 270, 270} {
		near(t, "corner seen from outside", notch.Reverse().Corner(i), want, 1e-9)
	}
	near(t, "smooth corner", l.Corner(1), 180, 1e-9)
	spike := Loop{Line(Point{0, 0}, Point{10, 0}), {Point{10, 0}, Point{5, 5}, 0.2}, Line(Point{5, 5}, Point{0, 0})}
	if a := spike.Corner(0); !(a > 0 && a < 90) {
		t.Errorf("acute corner %v", a)
	}
	// Two circles touching inside: a crescent has a cusp, 0 degrees from the
	// stone's side and 360 from the other.
	crescent := Loop{
		{Point{0, 0}, Point{0, 200}, 1}, {Point{0, 200}, Point{0, 0}, 1},
		{Point{0, 0}, Point{0, 100}, -1}, {Point{0, 100}, Point{0, 0}, -1},
	}
	near(t, "cusp of a crescent", crescent.Corner(0), 0, 1e-6)
	near(t, "cusp of a crescent", crescent.Corner(2), 0, 1e-6)
	near(t, "outside of the cusp", crescent.Reverse().Corner(0), 360, 1e-6)
	near(t, "outside of the cusp", crescent.Reverse().Corner(2), 360, 1e-6)
	region := Region{Outer: l, Holes: []Loop{Circle(Point{300, 200}, 50)}}
	near(t, "region area", region.Area(), l.Area()-math.Pi*2500, 1e-6)
	nearPoint(t, "region centroid", region.Centroid(), Point{300, 200}, 1e-9)
	for p, want := range map[Point]Location{{300, 200}: Outside, {300, 250}: On, {300, 251}: Inside, {-5, 0}: Outside} {
		if got := region.Locate(p); got != want {
			t.Errorf("region at %v: %v, want %v", p, got, want)
		}
	}
}

func TestSmallestRectangle(t *testing.T) {
	turn := func(l Loop, deg float64) Loop { return l.Rotate(deg * math.Pi / 180) }
	rect := func(w, h float64) Loop { return Polygon(Point{0, 0}, Point{w, 0}, Point{w, h}, Point{0, h}) }
	for _, tc := range []struct {
		name                  string
		l                     Loop
		length, width, degree float64
		tol                   float64
	}{
		{"1000 x 600 at 30 degrees", turn(rect(1000, 600), 30), 1000, 600, 30, 1e-9},
		{"1000 x 600 at 120 degrees", turn(rect(1000, 600), 120), 1000, 600, 120, 1e-9},
		// Calculated over all hull edges by hand; flush with the side (120,40)-(20,60).
		{"quadrilateral", Polygon(Point{0, 0}, Point{100, 0}, Point{120, 40}, Point{20, 60}), 109.8250, 62.75716, 168.6901, 5e-5},
		{"tie goes to the smaller perimeter", Polygon(Point{0, 0}, Point{4, 0}, Point{0, 3}), 4, 3, 0, 1e-9},
		{"rounded rectangle", turn(rounded(600, 400, 25), 17), 600, 400, 17, 1e-9},
		{"circle", Circle(Point{5, 5}, 100), 200, 200, 0, 1e-9},
		{"stadium", turn(Loop{Line(Point{0, 0}, Point{300, 0}), {Point{300, 0}, Point{300, 200}, 1}, Line(Point{300, 200}, Point{0, 200}), {Point{0, 200}, Point{0, 0}, 1}}, 75), 500, 200, 75, 1e-9},
		{"half disc", turn(Loop{{Point{-90, 0}, Point{90, 0}, 1}, Line(Point{90, 0}, Point{-90, 0})}, 40), 180, 90, 40, 1e-9},
		{"one line", Polygon(Point{0, 0}, Point{30, 40}), 50, 0, 53.13010235415598, 1e-9},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := SmallestRectangle(tc.l)
			near(t, "length", r.Length, tc.length, tc.tol)
			near(t, "width", r.Width, tc.width, tc.tol)
			near(t, "angle", r.AngleDeg, tc.degree, math.Max(tc.tol, 1e-6))
		})
	}
	if r := SmallestRectangle(nil); r != (Rectangle{}) {
		t.Errorf("empty loop gives %v", r)
	}
}

func TestExtent(t *testing.T) {
	l := rounded(600, 400, 25).Rotate(0.5)
	least, most := l.Extent(Point{2, 0}.Rotate(0.5))
	near(t, "least", least, 0, 1e-9)
	near(t, "most", most, 600, 1e-9)
	u := Point{1, 1}.Unit()
	least, most = Circle(Point{10, 20}, 30).Extent(u)
	near(t, "circle", least, 30/math.Sqrt2-30, 1e-9)
	near(t, "circle", most, 30/math.Sqrt2+30, 1e-9)
}
