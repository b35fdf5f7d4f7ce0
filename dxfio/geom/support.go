package geom

import "math"

// supporter is something that can be the farthest point of a loop in a
// direction: a corner, or an arc.
type supporter struct {
	curve  Curve // A alone counts for a corner
	corner bool
	// Of an arc: its middle, the direction it bows in, its radius, and the square
	// of the chord between that direction and those of its ends.
	apex, bow      Point
	radius, aside2 float64
}

func arcSupporter(c Curve) supporter {
	out := c.B.Sub(c.A).Unit().Left()
	if c.Bulge > 0 {
		out = out.Mul(-1)
	}
	b2 := c.Bulge * c.Bulge
	return supporter{curve: c, apex: c.At(0.5), bow: out, radius: c.Radius(), aside2: 4 * b2 / (1 + b2)}
}

// reach returns how far the supporter reaches along the unit direction u. The
// farthest point of a circle is counted from the arc's middle, which stays near
// when the centre of a shallow arc is far away: it lies R (1 - cos angle) =
// R |u - bow|^2 / 2 beyond.
func (s *supporter) reach(u Point) float64 {
	if s.corner {
		return s.curve.A.Dot(u)
	}
	d := u.Sub(s.bow)
	if d2 := d.Dot(d); d2 < s.aside2 {
		return s.apex.Dot(u) + s.radius*d2/2
	}
	return math.Max(s.curve.A.Dot(u), s.curve.B.Dot(u))
}

// supportRange is a range of directions (radians) with one supporter.
type supportRange struct {
	from, to float64
	by       int
}

// hull is the convex hull of a loop in dual form: who supports it in which
// direction, from 0 to 2 pi without a gap.
type hull struct {
	by     []supporter
	ranges []supportRange
}

// newHull finds the hull as a quickhull does, n log n on anything a shop draws:
// a range of directions splits where the supporters of its two ends reach
// equally far, and only what reaches farther there is handed down. In a loop
// that does not cross itself a supporter has one range, so nothing is missed.
func newHull(l Loop) hull {
	h := hull{by: make([]supporter, 0, 2*len(l))}
	// Corners come first, so that an arc counts only where its inside reaches
	// farther than its ends. An arc that bows inward never does, and its ends
	// may support the loop on both sides of what reaches out between them.
	for _, c := range l {
		h.by = append(h.by, supporter{curve: c, corner: true})
	}
	area := l.Area()
	for _, c := range l {
		if c.Bulge*area > 0 {
			h.by = append(h.by, arcSupporter(c))
		}
	}
	all := make([]int, len(h.by))
	for i := range all {
		all[i] = i
	}
	first := h.farthest(0, all)
	for k, a := 0, first; k < 4; k++ {
		from, to, b := float64(k)*math.Pi/2, float64(k+1)*math.Pi/2, first
		if k < 3 {
			b = h.farthest(to, all)
		}
		h.split(from, to, a, b, all)
		a = b
	}
	return h
}

// split adds the ranges between two directions whose supporters are a and b.
func (h *hull) split(from, to float64, a, b int, among []int) {
	if a == b {
		h.add(from, to, a)
		return
	}
	mid := h.handover(from, to, a, b)
	u := direction(mid)
	reach := math.Max(h.by[a].reach(u), h.by[b].reach(u))
	var farther []int
	best, most := -1, reach+equalWitness
	for _, i := range among {
		r := h.by[i].reach(u)
		if r > reach+equalWitness {
			farther = append(farther, i)
		}
		if r > most {
			best, most = i, r
		}
	}
	if best < 0 || best == a || best == b {
		h.add(from, mid, a)
		h.add(mid, to, b)
		return
	}
	h.split(from, mid, a, best, farther)
	h.split(mid, to, best, b, farther)
}

// add appends a range, together with the last one where that has the same
// supporter.
func (h *hull) add(from, to float64, by int) {
	if k := len(h.ranges) - 1; k >= 0 && h.ranges[k].by == by {
		h.ranges[k].to = to
	} else if to > from {
		h.ranges = append(h.ranges, supportRange{from, to, by})
	}
}

// handover returns the direction between from and to from which b reaches
// farther than a: between two corners the normal of the line through them,
// otherwise by bisection to the last bit.
func (h *hull) handover(from, to float64, a, b int) float64 {
	p, q := &h.by[a], &h.by[b]
	if p.corner && q.corner {
		n := q.curve.A.Sub(p.curve.A).Left().Mul(-1)
		angle := math.Atan2(n.Y, n.X)
		for angle < from-math.Pi/4 {
			angle += 2 * math.Pi
		}
		return math.Max(from, math.Min(to, angle))
	}
	for {
		mid := from + (to-from)/2
		if mid <= from || mid >= to {
			return to
		}
		if u := direction(mid); p.reach(u) >= q.reach(u) {
			from = mid
		} else {
			to = mid
		}
	}
}

func (h *hull) farthest(angle float64, among []int) int {
	u := direction(angle)
	best, most := -1, math.Inf(-1)
	for _, i := range among {
		if r := h.by[i].reach(u); r > most {
			best, most = i, r
		}
	}
	return best
}

func direction(angle float64) Point {
	s, c := math.Sincos(angle)
	return Point{c, s}
}
