package support

import (
	"math"

	"trueup/dxfio/geom"
)

// nearby is what lies nearest to a free point, in mm.
type nearby struct {
	carry float64    // distance to what carries
	foot  geom.Point // where that is
	next  float64    // distance to what carries elsewhere
	end   float64    // distance to where stone ends
}

// nearest returns what lies nearest to p.
func (m *Model) nearest(p geom.Point) nearby {
	n := nearby{carry: math.Inf(1), next: math.Inf(1), end: math.Inf(1)}
	for i := range m.edges {
		e := &m.edges[i]
		q := e.nearest(p)
		switch d := p.Distance(q); {
		case !e.carries:
			n.end = math.Min(n.end, d)
		case d < n.carry:
			if !near(q, n.foot) {
				n.next = n.carry
			}
			n.carry, n.foot = d, q
		case !near(q, n.foot):
			n.next = math.Min(n.next, d)
		}
	}
	return n
}

// floor returns a score that no chord of p is under: chords are no shorter than
// the distances to the nearest of what they may run between.
func (m *Model) floor(ms *measure, p geom.Point, n nearby) float64 {
	least := ms.cantilever(n.carry+n.end, m.longest)
	if m.spans {
		least = math.Min(least, ms.span(2*n.carry))
	}
	for i := range m.lines {
		l := &m.lines[i]
		hangs := ms.cantilever(l.nearest(p).Distance(p)+n.end, m.longest)
		least = math.Min(least, math.Max(ms.standing(l), hangs))
	}
	if m.rests {
		least = math.Min(least, m.restingFloor(ms, p, n))
	}
	return least
}

// squarely returns the best chord of p along the way from the nearest support to
// it; without any the score is without end.
func (m *Model) squarely(ms *measure, p geom.Point, n nearby) found {
	f := found{Chord: Chord{Score: math.Inf(1)}, dir: p.Sub(n.foot).Unit()}
	if f.dir == (geom.Point{}) {
		return f
	}
	ms.options = m.optionsAlong(ms, p, f.dir, ms.options[:0])
	for i := range ms.options {
		o := &ms.options[i]
		if score := o.score(ms, p, f.dir); score < f.Score {
			f.Chord, f.from, f.to = o.chord(ms, p, f.dir), nil, nil
			if o.on == nil && o.onto == nil {
				f.from, f.to = o.from.edge, o.to.edge
			}
		}
	}
	return f
}

// certain reports whether the chord from the nearest support, found squarely, is
// the best of all: as short as any can be, as along a straight overhang, with no
// other support as near and no span.
func (m *Model) certain(f found, n nearby, floor float64) bool {
	return !m.spans && !m.rests && f.from != nil && n.next-n.carry >= Slack && f.Score <= floor*(1+asSquare)
}

// asSquare is the relative rounding of a length that was computed in two ways.
const asSquare = 1e-12

// findSpans finds out whether a chord may run from one support to another: where
// all edges of supports turn away from each other none does.
func (m *Model) findSpans() {
	var carrying []*edge
	for i := range m.edges {
		if e := &m.edges[i]; e.carries {
			if e.bulge > 0 { // free stone within an arc sees the arc itself
				m.spans = true
				return
			}
			carrying = append(carrying, e)
		}
	}
	if len(carrying) > mostTurnedAway {
		m.spans = true
		return
	}
	for i, e := range carrying {
		for _, f := range carrying[:i] {
			if e.faces(f) && f.faces(e) {
				m.spans = true
				return
			}
		}
	}
}

// mostTurnedAway bounds the pairs of edges that findSpans compares.
const mostTurnedAway = 64

// faces reports whether free stone squarely or aslant before e may hold a point
// of f; it may say so of edges that only just miss each other.
func (e *edge) faces(f *edge) bool {
	if e.radius > 0 && f.radius > 0 && near(e.center, f.center) && math.Abs(e.radius-f.radius) < samePoint {
		return false // of one round support
	}
	a, b := e.b.Sub(e.a), e.b.Sub(e.a)
	if e.radius > 0 {
		a, b = e.curve().Tangent(0), e.curve().Tangent(1)
	}
	for _, q := range f.hull() {
		if a.Cross(q.Sub(e.a)) > geom.Tolerance*a.Norm() || b.Cross(q.Sub(e.b)) > geom.Tolerance*b.Norm() {
			return true
		}
		if e.radius > 0 && q.Distance(e.center) > e.radius+geom.Tolerance && e.onArc(e.center.Add(q.Sub(e.center).Unit().Mul(e.radius))) {
			return true
		}
	}
	return false
}

// hull returns the corners of a convex polygon around the edge: of an arc, which
// is no more than a half turn, its ends and the ends of its tangents at both
// quarters.
func (e *edge) hull() []geom.Point {
	if e.radius == 0 {
		return []geom.Point{e.a, e.b}
	}
	c := e.curve()
	apex := func(t float64) geom.Point {
		// Half a half of the arc: its tangents meet at R / cos of that from the centre.
		return e.center.Add(c.At(t).Sub(e.center).Mul(1 / math.Cos(math.Atan(math.Abs(e.bulge)))))
	}
	return []geom.Point{e.a, apex(0.25), apex(0.75), e.b}
}
