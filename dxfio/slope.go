package dxfio

import "math"

// slope measures what is lost of a curve in space when it is seen from above.
type slope struct {
	low, high   float64 // heights
	first, last vec3
	points      int
	lean        vec3    // twice the area inside the points, along its normal (Newell's method)
	shorter     float64 // the most that a single side loses
}

// add takes the next point of the curve.
func (s *slope) add(p vec3) {
	if s.points == 0 {
		s.low, s.high, s.first, s.last = p.z, p.z, p, p
	}
	s.points++
	s.low, s.high = math.Min(s.low, p.z), math.Max(s.high, p.z)
	s.shorter = math.Max(s.shorter, shortened(p.sub(s.last)))
	// From the first point, so that coordinates far away cost no digits.
	s.lean = s.lean.add(s.last.sub(s.first).cross(p.sub(s.first)))
	s.last = p
}

func (s *slope) height() float64 { return s.high - s.low }

// lost is by how much the curve is shorter or narrower from above. A closed one that lies
// in a plane sloping by the angle t and rises by h is h/sin t long up the slope and
// h/tan t from above: it loses h*tan(t/2). Noise in the heights of its corners turns its
// mean plane little, and counts with the single sides.
func (s *slope) lost(closed bool) float64 {
	if !closed {
		return math.Max(s.shorter, shortened(s.last.sub(s.first)))
	}
	s.add(s.first)
	return math.Max(s.shorter, s.height()*leaning(s.lean))
}

// leaning is the tangent of half the angle between a plane's normal and the vertical; 0
// for a curve that encloses nothing.
func leaning(normal vec3) float64 {
	all, level := normal.norm(), math.Abs(normal.z)
	if all == 0 {
		return 0
	}
	return math.Sqrt(math.Max(0, (all-level)/(all+level)))
}

// shortened is how much shorter a vector is from above.
func shortened(v vec3) float64 {
	flat := math.Hypot(v.x, v.y)
	return math.Hypot(flat, v.z) - flat
}

// ringLost is what a circle or ellipse with the half axes u and v loses, and how far it rises.
func ringLost(u, v vec3) (height, lost float64) {
	height = 2 * math.Hypot(u.z, v.z)
	return height, height * leaning(u.cross(v))
}
