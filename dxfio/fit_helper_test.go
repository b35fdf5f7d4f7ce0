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
