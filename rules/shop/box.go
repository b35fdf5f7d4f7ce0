package shop

import (
	"math"

	"trueup/dxfio/geom"
)

// smallestBox returns the smallest rectangle around a loop. Most cutouts are
// rectangles with or without rounded corners, around which it follows from their
// sides: w and h being the sides less the roundings of radius r, the rectangle
// turned by a has the area (w^2+h^2) sin a cos a + wh + 2r(w+h)(sin a+cos a) + 4r^2,
// least at a = 0.
func smallestBox(l geom.Loop) geom.Rectangle {
	if u, ok := squareSides(l); ok {
		return boxAlong(l, u)
	}
	return geom.SmallestRectangle(l)
}

// squareSide is the sine up to which two sides are square or parallel: over a
// slab of 3 m it is 3 nm.
const squareSide = 1e-12

// squareSides reports whether a loop is four straight sides, square to each other,
// with or without a round of one radius at each corner, and returns the direction
// of one.
func squareSides(l geom.Loop) (u geom.Point, ok bool) {
	sides, rounds := 0, 0
	radius := -1.0
	var last geom.Point
	for _, c := range l {
		if !c.IsLine() {
			r := c.Radius()
			if rounds > 0 && math.Abs(r-radius) > geom.Tolerance {
				return u, false
			}
			radius = r
			rounds++
			continue
		}
		d := c.B.Sub(c.A).Unit()
		if sides > 0 && math.Abs(d.Dot(last)) > squareSide {
			return u, false
		}
		if sides == 0 {
			u = d
		}
		last = d
		sides++
	}
	if sides != 4 || rounds != 0 && rounds != 4 {
		return u, false
	}
	for i, c := range l {
		// A round turns a quarter, out of the one side and into the next.
		if next := l[(i+1)%len(l)]; !c.IsLine() && (!next.IsLine() || math.Abs(math.Abs(c.Bulge)-quarter) > geom.Tolerance ||
			math.Abs(c.Tangent(1).Cross(next.Tangent(0))) > geom.Tolerance || c.Bulge*l.Area() < 0) {
			return u, false
		}
	}
	return u, true
}

// quarter is the bulge of a quarter of a circle, tan(90/4 degrees).
const quarter = math.Sqrt2 - 1

// boxAlong returns the rectangle around a loop along the direction u.
func boxAlong(l geom.Loop, u geom.Point) geom.Rectangle {
	n := u.Left()
	x0, x1 := l.Extent(u)
	y0, y1 := l.Extent(n)
	r := geom.Rectangle{Center: u.Mul((x0 + x1) / 2).Add(n.Mul((y0 + y1) / 2)), Length: x1 - x0, Width: y1 - y0}
	if r.Length < r.Width {
		r.Length, r.Width, u = r.Width, r.Length, n
	}
	r.AngleDeg = halfTurn(math.Atan2(u.Y, u.X)) * 180 / math.Pi
	return r
}
