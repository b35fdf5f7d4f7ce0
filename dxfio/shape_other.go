package dxfio

import (
	"math"

	"trueup/dxfio/geom"
)

// otherShape is an entity that gives neither curve, text nor mark.
type otherShape struct {
	origin
	why        string
	low, high  vec3 // of the points that its groups give, in world coordinates
	placed     bool
	first, end vec3
	points     int
}

func (s *otherShape) from() *origin { return &s.origin }
func (s *otherShape) clone() shape  { c := *s; return &c }

func (s *otherShape) place(r *reader, at *placement) {
	if !s.placed {
		r.notUsed(s.why)
		return
	}
	box := geom.EmptyBox()
	for _, x := range [...]float64{s.low.x, s.high.x} {
		for _, y := range [...]float64{s.low.y, s.high.y} {
			for _, z := range [...]float64{s.low.z, s.high.z} {
				box = box.Extend(at.point(vec3{x, y, z}).flat())
			}
		}
	}
	r.notRead(s.why, box)
}

func (r *reader) readOther(name string) {
	name, why := unreadType(r.names.intern(name))
	if why == WhyPicture || why == WhyCover {
		r.readPicture(name, why)
		return
	}
	s := &r.shapes.other
	*s = otherShape{origin: r.begin(EntityOther, name), why: why}
	corner := pointGroup(name, why)
	var p vec3
	for r.group() {
		switch {
		case corner == 0:
			r.common(&s.origin)
		case r.code == corner:
			s.take(p)
			p = vec3{x: r.looseFloat()}
			s.points++
		case r.code == corner+10:
			p.y = r.looseFloat()
		case r.code == corner+20:
			p.z = r.looseFloat()
		default:
			r.common(&s.origin)
		}
	}
	s.take(p)
	if name == "LEADER" && s.closes() {
		s.why = WhyClosedLeader
	}
	r.put(s)
}

// looseFloat reads a number of an entity that is not used: a fault in it costs nothing.
func (r *reader) looseFloat() float64 {
	if r.err != nil {
		return 0
	}
	v := r.float()
	r.err = nil
	return v
}

// pointGroup is the group code in which an entity gives the x of the points that its
// lines run through; 0 where it gives none, or where nobody needs them (DXF Reference:
// MLINE 11, MESH, LEADER and most others 10).
func pointGroup(name, why string) int {
	switch {
	case name == "MLINE":
		return 11
	case name == "MESH" || name == "LEADER" || name == "HELIX" || name == "MPOLYGON" || why == WhyUnknown:
		return 10
	}
	return 0
}

// take takes the point read last.
func (s *otherShape) take(p vec3) {
	switch {
	case s.points == 0:
		return
	case s.points == 1:
		s.low, s.high, s.first, s.placed = p, p, p, true
	}
	s.low = vec3{math.Min(s.low.x, p.x), math.Min(s.low.y, p.y), math.Min(s.low.z, p.z)}
	s.high = vec3{math.Max(s.high.x, p.x), math.Max(s.high.y, p.y), math.Max(s.high.z, p.z)}
	s.end = p
}

// leastLeaderTurns is how many points a leader has at least that somebody drew round
// something: an arrow to a note has two or three (common practice, no source).
const leastLeaderTurns = 4

// leaderCloses is the share of its size by which the ends of such a leader may miss each
// other (common practice, no source).
const leaderCloses = 0.05

// closes reports whether the line through the points comes back to where it began.
func (s *otherShape) closes() bool {
	return s.points >= leastLeaderTurns && s.end.sub(s.first).norm() <= leaderCloses*s.high.sub(s.low).norm()
}

// notRead counts the entity being shown as unread and keeps where it lies. Of a drawing
// with very many of them the first tell enough.
func (r *reader) notRead(why string, box geom.Box) {
	r.notUsed(why)
	if len(r.d.Unplaced) < mostUnplaced && r.inRange(box.Min) && r.inRange(box.Max) {
		r.d.Unplaced = append(r.d.Unplaced, Unplaced{Type: r.name, Layer: r.source.Layer, Why: why, Box: box})
	}
}

// mostUnplaced is how many places of unread entities are kept.
const mostUnplaced = 10_000
