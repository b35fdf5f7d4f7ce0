package support

import (
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// leastBearing is the width in mm that a support line has at least: a line
// without width would carry nothing it only touches.
const leastBearing = 1

// bearer is one support: what lies inside an area, outside the holes and
// outside the openings that apply to it is carried.
type bearer struct {
	areas    []shape
	holes    []shape
	openings []shape
	box      geom.Box
}

// shape is a loop with its box.
type shape struct {
	loop geom.Loop
	box  geom.Box
}

func newShape(l geom.Loop) shape { return shape{l, l.Box()} }

// holds reports whether p lies inside the loop.
func (s shape) holds(p geom.Point) bool {
	return s.box.Contains(p) && s.loop.Locate(p) == geom.Inside
}

func anyHolds(shapes []shape, p geom.Point) bool {
	for _, s := range shapes {
		if s.holds(p) {
			return true
		}
	}
	return false
}

// carries reports whether stone at p lies on the support.
func (b *bearer) carries(p geom.Point) bool {
	return b.box.Contains(p) && anyHolds(b.areas, p) && !anyHolds(b.holes, p) && !anyHolds(b.openings, p)
}

// Site is what carries the tops of one template.
type Site struct {
	bearers []bearer
}

// NewSite returns what carries the template's tops; lines bear over the width
// bearing in mm.
func NewSite(t *piece.Template, bearing float64) *Site {
	var openings []shape
	for _, o := range t.Openings {
		if len(o.Area) > 0 {
			openings = append(openings, newShape(o.Area))
		}
	}
	site := &Site{}
	for i := range t.Supports {
		s := &t.Supports[i]
		b := bearer{box: geom.EmptyBox()}
		loops := widen(s.Line, math.Max(bearing, leastBearing))
		if len(s.Area) > 0 {
			loops = append(loops, s.Area)
		}
		for _, l := range loops {
			a := newShape(l)
			b.areas = append(b.areas, a)
			b.box = b.box.Union(a.box)
		}
		if b.box.Empty() {
			continue
		}
		for _, h := range s.Holes {
			b.holes = append(b.holes, newShape(h))
		}
		for _, o := range openings {
			if o.box.Overlaps(b.box) && !standsIn(s, o) {
				b.openings = append(b.openings, o)
			}
		}
		site.bearers = append(site.bearers, b)
	}
	return site
}

// within returns the supports that reach into the box.
func (s *Site) within(box geom.Box) []bearer {
	var out []bearer
	for i := range s.bearers {
		if s.bearers[i].box.Overlaps(box) {
			out = append(out, s.bearers[i])
		}
	}
	return out
}

// standsIn reports whether a support stands inside an opening to carry the top
// there (a bracket or leg in a knee space), so that the opening takes nothing
// from it: it lies wholly inside, and an area is less than half the opening. A
// support that reaches beyond the opening, or fills it, is cut by it.
func standsIn(s *piece.Support, o shape) bool {
	curves := s.Line
	if len(s.Area) > 0 {
		if 2*math.Abs(s.Area.Area()) >= math.Abs(o.loop.Area()) {
			return false
		}
		curves = s.Area
	}
	inside := false
	for _, c := range curves {
		for _, p := range [3]geom.Point{c.A, c.Middle(), c.B} {
			switch o.loop.Locate(p) {
			case geom.Outside:
				return false
			case geom.Inside:
				inside = true
			}
		}
	}
	return inside
}

// widen returns the loops a chain of curves bears on: half the width to either
// side, square at the ends, mitred at corners up to a right angle.
func widen(line []geom.Curve, width float64) []geom.Loop {
	var loops []geom.Loop
	h := width / 2
	for i, c := range line {
		if c.A == c.B {
			continue
		}
		loops = append(loops, band(c, h))
		next := line[(i+1)%len(line)]
		if len(line) == 1 || c.B.Distance(next.A) > h || next.A == next.B {
			continue
		}
		if corner := joint(c, next, h); corner != nil {
			loops = append(loops, corner)
		}
	}
	return loops
}

// band is the strip of half width h along one curve, counter-clockwise. An arc
// tighter than h keeps its outer side and closes over its centre.
func band(c geom.Curve, h float64) geom.Loop {
	if c.Bulge < 0 {
		c = c.Reverse()
	}
	outer, _ := c.Offset(-h) // the right side, the outside of a counter-clockwise arc
	inner, ok := c.Offset(h)
	if !ok {
		o := c.Center()
		return geom.Loop{outer, geom.Line(outer.B, o), geom.Line(o, outer.A)}
	}
	return geom.Loop{outer, geom.Line(outer.B, inner.B), inner.Reverse(), geom.Line(inner.A, outer.A)}
}

// joint fills the outside of the corner between two curves of a chain, nil when
// they run on smoothly or turn back.
func joint(c, next geom.Curve, h float64) geom.Loop {
	u, v := c.Tangent(1), next.Tangent(0)
	sin, cos := u.Cross(v), u.Dot(v)
	if math.Abs(sin)*h < geom.Tolerance {
		return nil
	}
	side := -math.Copysign(h, sin) // the outside of a left turn is on the right
	p := c.B
	a, b := p.Add(u.Left().Mul(side)), next.A.Add(v.Left().Mul(side))
	corners := []geom.Point{p, a, b}
	if cos >= 0 { // mitre: both sides run on by h*tan(turn/2)
		corners = []geom.Point{p, a, a.Add(u.Mul(h * math.Abs(sin) / (1 + cos))), b}
	}
	l := geom.Polygon(corners...)
	if l.Area() < 0 {
		l = l.Reverse()
	}
	return l
}
