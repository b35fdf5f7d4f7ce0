package geom

import "math"

// Loop is a closed chain: each curve starts where the one before ends, and the
// first starts where the last ends. Outlines run counter-clockwise, cutouts
// clockwise. The empty loop has no length and no area.
type Loop []Curve

// Polygon returns the loop of straight sides through the points.
func Polygon(points ...Point) Loop {
	l := make(Loop, len(points))
	for i, p := range points {
		l[i] = Line(p, points[(i+1)%len(points)])
	}
	return l
}

// Length returns the length around the loop.
func (l Loop) Length() float64 {
	var sum float64
	for _, c := range l {
		sum += c.Length()
	}
	return sum
}

// Area returns the signed area in mm2, arcs counted exactly: positive for a
// counter-clockwise loop, 0 for the empty one.
func (l Loop) Area() float64 {
	if len(l) == 0 {
		return 0
	}
	o := l[0].A // about a point of the loop, so that far coordinates lose nothing
	var sum float64
	for _, c := range l {
		sum += c.AreaAbout(o)
	}
	return sum
}

// AreaAbout returns the signed area in mm2 between the curve and the point o,
// positive where the curve runs counter-clockwise about o: added up around a
// loop it is the loop's area, whatever o is.
func (c Curve) AreaAbout(o Point) float64 {
	area := c.A.Sub(o).Cross(c.B.Sub(o)) / 2
	if c.Bulge != 0 {
		area += c.segmentArea()
	}
	return area
}

// Moments returns the signed area and the signed first moments of area about
// the origin (mm2, mm3), from which centroids of regions with holes are added
// up: the centroid of a set of loops is the sum of moments over that of areas.
func (l Loop) Moments() (area float64, first Point) {
	if len(l) == 0 {
		return 0, Point{}
	}
	o := l[0].A
	for _, c := range l {
		a, b := c.A.Sub(o), c.B.Sub(o)
		t := a.Cross(b) / 2
		area += t
		first = first.Add(a.Add(b).Mul(t / 3))
		if c.Bulge != 0 {
			s := c.segmentArea()
			area += s
			// The chord's middle times the area, and the moment about the chord.
			m := c.A.Lerp(c.B, 0.5).Sub(o)
			right := c.B.Sub(c.A).Left().Mul(-1)
			first = first.Add(m.Mul(s)).Add(right.Mul(c.segmentMoment()))
		}
	}
	return area, first.Add(o.Mul(area))
}

// Centroid returns the centre of area, the zero point for an empty loop.
func (l Loop) Centroid() Point {
	area, first := l.Moments()
	if area == 0 {
		return Point{}
	}
	return first.Mul(1 / area)
}

// Box returns the smallest axis-parallel rectangle around the loop.
func (l Loop) Box() Box {
	b := EmptyBox()
	for _, c := range l {
		b = b.Union(c.Box())
	}
	return b
}

// Reverse returns the loop run the other way round.
func (l Loop) Reverse() Loop {
	r := make(Loop, len(l))
	for i, c := range l {
		r[len(l)-1-i] = c.Reverse()
	}
	return r
}

// Translate returns the loop moved by d.
func (l Loop) Translate(d Point) Loop {
	r := make(Loop, len(l))
	for i, c := range l {
		r[i] = c.Translate(d)
	}
	return r
}

// Rotate returns the loop turned by angle radians about the origin.
func (l Loop) Rotate(angle float64) Loop {
	r := make(Loop, len(l))
	for i, c := range l {
		r[i] = c.Rotate(angle)
	}
	return r
}

// Round returns the centre and radius when the whole loop is one circle within
// the tolerance tol (mm), whatever the number of arcs it is drawn with.
func (l Loop) Round(tol float64) (center Point, radius float64, ok bool) {
	if len(l) == 0 {
		return Point{}, 0, false
	}
	turn := 0.0
	for i, c := range l {
		if c.Bulge == 0 {
			return Point{}, 0, false
		}
		o, r := c.Center(), c.Radius()
		if i == 0 {
			center, radius = o, r
		} else if center.Distance(o) > tol || math.Abs(radius-r) > tol {
			return Point{}, 0, false
		}
		turn += c.Sweep()
	}
	return center, radius, math.Abs(math.Abs(turn)-2*math.Pi) < 1e-6
}
