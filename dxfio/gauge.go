package dxfio

import (
	"math"

	"trueup/dxfio/geom"
)

// gauge measures the distance of many places from one arc of at most a half
// turn. What does not depend on the place is computed once; nothing divides by
// the bulge, so that nearly straight arcs are as exact as others.
type gauge struct {
	curve      geom.Curve
	ta, tb     geom.Point // unit tangents at the ends
	mid, along geom.Point // middle of the chord and its unit direction
	quarter    float64    // a quarter of the chord squared
	height     float64    // |bulge| times the centre's distance from the chord
	bent       float64    // |bulge| times the radius
}

func newGauge(c geom.Curve) gauge {
	chord, bb := c.Chord(), c.Bulge*c.Bulge
	return gauge{
		curve: c, ta: c.Tangent(0), tb: c.Tangent(1),
		mid: c.A.Lerp(c.B, 0.5), along: c.B.Sub(c.A).Mul(1 / chord),
		quarter: chord * chord / 4, height: chord * (1 - bb) / 4, bent: chord * (1 + bb) / 4,
	}
}

// distance returns the distance from p to the nearest point of the arc: an end,
// unless p lies between the rays from the centre through both ends.
func (g *gauge) distance(p geom.Point) float64 {
	a, b := p.Sub(g.curve.A), p.Sub(g.curve.B)
	if a.Dot(g.ta) < 0 || b.Dot(g.tb) > 0 {
		return math.Sqrt(math.Min(a.Dot(a), b.Dot(b)))
	}
	q := p.Sub(g.mid)
	x, y := q.Dot(g.along), g.along.Cross(q)
	bulge := g.curve.Bulge
	if bulge == 0 {
		return math.Abs(y)
	}
	// |b| (|pO|^2 - r^2) over |b| (|pO| + r), neither of which needs the centre O.
	bx, by := bulge*x, bulge*y-g.height
	top := bulge*(x*x+y*y-g.quarter) - 2*g.height*y
	return math.Abs(top) / (math.Sqrt(bx*bx+by*by) + g.bent)
}

// biarcGauge measures the distance from one or two arcs that meet smoothly.
type biarcGauge struct {
	arcs [2]gauge
	n    int
}

func newBiarcGauge(now *attempt) (g biarcGauge) {
	g.n = now.n
	for i := range now.n {
		g.arcs[i] = newGauge(now.arcs[i])
	}
	return g
}

// at returns the arc beside which p lies.
func (g *biarcGauge) at(p geom.Point) *gauge {
	if g.n == 2 && p.Sub(g.arcs[1].curve.A).Dot(g.arcs[1].ta) > 0 {
		return &g.arcs[1]
	}
	return &g.arcs[0]
}

func (g *biarcGauge) distance(p geom.Point) float64 { return g.at(p).distance(p) }

// against reports whether the direction d at p runs against the arcs.
func (g *biarcGauge) against(p, d geom.Point) bool {
	arc := g.at(p)
	q := p.Sub(arc.mid)
	// Bulge times the way from the centre to p, turned left, is the direction
	// of travel; on a line it is along the chord.
	bx, by := arc.curve.Bulge*q.Dot(arc.along), arc.curve.Bulge*arc.along.Cross(q)-arc.height
	return d.Dot(arc.along)*-by+arc.along.Cross(d)*bx < 0
}
