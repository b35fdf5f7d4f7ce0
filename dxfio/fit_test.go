package dxfio

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

// basis is the value of a B-spline basis function straight from its recursive
// definition (de Boor 1972): slow, and independent of nurbs.at.
func basis(knots []float64, i, p int, t float64) float64 {
	if p == 0 {
		last := t == knots[len(knots)-1] && t == knots[i+1] && knots[i] < knots[i+1]
		if knots[i] <= t && t < knots[i+1] || last {
			return 1
		}
		return 0
	}
	if t < knots[i] || t > knots[i+p+1] {
		return 0 // outside its support
	}
	v := 0.0
	if d := knots[i+p] - knots[i]; d > 0 {
		v += (t - knots[i]) / d * basis(knots, i, p-1, t)
	}
	if d := knots[i+p+1] - knots[i+1]; d > 0 {
		v += (knots[i+p+1] - t) / d * basis(knots, i+1, p-1, t)
	}
	return v
}

// testSpline is a spline as a file gives it.
type testSpline struct {
	degree  int
	knots   []float64
	weights []float64
	points  []geom.Point
}

func (s *testSpline) at(t float64) geom.Point {
	var p geom.Point
	sum := 0.0
	for i, q := range s.points {
		w := basis(s.knots, i, s.degree, t)
		if len(s.weights) > 0 {
			w *= s.weights[i]
		}
		p = p.Add(q.Mul(w))
		sum += w
	}
	return p.Mul(1 / sum)
}

func (s *testSpline) groups(flags int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "0 SPLINE 8 TOP 70 %d 71 %d ", flags, s.degree)
	for _, k := range s.knots {
		fmt.Fprintf(&b, "40 %.17g ", k)
	}
	for _, w := range s.weights {
		fmt.Fprintf(&b, "41 %.17g ", w)
	}
	for _, p := range s.points {
		fmt.Fprintf(&b, "10 %.17g 20 %.17g ", p.X, p.Y)
	}
	return b.String()
}

// clampedKnots returns the knots of an open spline, inner ones at random.
func clampedKnots(rng *rand.Rand, n, degree int) []float64 {
	knots := make([]float64, n+degree+1)
	t := 0.0
	for i := degree + 1; i < n; i++ {
		if rng.IntN(4) > 0 {
			t += 0.2 + rng.Float64()
		}
		knots[i] = t
	}
	for i := n; i < len(knots); i++ {
		knots[i] = t + 1
	}
	return knots
}

// wantFit checks that the curves run through the samples in order, within the
// tolerance, and that their tangents run through but at the given corners.
func wantFit(t *testing.T, d *Drawing, at func(float64) geom.Point, from, to, tolerance float64, closed bool, corners ...geom.Point) {
	t.Helper()
	worst, i := 0.0, 0
	const samples = 2500
	for k := range samples + 1 {
		p := at(from + (to-from)*float64(k)/samples)
		for i+1 < len(d.Curves) && d.Curves[i+1].Distance(p) < d.Curves[i].Distance(p) {
			i++
		}
		worst = math.Max(worst, d.Curves[i].Distance(p))
	}
	if worst > tolerance {
		t.Errorf("the curve lies %v off its %d arcs", worst, len(d.Curves))
	}
	if len(d.Changes) != 1 || d.Changes[0].Kind != CurveToArcs || math.Abs(d.Changes[0].Size-worst) > 0.05*tolerance {
		t.Errorf("reported %+v, measured %v", d.Changes, worst)
	}
	for k, c := range d.Curves {
		if math.Abs(c.Bulge) > 1 {
			t.Errorf("arc %d turns more than a half turn", k)
		}
		next := d.Curves[(k+1)%len(d.Curves)]
		if k == len(d.Curves)-1 && !closed {
			break
		}
		if c.B != next.A {
			t.Fatalf("arc %d ends at %v, the next starts at %v", k, c.B, next.A)
		}
		corner := false
		for _, p := range corners {
			corner = corner || p.Distance(c.B) < 1e-6
		}
		if turn := c.Tangent(1).Cross(next.Tangent(0)); math.Abs(turn) > 1e-5 && !corner {
			t.Errorf("tangent turns by %v at %v", turn, c.B)
		}
	}
}

// Arcs for splines of any degree, rational or not, against samples computed
// from the definition of the basis functions.
func TestSplineFit(t *testing.T) {
	const seed = 7
	rng := rand.New(rand.NewPCG(seed, seed))
	for round := range 40 {
		s := testSpline{degree: 2 + rng.IntN(6)}
		n := s.degree + 1 + rng.IntN(6)
		s.knots = clampedKnots(rng, n, s.degree)
		for range n {
			s.points = append(s.points, geom.Point{X: rng.Float64() * 900, Y: rng.Float64() * 900})
			if round%2 == 1 {
				s.weights = append(s.weights, 0.2+2*rng.Float64())
			}
		}
		if multiplicity(s.knots, s.degree) >= s.degree {
			continue // may turn at once: see TestSplineCorner
		}
		t.Run(fmt.Sprintf("seed %d round %d degree %d", seed, round, s.degree), func(t *testing.T) {
			d := mustRead(t, entities(s.groups(8)))
			wantFit(t, d, s.at, 0, s.knots[len(s.knots)-1], 0.01, false)
			if ends := d.Curves[0].A.Distance(s.at(0)) + d.Curves[len(d.Curves)-1].B.Distance(s.at(s.knots[len(s.knots)-1])); ends > 1e-9 {
				t.Errorf("ends are %v off", ends)
			}
		})
	}
}

// multiplicity returns how often the most frequent inner knot stands there.
func multiplicity(knots []float64, degree int) int {
	most, run := 0, 0
	for i := degree + 1; i < len(knots)-degree-1; i++ {
		if i > 0 && knots[i] == knots[i-1] {
			run++
		} else {
			run = 1
		}
		if knots[i] != knots[0] {
			most = max(most, run)
		}
	}
	return most
}

// A spline may turn at a knot as often as its degree: the corner stays sharp.
func TestSplineCorner(t *testing.T) {
	s := testSpline{degree: 3, knots: []float64{0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 2}, points: []geom.Point{
		{X: 0, Y: 0}, {X: 100, Y: 0}, {X: 200, Y: 50}, {X: 300, Y: 0}, {X: 300, Y: 100}, {X: 250, Y: 200}, {X: 300, Y: 300}}}
	d := mustRead(t, entities(s.groups(8)))
	wantFit(t, d, s.at, 0, 2, 0.01, false, geom.Point{X: 300})
	found := false
	for _, c := range d.Curves {
		found = found || c.B == geom.Point{X: 300}
	}
	if !found {
		t.Error("no arc ends at the corner")
	}
}

// The quarter circle as a rational quadratic: control points (1,0) (1,1) (0,1),
// weights 1, sqrt(1/2), 1 (Piegl and Tiller, The NURBS Book, section 7.2). It
// is a circle exactly, so few arcs hit it without error.
func TestSplineCircle(t *testing.T) {
	s := testSpline{degree: 2, knots: []float64{0, 0, 0, 1, 1, 1}, weights: []float64{1, math.Sqrt(0.5), 1}, points: []geom.Point{{X: 100}, {X: 100, Y: 100}, {Y: 100}}}
	d := mustRead(t, entities(s.groups(12)))
	if got := length(d); math.Abs(got-50*math.Pi) > 1e-9 || len(d.Curves) != 1 {
		t.Errorf("%d curves of length %v, want one of %v", len(d.Curves), got, 50*math.Pi)
	}
	if d.Changes[0].Size > 1e-9 {
		t.Errorf("error %v", d.Changes[0].Size)
	}
}

// The parabola y = x^2/1000 from 0 to 1000 as a quadratic Bezier; its length is
// 500 (sqrt(5) + asinh(2)/2), by calculus.
func TestSplineParabola(t *testing.T) {
	s := testSpline{degree: 2, knots: []float64{0, 0, 0, 1, 1, 1}, points: []geom.Point{{}, {X: 500}, {X: 1000, Y: 1000}}}
	d := mustRead(t, entities(s.groups(8)))
	want := 500 * (math.Sqrt(5) + math.Asinh(2)/2)
	if got := length(d); math.Abs(got-want) > 1e-5*want {
		t.Errorf("length %v, want %v", got, want)
	}
	wantFit(t, d, s.at, 0, 1, 0.01, false)
}

// A closed uniform spline whose first control points come again at the end.
func TestSplineClosed(t *testing.T) {
	s := testSpline{degree: 3}
	ring := []geom.Point{{X: 0, Y: 0}, {X: 400, Y: -50}, {X: 500, Y: 300}, {X: 200, Y: 450}, {X: -50, Y: 200}}
	s.points = append(append(s.points, ring...), ring[:3]...)
	for i := range len(s.points) + 4 {
		s.knots = append(s.knots, float64(i))
	}
	d := mustRead(t, entities(s.groups(11)))
	wantFit(t, d, s.at, 3, 8, 0.01, true)
}

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

// The tolerance is a length on the stone: 0.01 mm whatever the unit.
func TestFitFollowsTheUnit(t *testing.T) {
	ellipse := func(unit string, a float64) string {
		return section("HEADER", "9 $INSUNITS 70 "+unit) + section("ENTITIES", fmt.Sprintf("0 ELLIPSE 8 TOP 10 0 20 0 11 %v 21 0 40 0.5", a)) + pairs("0 EOF")
	}
	inch, mm, metre := mustRead(t, ellipse("1", 20)), mustRead(t, ellipse("4", 508)), mustRead(t, ellipse("6", 0.508))
	if len(inch.Curves) != len(mm.Curves) || len(metre.Curves) != len(mm.Curves) {
		t.Errorf("%d arcs in inches, %d in millimetres, %d in metres", len(inch.Curves), len(mm.Curves), len(metre.Curves))
	}
	if unknown := mustRead(t, ellipse("0", 20)); len(unknown.Curves) != len(inch.Curves) {
		t.Errorf("%d arcs without a unit, want the inch's %d", len(unknown.Curves), len(inch.Curves))
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

// Natural cubic spline through (1,2), (2,3), (3,5): S' is 0.75, 1.5 and 2.25 at
// the points (Burden and Faires, Numerical Analysis, section 3.5; from memory,
// checked by substitution).
func TestNaturalSlopes(t *testing.T) {
	got := openSlopes([]vec3{{x: 2}, {x: 3}, {x: 5}}, []float64{1, 1}, vec3{}, vec3{})
	for i, want := range []float64{0.75, 1.5, 2.25} {
		if math.Abs(got[i].x-want) > 1e-12 {
			t.Errorf("slope %d: %v, want %v", i, got[i].x, want)
		}
	}
}

// Four points on the unit circle: by symmetry the slopes of the closed spline
// are tangents of one length m with 4 h m = 3 * 2, h = sqrt(2).
func TestClosedSlopes(t *testing.T) {
	p := []vec3{{x: 1}, {y: 1}, {x: -1}, {y: -1}, {x: 1}}
	h := []float64{math.Sqrt2, math.Sqrt2, math.Sqrt2, math.Sqrt2}
	m := 3 / (2 * math.Sqrt2)
	for i, want := range []vec3{{y: m}, {x: -m}, {y: -m}, {x: m}, {y: m}} {
		if got := closedSlopes(p, h)[i]; got.sub(want).norm() > 1e-12 {
			t.Errorf("slope %d: %v, want %v", i, got, want)
		}
	}
}

func TestSplineByFitPoints(t *testing.T) {
	for _, tc := range []struct {
		name, groups string
		closed       bool
		through      []geom.Point
	}{
		{"open", "70 8 71 3 74 4 11 0 21 0 11 100 21 80 11 250 21 -40 11 400 21 0", false, []geom.Point{{}, {X: 100, Y: 80}, {X: 250, Y: -40}, {X: 400}}},
		{"with tangents", "70 8 71 3 12 0 22 1 13 0 23 -1 11 0 21 0 11 100 21 80 11 400 21 0", false, []geom.Point{{}, {X: 100, Y: 80}, {X: 400}}},
		{"closed", "70 9 71 3 11 0 21 0 11 100 21 80 11 50 21 200 11 -60 21 90", true, []geom.Point{{}, {X: 100, Y: 80}, {X: 50, Y: 200}, {X: -60, Y: 90}}},
		{"closed, first point again at the end", "70 9 71 3 11 0 21 0 11 100 21 80 11 50 21 200 11 0 21 0", true, []geom.Point{{}, {X: 100, Y: 80}, {X: 50, Y: 200}}},
		{"points that repeat", "70 8 71 3 11 0 21 0 11 0 21 0 11 100 21 80 11 100 21 80", false, []geom.Point{{}, {X: 100, Y: 80}}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := mustRead(t, entities("0 SPLINE 8 TOP "+tc.groups))
			n := len(d.Curves)
			for _, p := range tc.through {
				best := math.Inf(1)
				for _, c := range d.Curves {
					best = math.Min(best, c.Distance(p))
				}
				if best > 0.01 {
					t.Errorf("passes %v at a distance of %v", p, best)
				}
			}
			for i := range d.Curves[:n-1] {
				if turn := d.Curves[i].Tangent(1).Cross(d.Curves[i+1].Tangent(0)); math.Abs(turn) > 1e-6 {
					t.Errorf("tangent turns by %v at %v", turn, d.Curves[i].B)
				}
			}
			if first, last := d.Curves[0], d.Curves[n-1]; tc.closed && (first.A != last.B || math.Abs(last.Tangent(1).Cross(first.Tangent(0))) > 1e-6) {
				t.Errorf("does not close smoothly: %v to %v", last.B, first.A)
			}
			if tc.name == "with tangents" && (math.Abs(d.Curves[0].Tangent(0).X) > 1e-9 || math.Abs(d.Curves[n-1].Tangent(1).X) > 1e-9) {
				t.Errorf("tangents %v and %v", d.Curves[0].Tangent(0), d.Curves[n-1].Tangent(1))
			}
		})
	}
}

// A spline on one place, found by fuzzing: it took minutes.
func TestSplineOnOnePlace(t *testing.T) {
	s := testSpline{degree: 2, knots: []float64{0, 0, 0, 1, 1, 1}, weights: []float64{3, 2, 3}, points: []geom.Point{{X: 48, Y: 48}, {X: 48, Y: 48}, {X: 48, Y: 48}}}
	d := mustRead(t, entities(s.groups(12)))
	wantCurves(t, d)
	wantUnread(t, d, Unread{"SPLINE", "TOP", "zero length", 1})
}

// The gauge against the general distance of package geom.
func TestGauge(t *testing.T) {
	const seed = 5
	rng := rand.New(rand.NewPCG(seed, seed))
	for range 8_000 {
		c := geom.Curve{A: geom.Point{X: rng.Float64() * 100, Y: rng.Float64() * 100}, B: geom.Point{X: rng.Float64() * 100, Y: rng.Float64() * 100}, Bulge: 2*rng.Float64() - 1}
		switch rng.IntN(4) {
		case 0:
			c.Bulge = 0
		case 1:
			c.Bulge *= 1e-7
		}
		g := newGauge(c)
		p := c.At(rng.Float64()*1.2 - 0.1).Add(geom.Point{X: rng.NormFloat64(), Y: rng.NormFloat64()}.Mul(0.02 * c.Chord()))
		if got, want := g.distance(p), c.Distance(p); math.Abs(got-want) > 1e-9 {
			t.Fatalf("seed %d: %v from %v: %v, want %v", seed, p, c, got, want)
		}
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

// Found by fuzzing: a spline that runs to and fro on a line turned back between
// two samples. Its fit points are its turns or lie between them.
func TestSplineTurnsBack(t *testing.T) {
	d := mustRead(t, entities("0 SPLINE 8 TOP 70 8 71 3 11 0 21 42 11 0 21 64 11 0 21 0 11 0 21 50 11 0 21 121"))
	lowest, passed := math.Inf(1), false
	for _, c := range d.Curves {
		lowest = math.Min(lowest, c.Box().Min.Y)
		passed = passed || c.Box().Min.Y <= 0 && c.Box().Max.Y >= 0
	}
	// The natural spline through these points dips to -0.43865 behind the third,
	// computed apart from this code, by its second derivatives.
	if math.Abs(lowest+0.43865) > 0.01 || !passed {
		t.Errorf("lowest point at %v", lowest)
	}
}
