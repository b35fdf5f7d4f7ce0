package trace

import "slices"

// Dividers cut faces, but they do not say what lies in what: a sink stays a hole
// when a seam runs up to it, and a seam drawn across a sink does not cut the
// hole. So the depth of faces is that of the arrangement without the dividers
// inside it, and dividers across holes are taken out.

// seat is where a cell lies by its boundaries: its depth and its parent.
type seat struct {
	depth  int
	parent int32
}

// seats gives every cell its depth and parent by boundaries alone, after taking
// dividers out of holes.
func (l *layer) seats() {
	if !l.divided() {
		return
	}
	whole, group := l.withoutDividers()
	odd := false
	for i := range l.edges {
		if !l.dead[i] && whole.dead[i] {
			if at := group(l.around(half(2 * i))); at >= 0 && whole.cells[at].depth%2 == 1 {
				l.dead[i], odd = true, true
			}
		}
	}
	if odd {
		l.rings = false
		f, _ := l.plan.faces()
		l.nest = f.nest()
		whole, group = l.withoutDividers()
	}
	seats := make([]seat, len(l.cells))
	for i := range l.cells {
		c := &l.cells[i]
		seats[i] = seat{c.depth, c.parent}
		at := group(int32(i))
		if at < 0 {
			continue
		}
		up := whole.cells[at].parent
		seats[i] = seat{whole.cells[at].depth, -1}
		if up >= 0 {
			seats[i].parent = l.parentIn(int32(i), up, group)
		}
	}
	for i := range l.cells {
		l.cells[i].depth, l.cells[i].parent = seats[i].depth, seats[i].parent
	}
}

func (l *layer) divided() bool {
	for i := range l.edges {
		if !l.dead[i] && l.w.segs[l.edges[i].seg].Kind == Divider {
			return true
		}
	}
	return false
}

// findOutsiders marks the cells that are no faces: dividers that run past an
// outline may enclose a region outside it. A cell belongs to a face when
// boundaries alone enclose it, or when it has a boundary that only a divider
// closes: an outline whose last side is drawn as the seam.
func (l *layer) findOutsiders() {
	if !l.dividersOutside() {
		return
	}
	p := l.without(slices.Clone(l.dead))
	groups := newUnions(len(l.cells))
	for i := range p.edges {
		e := &p.edges[i]
		if p.dead[i] || l.w.segs[e.seg].Kind != Divider {
			continue
		}
		p.dead[i] = true
		if a, b := l.around(half(2*i)), l.around(half(2*i+1)); a >= 0 && b >= 0 {
			groups.join(a, b)
		}
	}
	f, _ := p.faces()
	n := f.nest()
	belongs := make([]bool, len(l.cells))
	for i := range l.edges {
		if l.dead[i] || l.w.segs[l.edges[i].seg].Kind == Divider {
			continue
		}
		for _, h := range [2]half{half(2 * i), half(2*i + 1)} {
			if at := l.cellOf[l.of[h]]; at >= 0 && (p.dead[i] || n.around(h) >= 0) {
				belongs[groups.find(at)] = true
			}
		}
	}
	l.outsiders = make([]bool, len(l.cells))
	for i := range l.outsiders {
		l.outsiders[i] = !belongs[groups.find(int32(i))]
	}
}

// dividersOutside reports whether a divider has the outside on one of its sides.
// Where none has, boundaries alone enclose everything, and every cell is a face.
func (l *layer) dividersOutside() bool {
	for i := range l.edges {
		if !l.dead[i] && l.w.segs[l.edges[i].seg].Kind == Divider &&
			(l.around(half(2*i)) < 0 || l.around(half(2*i+1)) < 0) {
			return true
		}
	}
	return false
}

// outsider reports whether a cell is no face.
func (l *layer) outsider(at int32) bool { return l.outsiders != nil && l.outsiders[at] }

// withoutDividers returns the arrangement without the dividers that have a face
// on both sides, and a look-up from cells to the cells there.
func (l *layer) withoutDividers() (*nest, func(cell int32) int32) {
	p := l.without(slices.Clone(l.dead))
	groups := newUnions(len(l.cells))
	for i := range p.edges {
		e := &p.edges[i]
		if p.dead[i] || l.w.segs[e.seg].Kind != Divider {
			continue
		}
		if a, b := l.around(half(2*i)), l.around(half(2*i+1)); a >= 0 && b >= 0 {
			p.dead[i] = true
			groups.join(a, b)
		}
	}
	f, _ := p.faces()
	n := f.nest()
	to := make([]int32, len(l.cells))
	for i := range to {
		to[i] = -1
	}
	for i := range p.edges {
		if p.dead[i] {
			continue
		}
		for _, h := range [2]half{half(2 * i), half(2*i + 1)} {
			if at := l.cellOf[l.of[h]]; at >= 0 {
				to[groups.find(at)] = n.around(h)
			}
		}
	}
	return n, func(cell int32) int32 {
		if cell < 0 {
			return -1
		}
		return to[groups.find(cell)]
	}
}

// around returns the cell on the left of a half-edge, or of a contour the cell it
// lies in, -1 for the outside.
func (n *nest) around(h half) int32 {
	at := n.cellOf[n.of[h]]
	if at < 0 {
		return n.contours[-1-at].parent
	}
	return at
}

// parentIn returns the cell of the group up that shares most of the boundary of
// a cell, or its parent by place where they share none.
func (l *layer) parentIn(at, up int32, group func(int32) int32) int32 {
	shared := map[int32]float64{}
	best := int32(-1)
	for _, h := range l.cells[at].outer {
		if o := l.cellOf[l.of[h^1]]; o >= 0 && group(o) == up {
			shared[o] += l.edges[h/2].Length()
		}
	}
	for o, length := range shared {
		if best < 0 || l.moreShared(length, shared[best], o, best) {
			best = o
		}
	}
	if best < 0 {
		return l.cells[at].parent
	}
	return best
}

// moreShared orders neighbours by common length, then the larger, then by place.
func (n *nest) moreShared(a, b float64, at, best int32) bool {
	c := compareRounded(b, a)
	if c == 0 {
		c = compareRounded(n.cells[best].area, n.cells[at].area)
	}
	if c == 0 {
		c = n.w.comparePlaces(n.loop(n.cells[at].outer).Centroid(), n.loop(n.cells[best].outer).Centroid())
	}
	return c < 0
}
