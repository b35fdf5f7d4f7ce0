package geom

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
)

// randomCurve returns a line or arc of up to size; now and then with ends on a
// coarse grid, so that contacts at ends, tangents and overlaps come up.
func randomCurve(r *rand.Rand, size float64) Curve {
	p := func() Point {
		q := Point{r.Float64() * size, r.Float64() * size}
		if r.IntN(2) == 0 {
			q = Point{math.Round(q.X/size*8) * size / 8, math.Round(q.Y/size*8) * size / 8}
		}
		return q
	}
	c := Line(p(), p())
	for c.Chord() < size/100 {
		c.B = p()
	}
	switch r.IntN(5) {
	case 0:
		c.Bulge = r.Float64()*2 - 1
	case 1:
		c.Bulge = math.Tan(math.Pi/8) * float64(1-2*r.IntN(2))
	case 2:
		c.Bulge = math.Pow(10, -9*r.Float64()) * float64(1-2*r.IntN(2))
	}
	return c
}

// randomLoop returns a star-shaped outline, about half its sides arcs.
func randomLoop(r *rand.Rand) Loop {
	n := 3 + r.IntN(20)
	p := make([]Point, n)
	for i := range p {
		p[i] = Point{300 + 700*r.Float64(), 0}.Rotate(2 * math.Pi * (float64(i) + 0.7*r.Float64()) / float64(n))
	}
	l := Polygon(p...)
	for i := range l {
		if r.IntN(2) == 0 {
			l[i].Bulge = r.Float64()*0.1 - 0.05
		}
	}
	return l
}

const chordTurn = 0.01 // radians an arc's chord turns in a densified loop

// densified returns the loop as a polygon and how far its chords leave the arcs.
func densified(t testing.TB, l Loop) (sf.Polygon, float64) {
	t.Helper()
	var xy []float64
	off := 0.0
	for _, c := range l {
		n := max(1, int(math.Ceil(math.Abs(c.Sweep())/chordTurn)))
		for i := range n {
			p := c.At(float64(i) / float64(n))
			xy = append(xy, p.X, p.Y)
		}
		if c.Bulge != 0 {
			off = math.Max(off, c.Radius()*(1-math.Cos(chordTurn/2)))
		}
	}
	xy = append(xy, xy[0], xy[1])
	ring := sf.NewLineString(sf.NewSequence(xy, sf.DimXY))
	return sf.NewPolygon([]sf.LineString{ring}), off
}

// Second opinion: github.com/peterstace/simplefeatures on densified loops.
func TestLoopsAgainstSimplefeatures(t *testing.T) {
	r := newRand(t, 41)
	checked := 0
	for round := range 1000 {
		l := randomLoop(r)
		poly, off := densified(t, l)
		if poly.Validate() != nil {
			continue // arcs may make a star cross itself
		}
		checked++
		length := l.Length()
		near(t, "area", l.Area(), poly.Area(), off*length+1e-6)
		near(t, "length", length, poly.AsGeometry().Boundary().Length(), 1e-5*length)
		c, _ := poly.Centroid().XY()
		nearPoint(t, "centroid", l.Centroid(), Point{c.X, c.Y}, 3*off*length/poly.Area()*1000+1e-6)
		index := NewIndex(l)
		boundary := poly.AsGeometry().Boundary()
		for range 3 {
			p := Point{r.Float64()*2200 - 1100, r.Float64()*2200 - 1100}
			at := sf.XY{X: p.X, Y: p.Y}.AsPoint().AsGeometry()
			want, _ := sf.Distance(boundary, at)
			_, q, _ := index.Nearest(p)
			near(t, "distance", p.Distance(q), want, off+1e-9)
			if want > off+Tolerance {
				in, _ := sf.Distance(poly.AsGeometry(), at)
				if got := l.Locate(p); (got == Inside) != (in == 0) {
					t.Errorf("round %d: %v located %v, distance from the polygon %g", round, p, got, in)
				}
			}
		}
		rect := SmallestRectangle(l)
		want := sf.RotatedMinimumAreaBoundingRectangle(poly.AsGeometry()).Area()
		near(t, "smallest rectangle", rect.Area(), want, 4*off*rect.Length+1e-6)
		if t.Failed() {
			t.Fatalf("round %d: %v", round, l)
		}
	}
	if checked < 700 {
		t.Errorf("only %d valid shapes", checked)
	}
}

func TestSmallestRectangleIsSmallestAndHolds(t *testing.T) {
	r := newRand(t, 42)
	for round := range 120 {
		l := randomLoop(r)
		if r.IntN(3) == 0 { // round things: minima inside a range of angles
			a, b := 50+400*r.Float64(), 50+400*r.Float64()
			d := math.Abs(a-b) + (a+b-math.Abs(a-b))*r.Float64()*0.9 + 1
			lens := func(r1, r2 float64) Loop { // union of two circles as a loop
				x := (d*d + r1*r1 - r2*r2) / (2 * d)
				h := math.Sqrt(math.Max(1, r1*r1-x*x))
				t1, t2 := math.Atan2(h, x), math.Atan2(h, x-d)
				return append(ArcAround(Point{}, r1, t1, 2*math.Pi-2*t1), ArcAround(Point{d, 0}, r2, -t2, 2*t2)...)
			}
			l = lens(a, b).Rotate(r.Float64() * 7)
		}
		rect := SmallestRectangle(l)
		u := direction(rect.AngleDeg * math.Pi / 180)
		lo, hi := l.Extent(u)
		near(t, "length by extent", hi-lo, rect.Length, 1e-7)
		near(t, "centre along", (lo+hi)/2, rect.Center.Dot(u), 1e-7)
		lo, hi = l.Extent(u.Left())
		near(t, "width by extent", hi-lo, rect.Width, 1e-7)
		near(t, "centre across", (lo+hi)/2, rect.Center.Dot(u.Left()), 1e-7)
		for i := range 360 {
			v := direction(math.Pi / 2 * float64(i) / 360)
			a, b := l.Extent(v)
			c, d := l.Extent(v.Left())
			if area := (b - a) * (d - c); area < rect.Area()*(1-1e-9) {
				t.Fatalf("round %d: %g at %g degrees, found %g at %g", round, area, float64(i)/4, rect.Area(), rect.AngleDeg)
			}
		}
		turned := SmallestRectangle(l.Rotate(1).Reverse())
		near(t, "area of the turned loop", turned.Area(), rect.Area(), 1e-6*rect.Area())
	}
}

// variants are motions under which contacts and distances stay.
func variants(c, d Curve) [][2]Curve {
	turn := func(x Curve) Curve { return x.Rotate(2.3).Translate(Point{1234.5, -777}) }
	return [][2]Curve{
		{d, c}, {c.Reverse(), d}, {c, d.Reverse()}, {c.Mirror(), d.Mirror()}, {turn(c), turn(d)},
	}
}

func TestContactsOfRandomCurves(t *testing.T) {
	r := newRand(t, 43)
	kinds := map[ContactKind]int{}
	for round := range 5000 {
		c, d := randomCurve(r, 800), randomCurve(r, 800)
		if r.IntN(20) == 0 { // along each other in part
			d = c.Part(r.Float64()*0.4, 0.6+r.Float64()*0.4)
			if r.IntN(2) == 0 {
				d = d.Reverse()
			}
		}
		hits := Intersect(c, d)
		for _, h := range hits {
			kinds[h.Kind]++
			if e := c.At(h.T).Distance(h.P); e > 2*Tolerance {
				t.Errorf("round %d: %v lies %g off the first of %v %v", round, h, e, c, d)
			}
			if e := d.At(h.U).Distance(h.P); e > 2*Tolerance {
				t.Errorf("round %d: %v lies %g off the second of %v %v", round, h, e, c, d)
			}
		}
		w := Nearest(c, d)
		if (len(hits) > 0) != (w.Length() == 0) {
			t.Errorf("round %d: %d contacts, distance %g", round, len(hits), w.Length())
		}
		// Nothing sampled may be nearer, and the witness ends lie on the curves.
		near(t, "witness on the first", c.Distance(w.From), 0, 2*Tolerance)
		near(t, "witness on the second", d.Distance(w.To), 0, 2*Tolerance)
		for i := range 17 {
			if e := d.Distance(c.At(float64(i) / 16)); e < w.Length()-2*Tolerance {
				t.Errorf("round %d: sample %d is %g away, nearest %g: %v %v", round, i, e, w.Length(), c, d)
			}
		}
		for k, v := range variants(c, d) {
			if other := Intersect(v[0], v[1]); len(other) != len(hits) {
				t.Errorf("round %d: %v, variant %d %v of %v %v", round, hits, k, other, c, d)
			}
			near(t, "distance of the variant", Nearest(v[0], v[1]).Length(), w.Length(), 4*Tolerance)
		}
		if t.Failed() {
			t.FailNow()
		}
	}
	t.Logf("contacts: %v", kinds)
	for _, k := range []ContactKind{Crossing, Touching, Overlapping} {
		if kinds[k] < 20 {
			t.Errorf("kind %d came up %d times only", k, kinds[k])
		}
	}
}

func TestCurveIdentities(t *testing.T) {
	r := newRand(t, 44)
	for round := range 5000 {
		c := randomCurve(r, 2000)
		a, b := r.Float64(), r.Float64()
		if a > b {
			a, b = b, a
		}
		if b-a < 1e-3 {
			continue
		}
		l := c.Length()
		p := c.Part(a, b)
		near(t, "length of a part", p.Length(), (b-a)*l, 1e-9*l)
		nearPoint(t, "middle of a part", p.Middle(), c.At((a+b)/2), 1e-9*l)
		nearPoint(t, "point of the reverse", c.Reverse().At(a), c.At(1-a), 1e-9*l)
		near(t, "fraction", c.Fraction(c.At(a)), a, 1e-9)
		near(t, "distance of its own point", c.Distance(c.At(a)), 0, 1e-9*l)
		back := p.WithStart(c.A).WithEnd(c.B)
		near(t, "bulge grown back", back.Bulge, c.Bulge, 1e-6*math.Abs(c.Bulge))
		side := c.At(a).Add(c.Tangent(a).Left().Mul(3))
		if math.IsInf(c.Radius(), 1) || c.Radius() > 4 {
			near(t, "signed distance", c.SignedDistance(side), 3, 1e-9*l)
			o, ok := c.Offset(3)
			if !ok {
				t.Errorf("round %d: no offset of %v", round, c)
			}
			near(t, "offset", o.Distance(side), 0, 1e-9*l)
		}
		if !c.Box().Grow(1e-9*l).Contains(c.At(a)) || !c.looseBox().Grow(1e-9*l).Contains(c.At(a)) {
			t.Errorf("round %d: box misses a point of %v", round, c)
		}
		if t.Failed() {
			t.Fatalf("round %d: %v from %g to %g", round, c, a, b)
		}
	}
}

func TestOrientIsExact(t *testing.T) {
	r := newRand(t, 45)
	rat := func(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }
	diff := func(x, y float64) *big.Rat { return new(big.Rat).Sub(rat(x), rat(y)) }
	zero := 0
	for range 20000 {
		a := Point{r.Float64() * 1e4, r.Float64() * 1e4}
		b := Point{r.Float64() * 1e4, r.Float64() * 1e4}
		p := a.Lerp(b, r.Float64()*3-1) // on the line but for the rounding
		for range r.IntN(3) {
			p.X = math.Nextafter(p.X, 1e9)
		}
		if r.IntN(3) == 0 {
			a, b, p = Point{math.Round(a.X), 0}, Point{0, math.Round(a.X)}, Point{math.Round(a.X / 2), math.Round(a.X) - math.Round(a.X/2)}
		}
		det := new(big.Rat).Sub(
			new(big.Rat).Mul(diff(a.X, p.X), diff(b.Y, p.Y)),
			new(big.Rat).Mul(diff(a.Y, p.Y), diff(b.X, p.X)))
		if got := Orient(a, b, p); int(got) != det.Sign() {
			t.Fatalf("Orient(%v, %v, %v) = %v, exact %d", a, b, p, got, det.Sign())
		}
		if det.Sign() == 0 {
			zero++
		}
	}
	if zero < 100 {
		t.Errorf("only %d collinear cases", zero)
	}
}

func TestIndexAgainstBruteForce(t *testing.T) {
	r := newRand(t, 46)
	for _, n := range []int{0, 1, 7, 8, 9, 100, 2000} {
		curves := make([]Curve, n)
		for i := range curves {
			curves[i] = randomCurve(r, 100).Translate(Point{r.Float64() * 5000, r.Float64() * 5000})
		}
		x := NewIndex(curves)
		for range 50 {
			p := Point{r.Float64() * 5000, r.Float64() * 5000}
			i, q, ok := x.Nearest(p)
			if ok != (n > 0) {
				t.Fatalf("n %d: ok %v", n, ok)
			}
			best := math.Inf(1)
			for _, c := range curves {
				best = math.Min(best, c.Distance(p))
			}
			if ok {
				near(t, "nearest", p.Distance(q), best, 1e-9)
				near(t, "curve nearest", curves[i].Distance(p), best, 1e-9)
			}
			box := EmptyBox().Extend(p).Grow(r.Float64() * 400)
			var got, want []int
			x.Search(box, func(i int) bool { got = append(got, i); return true })
			for i, c := range curves {
				if c.Box().Overlaps(box) {
					want = append(want, i)
				}
			}
			slices.Sort(got)
			if !slices.Equal(got, want) {
				t.Fatalf("n %d: search gives %v, want %v", n, got, want)
			}
		}
	}
}

// FuzzIntersect looks for contacts that are not on both curves.
func FuzzIntersect(f *testing.F) {
	f.Add(0.0, 0.0, 10.0, 0.0, 0.0, 5.0, -5.0, 5.0, 5.0, 0.0)
	f.Add(100.0, 0.0, -100.0, 0.0, 1.0, -200.0, 100.0, 200.0, 100.0, 0.0)
	f.Add(0.0, 0.0, 1000.0, 0.0, 1e-9, 500.0, -1.0, 500.0, 1.0, -1e-9)
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, b, cx, cy, dx, dy, e float64) {
		c, d := Curve{Point{ax, ay}, Point{bx, by}, b}, Curve{Point{cx, cy}, Point{dx, dy}, e}
		for _, x := range []Curve{c, d} {
			if !x.A.Finite() || !x.B.Finite() || !(math.Abs(x.Bulge) <= 1) || x.Chord() < 1e-3 || x.Chord() > 1e5 || x.A.Norm() > 1e5 {
				return
			}
		}
		for _, h := range Intersect(c, d) {
			if c.Distance(h.P) > 4*Tolerance || d.Distance(h.P) > 4*Tolerance {
				t.Errorf("%v of %v and %v is off by %g and %g", h, c, d, c.Distance(h.P), d.Distance(h.P))
			}
		}
		if w := Nearest(c, d); math.IsNaN(w.Length()) {
			t.Errorf("no distance between %v and %v", c, d)
		}
	})
}
