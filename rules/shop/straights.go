package shop

import (
	"math"

	"trueup/dxfio/geom"
)

// sameLine is the distance in mm by which neighbouring lines may stray from one
// line and still be cut as one: far under what a saw can follow.
const sameLine = 0.01

// straight is a stretch of a loop between two breaks: lines on one line, which
// one cut can make, or a run of arcs, which no saw can.
type straight struct {
	curves []geom.Curve
	length float64
	arc    bool
	base   geom.Curve // the longest line
}

func (s *straight) from() geom.Point { return s.curves[0].A }
func (s *straight) to() geom.Point   { return s.curves[len(s.curves)-1].B }

func newStraight(c geom.Curve) straight {
	return straight{curves: []geom.Curve{c}, length: c.Length(), arc: !c.IsLine(), base: c}
}

// takes reports whether the stretch goes on with curve c.
func (s *straight) takes(c geom.Curve) bool {
	if s.arc || !c.IsLine() {
		return s.arc && !c.IsLine()
	}
	u := s.base.Tangent(0)
	off := math.Max(math.Abs(u.Cross(c.A.Sub(s.base.A))), math.Abs(u.Cross(c.B.Sub(s.base.A))))
	return off <= sameLine && u.Dot(c.B.Sub(c.A)) > 0
}

func (s *straight) add(c geom.Curve) {
	s.curves = append(s.curves, c)
	s.length += c.Length()
	if c.Length() > s.base.Length() {
		s.base = c
	}
}

// straights splits a loop. The lengths add up to the loop's.
func straights(l geom.Loop) []straight {
	start := 0
	for i, c := range l {
		before := newStraight(l[(i+len(l)-1)%len(l)])
		if !before.takes(c) {
			start = i
			break
		}
	}
	var out []straight
	for k := range l {
		c := l[(start+k)%len(l)]
		if last := len(out) - 1; last >= 0 && out[last].takes(c) {
			out[last].add(c)
			continue
		}
		out = append(out, newStraight(c))
	}
	return out
}
