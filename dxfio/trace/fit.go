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
