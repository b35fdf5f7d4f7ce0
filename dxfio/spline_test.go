package dxfio

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
)

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

// A spline on one place, found by fuzzing: it took minutes.
func TestSplineOnOnePlace(t *testing.T) {
	s := testSpline{degree: 2, knots: []float64{0, 0, 0, 1, 1, 1}, weights: []float64{3, 2, 3}, points: []geom.Point{{X: 48, Y: 48}, {X: 48, Y: 48}, {X: 48, Y: 48}}}
	d := mustRead(t, entities(s.groups(12)))
	wantCurves(t, d)
	wantUnread(t, d, Unread{"SPLINE", "TOP", "zero length", 1})
}
