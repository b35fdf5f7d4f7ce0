package geom

import "math"

// Extent returns the least and greatest distance of the loop's points along the
// direction dir from the origin, arcs counted exactly: the width of the loop in
// that direction is max - min. dir need not have length 1, but not 0.
func (l Loop) Extent(dir Point) (least, most float64) {
	u := dir.Unit()
	least, most = math.Inf(1), math.Inf(-1)
	for _, c := range l {
		most = math.Max(most, c.reach(u))
		least = math.Min(least, -c.reach(u.Mul(-1)))
	}
	return least, most
}

// Extent returns the least and greatest distance of the curve's points along the
// direction dir from the origin, as Loop.Extent does.
func (c Curve) Extent(dir Point) (least, most float64) {
	u := dir.Unit()
	return -c.reach(u.Mul(-1)), c.reach(u)
}

// reach returns the greatest distance of a point of the curve along the unit
// direction u: the support function of the curve.
func (c Curve) reach(u Point) float64 {
	ends := math.Max(c.A.Dot(u), c.B.Dot(u))
	if c.Bulge == 0 {
		return ends
	}
	if p, ok := c.extreme(u); ok {
		return math.Max(ends, p.Dot(u))
	}
	return ends
}

// extreme returns the point of the arc that lies farthest along the unit
// direction u, if that is inside the arc and not an end. The far centre of a
// shallow arc is not needed: the point is seen from it along u, and its fraction
// follows as in frame.fraction from the direction alone.
func (c Curve) extreme(u Point) (Point, bool) {
	f := c.frame()
	x, y := u.Dot(f.dir), f.dir.Cross(u)
	t := 0.5 + math.Atan2(x, -math.Copysign(y, f.b*y))/(2*f.halfLength)
	if t <= 0 || t >= 1 {
		return Point{}, false
	}
	return c.At(t), true
}
