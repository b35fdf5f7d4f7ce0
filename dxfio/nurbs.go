package dxfio

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// maxDegree is the highest degree of a spline that is read. CAD programs stop
// there or before.
const maxDegree = 25

// weighted is a control point of a rational spline in homogeneous coordinates:
// the place times the weight, and the weight.
type weighted struct{ x, y, w float64 }

func (a weighted) blend(b weighted, t float64) weighted {
	return weighted{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y), a.w + t*(b.w-a.w)}
}

// nurbs is a rational B-spline in the plane: len(knots) = len(points) + degree + 1.
type nurbs struct {
	degree int
	knots  []float64
	points []weighted
	spans  []int // for each span of distinct knots, the index of its left knot
}

// at evaluates by the algorithm of de Boor on homogeneous coordinates. The last
// two points of the scheme give the derivative: p/(u[k+1]-u[k]) times their
// difference (Piegl and Tiller, The NURBS Book, chapters 3 and 4).
func (c *nurbs) at(t float64, span int) (p, d geom.Point) {
	k, n := c.spans[span], c.degree
	var work [maxDegree + 1]weighted
	copy(work[:n+1], c.points[k-n:k+1])
	for level := 1; level < n; level++ {
		for j := n; j >= level; j-- {
			left, right := c.knots[j+k-n], c.knots[j+1+k-level]
			work[j] = work[j-1].blend(work[j], (t-left)/(right-left))
		}
	}
	left, right := c.knots[k], c.knots[k+1]
	a, b := work[n-1], work[n]
	v := a.blend(b, (t-left)/(right-left))
	speed := float64(n) / (right - left)
	place := geom.Point{X: v.x / v.w, Y: v.y / v.w}
	dw := (b.w - a.w) * speed
	return place, geom.Point{
		X: ((b.x-a.x)*speed - dw*place.X) / v.w,
		Y: ((b.y-a.y)*speed - dw*place.Y) / v.w,
	}
}

// stretches cuts the spline where its tangent may turn at once: at knots of
// multiplicity degree or more where it really does. It returns nil for a spline
// without length in the parameter.
func (c *nurbs) stretches() []stretch {
	var knots []float64
	var multiple []bool
	last := len(c.points) // the domain ends at this knot
	for i := c.degree; i < last; i++ {
		if c.knots[i+1] > c.knots[i] {
			if len(knots) == 0 {
				knots = append(knots, c.knots[i])
				multiple = append(multiple, true)
			}
			c.spans = append(c.spans, i)
			knots = append(knots, c.knots[i+1])
			multiple = append(multiple, c.knots[i+1] == c.knots[min(i+c.degree, len(c.knots)-1)])
		}
	}
	if len(knots) == 0 {
		return nil
	}
	var out []stretch
	from := 0
	for i := 1; i < len(knots); i++ {
		if i == len(knots)-1 || multiple[i] && c.bends(knots[i], i) {
			out = append(out, stretch{curve: c, knots: knots[from : i+1], first: from})
			from = i
		}
	}
	return out
}

// bends reports whether the tangents on both sides of a knot differ, or the
// curve jumps there.
func (c *nurbs) bends(t float64, span int) bool {
	p, d := c.at(t, span-1)
	q, e := c.at(t, span)
	size := math.Abs(p.X) + math.Abs(p.Y)
	return p.Distance(q) > sameRatio*size || d.Unit().Distance(e.Unit()) > sameRatio
}

// valid returns the reason why the spline cannot be read, "" when it can.
func (s *splineShape) valid() string {
	n := len(s.points)
	switch {
	case s.degree < 1 || s.degree > maxDegree:
		return WhySplineDegree
	case n < s.degree+1 || len(s.weights) > 0 && len(s.weights) != n:
		return WhySplineData
	case len(s.knots) != n+s.degree+1 || !slices.IsSorted(s.knots):
		return WhySplineKnots
	}
	for _, w := range s.weights {
		if !(w > 0) {
			return WhySplineWeights
		}
	}
	return ""
}
