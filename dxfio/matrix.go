package dxfio

import (
	"math"

	"trueup/dxfio/geom"
)

// vec3 is a point or vector in space, drawing units.
type vec3 struct{ x, y, z float64 }

func (a vec3) add(b vec3) vec3    { return vec3{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec3) sub(b vec3) vec3    { return vec3{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vec3) mul(k float64) vec3 { return vec3{a.x * k, a.y * k, a.z * k} }
func (a vec3) dot(b vec3) float64 { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vec3) norm() float64      { return math.Sqrt(a.dot(a)) }

// unit returns the direction, zero for a vector without one.
func (a vec3) unit() vec3 {
	if n := a.norm(); n > 0 {
		return a.mul(1 / n)
	}
	return vec3{}
}

func (a vec3) flat() geom.Point { return geom.Point{X: a.x, Y: a.y} }
func (a vec3) cross(b vec3) vec3 {
	return vec3{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x}
}

// matrix is an affine map: p goes to x*p.x + y*p.y + z*p.z + o.
type matrix struct{ x, y, z, o vec3 }

var identity = matrix{x: vec3{1, 0, 0}, y: vec3{0, 1, 0}, z: vec3{0, 0, 1}}

// vector maps a direction: the shift does not apply.
func (m *matrix) vector(v vec3) vec3 { return m.x.mul(v.x).add(m.y.mul(v.y)).add(m.z.mul(v.z)) }

// point maps a point.
func (m *matrix) point(p vec3) vec3 { return m.vector(p).add(m.o) }

// after returns the map that applies n first, then m.
func (m *matrix) after(n *matrix) matrix {
	return matrix{m.vector(n.x), m.vector(n.y), m.vector(n.z), m.point(n.o)}
}

// edgeOn is the sine of the angle of two axes below which their plane is seen from its
// edge, where left and right mean nothing.
const edgeOn = 0.01

// turnsOver reports whether the plane of the first two axes shows its back to somebody
// who looks down on the drawing.
func turnsOver(m *matrix) bool {
	x, y := m.x.flat(), m.y.flat()
	return x.Cross(y) < -edgeOn*x.Norm()*y.Norm()
}

// zAxis is the extrusion direction of an entity that gives none.
var zAxis = vec3{0, 0, 1}

// arbitraryLimit is 1/64: nearer to the world z axis than this, the x axis of
// the entity's own system is taken from the world y axis (DXF Reference,
// Arbitrary Axis Algorithm).
const arbitraryLimit = 1.0 / 64

// objectSystem returns the map from the object coordinate system with the given
// extrusion direction to world coordinates. A direction of no length, which
// some exporters write, counts as the z axis.
func objectSystem(normal vec3) matrix {
	largest := math.Max(math.Abs(normal.x), math.Max(math.Abs(normal.y), math.Abs(normal.z)))
	if largest == 0 {
		return identity
	}
	n := normal.mul(1 / largest) // keeps the squares in range
	n = n.mul(1 / n.norm())
	ax := vec3{-n.y, n.x, 0} // z x n
	if math.Abs(n.x) < arbitraryLimit && math.Abs(n.y) < arbitraryLimit {
		ax = vec3{n.z, 0, -n.x} // y x n
	}
	ax = ax.mul(1 / ax.norm())
	return matrix{x: ax, y: n.cross(ax), z: n}
}

// sameRatio is how far two axes may differ in length, or from a right angle,
// relative to their length, and still count as the axes of a circle: far above
// the rounding of rotations and scale factors as exporters write them, and
// 1e-5 mm on a circle of ten metres.
const sameRatio = 1e-9

// circular reports whether u and v are the half axes of a circle.
func circular(u, v geom.Point) bool {
	uu, vv := u.Dot(u), v.Dot(v)
	return math.Abs(uu-vv) <= sameRatio*(uu+vv) && math.Abs(u.Dot(v)) <= sameRatio*(uu+vv)
}
