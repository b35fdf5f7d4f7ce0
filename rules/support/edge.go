package support

import (
	"math"

	"trueup/dxfio/geom"
)

// edge is a stretch of the boundary of free stone, which lies on its left.
type edge struct {
	a, b    geom.Point
	bulge   float64
	center  geom.Point // of an arc
	radius  float64    // of an arc, 0 for a line
	carries bool       // what lies on the right carries; otherwise stone ends
}

func newEdge(c geom.Curve, carries bool) edge {
	e := edge{a: c.A, b: c.B, bulge: c.Bulge, carries: carries}
	if c.Bulge != 0 {
		if r := c.Radius(); r < straightRadius {
			e.center, e.radius = c.Center(), r
		} else {
			e.bulge = 0
		}
	}
	return e
}

// straightRadius is the radius in mm from which an arc's chord stands for it:
// over ten metres of stone such an arc bows by 0.0125 mm, and its centre would
// be too far away to compute with.
const straightRadius = 1e9

func (e *edge) curve() geom.Curve { return geom.Curve{A: e.a, B: e.b, Bulge: e.bulge} }

// onArc reports whether a point of the arc's circle lies on the arc: on the
// side of the chord to which the arc bows (no arc is more than a half turn).
func (e *edge) onArc(p geom.Point) bool {
	side := e.b.Sub(e.a).Cross(p.Sub(e.a))
	return side == 0 || (side < 0) == (e.bulge > 0)
}

// nearest returns the point of the edge that is nearest to p.
func (e *edge) nearest(p geom.Point) geom.Point {
	if e.radius > 0 {
		if v := p.Sub(e.center); v != (geom.Point{}) {
			if q := e.center.Add(v.Mul(e.radius / v.Norm())); e.onArc(q) {
				return q
			}
		}
		if p.Distance(e.a) <= p.Distance(e.b) {
			return e.a
		}
		return e.b
	}
	side := e.b.Sub(e.a)
	t := side.Dot(p.Sub(e.a)) / side.Dot(side)
	return e.a.Lerp(e.b, math.Min(math.Max(t, 0), 1))
}

// reach is where a ray meets an edge: of the two crossings with an arc's circle
// root says which, -1 the nearer along the ray's direction and +1 the farther.
type reach struct {
	edge *edge // nil: nothing met
	root float64
}

// at returns the signed distance along the unit direction d from p to the
// edge's line or circle, also a little beyond its ends.
func (r reach) at(p, d geom.Point) float64 {
	e := r.edge
	if e.radius == 0 {
		side := e.b.Sub(e.a)
		return e.a.Sub(p).Cross(side) / d.Cross(side)
	}
	w := p.Sub(e.center)
	along := w.Dot(d)
	across := w.Cross(d)
	return -along + r.root*math.Sqrt(math.Max(0, e.radius*e.radius-across*across))
}

// meets finds the nearest edges ahead of p along d and behind it. Rays through
// an edge's very end may see either of its neighbours, or neither: callers send
// rays between the ends.
func meets(edges []edge, p, d geom.Point) (ahead, behind reach, to, from float64) {
	to, from = math.Inf(1), math.Inf(-1)
	for i := range edges {
		e := &edges[i]
		if e.radius == 0 {
			sa, sb := d.Cross(e.a.Sub(p)), d.Cross(e.b.Sub(p))
			if (sa > 0) == (sb > 0) {
				continue
			}
			side := e.b.Sub(e.a)
			r := e.a.Sub(p).Cross(side) / (sb - sa)
			if r > 0 && r < to {
				to, ahead = r, reach{e, 0}
			}
			if r <= 0 && r > from {
				from, behind = r, reach{e, 0}
			}
			continue
		}
		w := p.Sub(e.center)
		across := w.Cross(d)
		disc := e.radius*e.radius - across*across
		if disc <= 0 {
			continue
		}
		half := math.Sqrt(disc)
		for _, root := range [2]float64{-1, 1} {
			r := -w.Dot(d) + root*half
			if r > 0 && r >= to || r <= 0 && r <= from || !e.onArc(p.Add(d.Mul(r))) {
				continue
			}
			if r > 0 {
				to, ahead = r, reach{e, root}
			} else {
				from, behind = r, reach{e, root}
			}
		}
	}
	return ahead, behind, to, from
}
