package trace

import (
	"math"

	"trueup/dxfio/geom"
)

// end is one end of a curve: side 0 is A, 1 is B.
func (w *work) endPoint(e int32) geom.Point {
	if g := &w.segs[e/2]; e%2 == 1 {
		return g.B
	} else {
		return g.A
	}
}

// outward returns the curve run so that it leaves through the end e.
func (w *work) outward(e int32) geom.Curve {
	c := w.segs[e/2].Curve.Curve
	if e%2 == 0 {
		return c.Reverse()
	}
	return c
}

// moveEnd puts the end e to p, on the curve's own line or circle when p lies
// there, and gives it the node n.
func (w *work) moveEnd(e int32, p geom.Point, n int32) {
	g := &w.segs[e/2]
	c := g.Curve.Curve
	onCarrier := c.Bulge != 0 && math.Abs(c.SignedDistance(p)) <= geom.Tolerance
	switch {
	case e%2 == 0 && onCarrier:
		c = c.WithStart(p)
	case e%2 == 1 && onCarrier:
		c = c.WithEnd(p)
	case e%2 == 0:
		c.A = p
	default:
		c.B = p
	}
	g.Curve.Curve = c
	g.node[e%2] = n
	w.revision++
}

// meeting is where two free ends can be brought together on their own lines and
// circles.
type meeting struct {
	at       geom.Point
	extended bool // at least one of the curves grows
	ok       bool
}

// meet finds the common point of two curves near two of their ends, extending
// or trimming each by at most reach.
func meet(c, d geom.Curve, reach float64) meeting {
	best := meeting{}
	least := math.Inf(1)
	for _, p := range geom.CommonPoints(c, d) {
		dc, dd := p.Distance(c.B), p.Distance(d.B)
		if !atMost(dc, reach) || !atMost(dd, reach) || dc+dd >= least {
			continue
		}
		// Trimming must leave most of a curve, extending not turn past half a circle.
		tc, td := c.Fraction(p), d.Fraction(p)
		if tc < 0.5 || td < 0.5 || !grows(c, tc) || !grows(d, td) {
			continue
		}
		least = dc + dd
		best = meeting{at: p, ok: true, extended: (tc-1)*c.Length() > coincident || (td-1)*d.Length() > coincident}
	}
	return best
}

// grows reports whether an arc extended to the fraction t stays a half turn at
// most.
func grows(c geom.Curve, t float64) bool {
	return c.Bulge == 0 || t*math.Abs(c.Sweep()) <= math.Pi
}
