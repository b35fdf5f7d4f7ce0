package trace

import (
	"math"

	"trueup/dxfio/geom"
)

// contact is a point of a curve at which it meets another.
type contact struct {
	seg  int32
	node int32
	t    float64
}

// edge is a part of a curve between two nodes that no other part crosses.
type edge struct {
	geom.Curve
	node [2]int32
	seg  int32   // the curve it is a part of
	t, u float64 // from and to fraction of that curve
}

// part is a curve that runs along an edge beside the edge's own one.
type part struct {
	seg     int32
	t, u    float64 // from and to fraction of that curve
	reverse bool    // it runs against the edge
}

// snap is the distance in mm within which a crossing is taken for a node that
// is already there: above the rounding of crossings at small angles, far below
// anything drawn on purpose.
const snap = 1e-4

// splitter finds all contacts among a set of curves and cuts them there.
type splitter struct {
	w        *work
	segs     []int32
	contacts []contact
	same     []([2]int32) // nodes that turned out to be one
	attach   []bool       // by node: an end or an overlap, not only a crossing
	overlap  bool
	overlaps int // pairs that overlap
	crossed  []crossed
}

// crossed is a transversal crossing of two boundaries.
type crossed struct {
	at   geom.Point
	a, b int32
}

// split finds the contacts of the given curves.
func (w *work) split(segs []int32) *splitter {
	s := &splitter{w: w, segs: segs}
	x := w.live // of no fewer curves
	if x.Index == nil || x.revision != w.revision || len(x.segs) != len(segs) {
		x = w.indexOf(segs)
	}
	x.Pairs(func(a, b int) {
		i, j := segs[min(a, b)], segs[max(a, b)]
		w.spend(1, i)
		if !s.crowded() && !s.apart(i, j) {
			w.spend(meetingSteps+w.nodes.takeLooked(), i)
			s.meet(i, j)
		}
	})
	return s
}

// crowded reports whether so many curves run along each other that some have to
// go first; nothing more is then found out.
func (s *splitter) crowded() bool {
	return !s.w.thinned && s.overlaps > leastCrowd+crowdedOverlaps*len(s.segs)
}

// apart is a quick test that two curves have no contact but a common node.
func (s *splitter) apart(i, j int32) bool {
	g, h := &s.w.segs[i], &s.w.segs[j]
	if g.Bulge != 0 || h.Bulge != 0 {
		return bowApart(g, h)
	}
	u, v := g.B.Sub(g.A), h.B.Sub(h.A)
	for a, m := range g.node {
		for b, n := range h.node {
			if m != n {
				continue
			}
			// Lines from one node: they meet again only when they overlap.
			cross, dot := math.Abs(u.Cross(v)), u.Dot(v)
			if a != b {
				dot = -dot
			}
			return dot < 0 || cross > 4*geom.Tolerance*math.Max(u.Norm(), v.Norm())
		}
	}
	margin := 4 * geom.Tolerance * (math.Abs(u.X) + math.Abs(u.Y))
	a, b := u.Cross(h.A.Sub(g.A)), u.Cross(h.B.Sub(g.A))
	if a > margin && b > margin || a < -margin && b < -margin {
		return true
	}
	margin = 4 * geom.Tolerance * (math.Abs(v.X) + math.Abs(v.Y))
	a, b = v.Cross(g.A.Sub(h.A)), v.Cross(g.B.Sub(h.A))
	return a > margin && b > margin || a < -margin && b < -margin
}

// bowApart is apart where a curve is an arc: true when two curves between the
// same nodes bow to different sides, as the halves of a circle do, or when a line
// and an arc of at most a half turn leave their common node in directions at
// least square to each other and the circle does not bend back over the line.
func bowApart(g, h *seg) bool {
	if math.Abs(g.Bulge) > 1 || math.Abs(h.Bulge) > 1 {
		return false
	}
	if g.node[0] == h.node[0] && g.node[1] == h.node[1] || g.node[0] == h.node[1] && g.node[1] == h.node[0] {
		b := h.Bulge
		if g.node[0] != h.node[0] {
			b = -b
		}
		return g.Bulge*b <= 0 && math.Abs(g.Bulge-b)*g.Chord() > snap
	}
	if g.Bulge != 0 {
		g, h = h, g
	}
	if g.Bulge != 0 {
		return false
	}
	line, arc := g.Curve.Curve, h.Curve.Curve
	switch {
	case g.node[0] == h.node[0]:
	case g.node[0] == h.node[1]:
		arc = arc.Reverse()
	case g.node[1] == h.node[0]:
		line = line.Reverse()
	case g.node[1] == h.node[1]:
		line, arc = line.Reverse(), arc.Reverse()
	default:
		return false
	}
	// The direction of the arc at its start is that of its chord turned back by
	// half the sweep, whose sine and cosine follow from the bulge.
	u, d, b := line.B.Sub(line.A), arc.B.Sub(arc.A), arc.Bulge
	start := geom.Point{X: d.X*(1-b*b) + d.Y*2*b, Y: d.Y*(1-b*b) - d.X*2*b}
	if u.Dot(start) > 0 {
		return false
	}
	// The circle meets the line again 2 (O-P).u from the node P.
	return 2*arc.Center().Sub(line.A).Dot(u) <= geom.Tolerance*u.Norm()
}

// meet notes the contacts of two curves.
func (s *splitter) meet(i, j int32) {
	g, h := &s.w.segs[i], &s.w.segs[j]
	for _, c := range geom.Intersect(g.Curve.Curve, h.Curve.Curve) {
		if c.Kind == geom.Overlapping {
			s.overlap = true
			s.overlaps++
		}
		m, n := endNode(g, c.T), endNode(h, c.U)
		switch {
		case m >= 0 && n >= 0:
			if m != n {
				s.same = append(s.same, [2]int32{m, n})
				s.met(c.P, i)
			}
			s.mark(m)
			s.mark(n)
			continue
		case m < 0 && n >= 0:
			m = n
		case m < 0:
			m = s.w.nodes.nearest(c.P, snap)
			if m < 0 {
				m = s.w.nodes.insert(c.P)
			}
			if c.Kind == geom.Crossing && g.Kind == Boundary && h.Kind == Boundary {
				s.crossed = append(s.crossed, crossed{c.P, i, j})
			} else {
				s.mark(m)
			}
			s.contacts = append(s.contacts, contact{i, m, c.T}, contact{j, m, c.U})
			s.met(c.P, i)
			continue
		}
		s.mark(m)
		if n < 0 {
			s.contacts = append(s.contacts, contact{j, m, c.U})
		} else {
			s.contacts = append(s.contacts, contact{i, m, c.T})
		}
		s.met(c.P, i)
	}
}

// endNode returns the node of a curve's end, or -1 inside it.
func endNode(g *seg, t float64) int32 {
	switch t {
	case 0:
		return g.node[0]
	case 1:
		return g.node[1]
	}
	return -1
}

func (s *splitter) mark(n int32) {
	for len(s.attach) <= int(n) {
		s.attach = append(s.attach, false)
	}
	s.attach[n] = true
}
