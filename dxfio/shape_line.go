package dxfio

import (
	"math"

	"trueup/dxfio/geom"
)

// lineShape is a LINE, in world coordinates.
type lineShape struct {
	origin
	a, b vec3
}

func (s *lineShape) from() *origin { return &s.origin }
func (s *lineShape) clone() shape  { c := *s; return &c }

func (r *reader) readLine() {
	s := &r.shapes.line
	*s = lineShape{origin: r.begin(EntityLine, "LINE")}
	for r.group() {
		switch r.code {
		case 10:
			s.a.x = r.float()
		case 20:
			s.a.y = r.float()
		case 30:
			s.a.z = r.float()
		case 11:
			s.b.x = r.float()
		case 21:
			s.b.y = r.float()
		case 31:
			s.b.z = r.float()
		default:
			r.common(&s.origin)
		}
	}
	r.put(s)
}

func (s *lineShape) place(r *reader, at *placement) {
	a, b := s.a, s.b
	if !at.plain {
		a, b = at.point(a), at.point(b)
	}
	if !r.addBulge(a.flat(), b.flat(), 0) {
		r.notUsed(WhyZeroLength)
		return
	}
	if a.z != b.z {
		r.flattened(a.flat(), math.Abs(a.z-b.z), shortened(b.sub(a)))
	}
}

// arcShape is an ARC or CIRCLE in its object coordinate system.
type arcShape struct {
	origin
	center     vec3
	radius     float64
	start, end float64 // degrees, counter-clockwise
	closed     bool
}

func (s *arcShape) from() *origin { return &s.origin }
func (s *arcShape) clone() shape  { c := *s; return &c }

func (r *reader) readCircle() {
	s := &r.shapes.arc
	*s = arcShape{origin: r.begin(EntityCircle, "CIRCLE"), closed: true}
	r.readArcGroups(s)
}

func (r *reader) readArc() {
	s := &r.shapes.arc
	*s = arcShape{origin: r.begin(EntityArc, "ARC")}
	r.readArcGroups(s)
}

func (r *reader) readArcGroups(s *arcShape) {
	for r.group() {
		switch r.code {
		case 10:
			s.center.x = r.float()
		case 20:
			s.center.y = r.float()
		case 30:
			s.center.z = r.float()
		case 40:
			s.radius = r.float()
		case 50:
			s.start = r.float()
		case 51:
			s.end = r.float()
		default:
			r.common(&s.origin)
		}
	}
	r.put(s)
}

// sweep returns the angle of the arc in degrees, 0 for an arc whose ends are
// the same angle: full turns are written as 0 to 360.
func (s *arcShape) sweep() float64 {
	if s.closed {
		return 360
	}
	if s.start == s.end {
		return 0
	}
	turn := math.Mod(s.end-s.start, 360)
	if turn <= 0 {
		turn += 360
	}
	return turn
}

func (s *arcShape) place(r *reader, at *placement) {
	sweep := s.sweep()
	switch {
	case s.radius < 0:
		r.notUsed(WhyNegative)
		return
	case s.radius == 0:
		r.notUsed(WhyZeroRadius)
		return
	case sweep == 0:
		r.notUsed(WhyZeroLength)
		return
	}
	m, plain := at.frame(s.normal)
	if plain {
		r.addArc(s.center.flat(), geom.Point{X: s.radius}, geom.Point{Y: s.radius}, s.start, sweep)
		return
	}
	center, u, v := m.point(s.center), m.vector(vec3{s.radius, 0, 0}), m.vector(vec3{0, s.radius, 0})
	if circular(u.flat(), v.flat()) {
		r.addArc(center.flat(), u.flat(), v.flat(), s.start, sweep)
	} else {
		r.addEllipse(center.flat(), u.flat(), v.flat(), radians(s.start), radians(sweep))
	}
	height, lost := ringLost(u, v)
	r.flattened(center.flat(), height, lost)
}

// addArc adds the circular arc center + u*cos(t) + v*sin(t), where u and v are
// half axes of equal length, from t = start through sweep > 0, both in degrees.
func (r *reader) addArc(center, u, v geom.Point, start, sweep float64) {
	on := func(t float64) geom.Point {
		sin, cos := sincosDegrees(t)
		return center.Add(u.Mul(cos)).Add(v.Mul(sin))
	}
	a, b := on(start), on(start+sweep)
	if sweep == 360 {
		b = a
	}
	parts := 1.0
	if sweep > 180 {
		parts = 2
	}
	bulge := math.Tan(radians(sweep) / (4 * parts))
	if sweep == 180*parts {
		bulge = 1
	}
	if u.Cross(v) < 0 {
		bulge = -bulge
	}
	if parts == 1 {
		if !r.addBulge(a, b, bulge) {
			r.notUsed(WhyZeroLength)
		}
		return
	}
	m := on(start + sweep/2)
	added := r.addBulge(a, m, bulge)
	if !r.addBulge(m, b, bulge) && !added {
		r.notUsed(WhyZeroLength) // a radius that vanishes beside its coordinates
	}
}

func radians(degrees float64) float64 { return degrees * (math.Pi / 180) }

// sincosDegrees returns sine and cosine of an angle in degrees, exact at the
// quarter turns, where most arcs of a template start and end.
func sincosDegrees(t float64) (sin, cos float64) {
	t = math.Mod(t, 360)
	if t < 0 {
		t += 360
	}
	switch t {
	case 0, 360:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(radians(t))
}
