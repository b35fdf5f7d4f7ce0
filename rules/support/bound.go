package support

import (
	"math"

	"trueup/dxfio/geom"
)

// slack is the length in mm by which a chord may be past the level and still
// pass, for straight ends and for arcs.
type slack struct{ straight, curved float64 }

// rangeCuts is into how many parts a row is cut to bound chords between arcs.
const rangeCuts = 8

// offsets is a range of offsets of a row with an upper bound of the score there.
type offsets struct{ from, to, bound float64 }

// failing appends the parts of the offsets r in which the option's chords may
// be past the level.
func (s *sweep) failing(ms *measure, o *option, r offsets, level float64, sl slack, out []offsets) []offsets {
	if o.from.edge.radius == 0 && o.to.edge.radius == 0 {
		from, to, bound, ok := s.failingStraight(ms, o, r.from, r.to, level, sl.straight)
		if ok {
			out = append(out, offsets{from, to, math.Min(r.bound, bound)})
		}
		return out
	}
	step := (r.to - r.from) / rangeCuts
	open := false
	for i := range rangeCuts {
		lo, hi := r.from+step*float64(i), r.from+step*float64(i+1)
		v := s.bound(ms, o, lo, hi, sl.curved)
		if v <= level {
			open = false
			continue
		}
		v = math.Min(v, r.bound)
		if open {
			last := &out[len(out)-1]
			last.to, last.bound = hi, math.Max(last.bound, v)
		} else {
			out = append(out, offsets{lo, hi, v})
		}
		open = true
	}
	return out
}

// failingStraight does so for straight ends: the length is linear in the offset
// and a share is a ratio of two such, so the extremes are at the ends.
func (s *sweep) failingStraight(ms *measure, o *option, a, b, level, slack float64) (from, to, bound float64, ok bool) {
	score := func(t float64) float64 { return s.bound(ms, o, t, t, slack) }
	va, vb := score(a), score(b)
	if ms.Share > 0 && o.kind == Cantilever && (o.behind.edge.radius > 0 || o.ahead.edge.radius > 0) {
		// The whole stone ends on arcs: bound it over the row.
		va = s.bound(ms, o, a, b, slack)
		vb = va
	}
	if va <= level && vb <= level {
		return 0, 0, 0, false
	}
	from, to = a, b
	if va > level != (vb > level) {
		lo, hi := a, b // score crosses the level once between them
		for range 40 {
			if mid := (lo + hi) / 2; (score(mid) > level) == (va > level) {
				lo = mid
			} else {
				hi = mid
			}
		}
		if va > level {
			to = hi
		} else {
			from = lo
		}
	}
	return from, to, math.Max(va, vb), true
}

// bound returns an upper bound of the option's score for offsets in [a, b],
// lengths taken less the slack; it is exact when a and b are equal.
func (s *sweep) bound(ms *measure, o *option, a, b, slack float64) float64 {
	fromLeast, fromMost := s.reachRange(o.from, a, b)
	toLeast, toMost := s.reachRange(o.to, a, b)
	length := math.Max(toMost-fromLeast, fromMost-toLeast)
	if a == b {
		length = math.Abs(toLeast - fromLeast)
	}
	length = math.Max(0, length-slack)
	if o.kind == Span {
		return math.Max(o.least, ms.span(length))
	}
	through := 0.0
	if ms.Share > 0 {
		_, behind := s.reachRange(o.behind, a, b)
		ahead, _ := s.reachRange(o.ahead, a, b)
		if through = ahead - behind; through <= 0 {
			return math.Inf(1)
		}
	}
	return math.Max(o.least, ms.cantilever(length, through))
}

// reachRange returns the least and greatest distance along the sweep at which
// lines with offsets in [a, b] meet the edge.
func (s *sweep) reachRange(r reach, a, b float64) (least, most float64) {
	ua := r.at(s.n.Mul(a), s.d)
	if a == b {
		return ua, ua
	}
	ub := r.at(s.n.Mul(b), s.d)
	least, most = math.Min(ua, ub), math.Max(ua, ub)
	if e := r.edge; e.radius > 0 {
		if t := s.n.Dot(e.center); a < t && t < b {
			u := s.d.Dot(e.center) + r.root*e.radius
			least, most = math.Min(least, u), math.Max(most, u)
		}
	}
	return least, most
}

// cell is a convex piece of plane whose free stone is still to be looked at.
type cell struct {
	polygon
	bound float64 // no point of it has a greater score
	tried int     // how many of the common directions have cut it
}

// refine cuts the cell along the sweep's rows and keeps the parts whose score
// may be past the level.
func (s *sweep) refine(ms *measure, c cell, level float64, sl slack) []cell {
	var out []cell
	lo, hi := c.extent(s.n)
	for i := 0; i+1 < len(s.cuts); i++ {
		a, b := math.Max(lo, s.cuts[i]), math.Min(hi, s.cuts[i+1])
		if b-a < geom.Tolerance {
			continue
		}
		part := c.clip(s.n, a).clip(s.n.Mul(-1), -b)
		if len(part) < 3 {
			continue
		}
		uLo, uHi := part.extent(s.d)
		row := s.row(i)
		for k := range row {
			st := &row[k]
			least, _ := s.reachRange(st.behind, a, b)
			_, most := s.reachRange(st.ahead, a, b)
			if least >= uHi || most <= uLo {
				continue
			}
			zs := s.zonesIn(ms, st)
			for i := range zs {
				out = s.refineZone(ms, c, part, &zs[i], offsets{a, b, c.bound}, level, sl, out)
			}
		}
	}
	return out
}

func (s *sweep) refineZone(ms *measure, c cell, part polygon, z *zone, whole offsets, level float64, sl slack, out []cell) []cell {
	left, next := append(ms.left[:0], whole), ms.next[:0]
	for k := range z.options {
		next = next[:0]
		for _, r := range left {
			next = s.failing(ms, &z.options[k], r, level, sl, next)
		}
		if left, next = next, left; len(left) == 0 {
			break
		}
	}
	ms.left, ms.next = left, next
	for _, r := range left {
		g := part.clip(s.n, r.from).clip(s.n.Mul(-1), -r.to)
		g = s.after(g, z.behind, r.from, r.to, 1)
		g = s.after(g, z.ahead, r.from, r.to, -1)
		if len(g) >= 3 && g.area() > Sliver*geom.Tolerance {
			out = append(out, cell{polygon: g, bound: r.bound, tried: c.tried})
		}
	}
	return out
}

// after clips the polygon to what lies beyond the edge along the direction
// (way 1) or before it (way -1), for offsets in [a, b]; of an arc to what lies
// beyond or before all of it.
func (s *sweep) after(g polygon, r reach, a, b, way float64) polygon {
	if len(g) < 3 {
		return nil
	}
	if e := r.edge; e.radius == 0 {
		side := e.b.Sub(e.a)
		n := side.Left()
		if n.Dot(s.d)*way < 0 {
			n = n.Mul(-1)
		}
		n = n.Unit()
		return g.clip(n, n.Dot(e.a))
	}
	least, most := s.reachRange(r, a, b)
	if way > 0 {
		return g.clip(s.d, least)
	}
	return g.clip(s.d.Mul(-1), -most)
}
