package trace

import (
	"math"

	"trueup/dxfio/geom"
)

// circle is a centre and radius in mm.
type circle struct {
	center geom.Point
	radius float64
}

// fitCircle returns the circle nearest to the points in the least-squares sense
// (Kasa, A circle fitting procedure and its error analysis, 1976): for points
// spread evenly over the arc and errors far below the radius its bias is far
// below any tolerance here. ok is false when the points lie on a line.
func fitCircle(p []geom.Point) (circle, bool) {
	o := geom.Point{}
	for _, q := range p {
		o = o.Add(q)
	}
	o = o.Mul(1 / float64(len(p)))
	var xx, xy, yy, xz, yz, zz float64
	for _, q := range p {
		d := q.Sub(o)
		z := d.Dot(d)
		xx, xy, yy = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y
		xz, yz, zz = xz+d.X*z, yz+d.Y*z, zz+z
	}
	det := xx*yy - xy*xy
	// The points' thickness across their main direction, against their spread.
	if spread := xx + yy; det <= flatness*spread*spread {
		return circle{}, false
	}
	c := geom.Point{X: (xz*yy - yz*xy) / (2 * det), Y: (yz*xx - xz*xy) / (2 * det)}
	return circle{o.Add(c), math.Sqrt(c.Dot(c) + zz/float64(len(p)))}, true
}

// flatness is the square of thickness over spread below which points lie on a
// line as far as float64 can tell after squaring twice.
const flatness = 1e-14

// residual returns the greatest distance of the points from the circle.
func (c circle) residual(p []geom.Point) float64 {
	most := 0.0
	for _, q := range p {
		most = math.Max(most, math.Abs(q.Distance(c.center)-c.radius))
	}
	return most
}

// through returns the circle with the nearest centre that passes through the
// two points exactly.
func (c circle) through(a, b geom.Point) circle {
	n := b.Sub(a).Left().Unit()
	m := a.Lerp(b, 0.5)
	o := m.Add(n.Mul(c.center.Sub(m).Dot(n)))
	return circle{o, o.Distance(a)}
}

// deviation returns the largest distance in mm between a chain of chords and the
// arc that stands for it, both ways. Both are farthest apart at a corner, or where
// the arc bulges most from a chord: at the foot of the centre on it.
func (c circle) deviation(p []geom.Point) float64 {
	most := c.residual(p)
	for i := 1; i < len(p); i++ {
		chord := geom.Line(p[i-1], p[i])
		most = math.Max(most, c.radius-chord.Distance(c.center))
	}
	return most
}

// arcThrough returns the arc from the first of the points to the last that stands
// for the chain through them: its signed sweep and its circle, which passes
// through both ends. It is the one nearest to a fitted circle, or, where a point
// lies off that by more than FacetTolerance, the one whose farthest point is
// nearest.
func (w *work) arcThrough(p []geom.Point, fitted circle) (sweep float64, on circle) {
	a, b := p[0], p[len(p)-1]
	on = fitted.through(a, b)
	for i := 1; i < len(p); i++ {
		u, v := p[i-1].Sub(on.center), p[i].Sub(on.center)
		sweep += math.Atan2(u.Cross(v), u.Dot(v))
	}
	if on.residual(p) <= w.s.FacetTolerance {
		return sweep, on
	}
	// Arcs between two points lie one within the other, so that a point's distance
	// falls and then grows with the sweep, and the farthest one's does too.
	lo, hi := sweep*(1-refitted), sweep*(1+refitted)
	for range refits {
		s, t := lo+(hi-lo)/3, hi-(hi-lo)/3
		if sweptFrom(a, b, s).residual(p) <= sweptFrom(a, b, t).residual(p) {
			hi = t
		} else {
			lo = s
		}
	}
	sweep = (lo + hi) / 2
	return sweep, sweptFrom(a, b, sweep)
}

// How the sweep of an arc is sought: within so much of the fitted one, a share, in
// so many thirds, which leaves a billionth of that.
const (
	refitted = 0.25
	refits   = 50
)

// sweptFrom returns the circle of the arc from a to b with a signed sweep, radians.
func sweptFrom(a, b geom.Point, sweep float64) circle {
	n := b.Sub(a).Left()
	o := a.Lerp(b, 0.5).Add(n.Mul(1 / (2 * math.Tan(sweep/2))))
	return circle{o, o.Distance(a)}
}
