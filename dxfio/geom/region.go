package geom

// Region is a part of the plane bounded by one outer loop, less its holes. The
// holes lie inside the outer loop and apart from each other. Directions of the
// loops do not matter to its measures.
type Region struct {
	Outer Loop
	Holes []Loop
}

// Area returns the area in mm2, never negative for a proper region.
func (r Region) Area() float64 {
	area, _ := r.moments()
	return area
}

// Centroid returns the centre of area, the zero point for an empty region.
func (r Region) Centroid() Point {
	area, first := r.moments()
	if area == 0 {
		return Point{}
	}
	return first.Mul(1 / area)
}

func (r Region) moments() (float64, Point) {
	area, first := positiveMoments(r.Outer)
	for _, h := range r.Holes {
		a, f := positiveMoments(h)
		area, first = area-a, first.Sub(f)
	}
	return area, first
}

func positiveMoments(l Loop) (float64, Point) {
	area, first := l.Moments()
	if area < 0 {
		return -area, first.Mul(-1)
	}
	return area, first
}

// Locate tells whether p lies inside the region, outside, or on a loop of it.
func (r Region) Locate(p Point) Location {
	at := r.Outer.Locate(p)
	if at != Inside {
		return at
	}
	for _, h := range r.Holes {
		switch h.Locate(p) {
		case On:
			return On
		case Inside:
			at = Outside
		}
	}
	return at
}

// Box returns the box of the outer loop.
func (r Region) Box() Box { return r.Outer.Box() }
