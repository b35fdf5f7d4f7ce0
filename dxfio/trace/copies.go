package trace

import (
	"cmp"
	"slices"
)

// copyRepairs reports what was drawn more often than it bounds. Along an edge
// that is the common boundary of two faces, or of several closed outlines, as
// many curves are in place; only those beyond are repairs, one a curve with the
// length that was removed.
func (w *work) copyRepairs(first *layer) {
	removed := map[int32]*Repair{}
	longest := map[int32]float64{}
	l := first
	for i := range l.edges {
		e := &l.edges[i]
		if len(l.beside(int32(i))) == 0 && len(w.copies[e.seg]) == 0 || first.mergedAway(int32(i)) {
			continue
		}
		all := w.along(l.plan, int32(i))
		allowed := max(1, first.outerFaces(int32(i)))
		if first.chains != nil {
			allowed = max(allowed, first.chains.distinct(l.plan, int32(i)))
		}
		for k := range max(0, len(all)-allowed) {
			c := all[k]
			length := e.Length()
			r := removed[c.ID]
			if r == nil {
				r = &Repair{Kind: DuplicateRemoved, ID: c.ID}
				removed[c.ID] = r
			}
			r.Size += length
			if length > longest[c.ID] {
				longest[c.ID], r.At = length, e.Middle()
			}
		}
	}
	for _, r := range removed {
		w.repairs = append(w.repairs, *r)
	}
}

// along returns the curves that run along an edge, those to remove first:
// dividers, the shorter, and the later in their order.
func (w *work) along(p *plan, i int32) []Curve {
	e := &p.edges[i]
	all := append([]Curve{w.segs[e.seg].Curve}, w.copies[e.seg]...)
	for _, o := range p.beside(i) {
		all = append(append(all, w.segs[o.seg].Curve), w.copies[o.seg]...)
	}
	slices.SortFunc(all, func(a, b Curve) int {
		return cmp.Or(-cmp.Compare(a.Kind, b.Kind), w.compareInPlace(&a, &b), -compareCurves(&a, &b))
	})
	return all
}

// mergedAway reports whether an edge is only a copy of another.
func (l *layer) mergedAway(i int32) bool { return l.copied[i] }

// outerFaces counts the faces that have the edge on their outer loop.
func (l *layer) outerFaces(i int32) int {
	count := 0
	for _, h := range [2]half{2 * i, 2*i + 1} {
		if l.onOuter[h] {
			count++
		}
	}
	return count
}

// distinct counts the different closed outlines along an edge: the same outline
// drawn twice counts once.
func (c *chains) distinct(p *plan, i int32) int {
	seen := map[uint64]bool{}
	for _, o := range c.of(p, i) {
		seen[c.signature(o.chain)] = true
	}
	return len(seen)
}

// signature tells chains apart by the curves they run along.
func (c *chains) signature(chain int32) uint64 {
	if c.signs == nil {
		c.signs = make([]uint64, c.count)
		for seg, owners := range c.owners {
			for _, o := range owners {
				h := uint64(seg+1) * 0x9E3779B97F4A7C15
				h ^= h >> 31
				c.signs[o.chain] += h * 0xBF58476D1CE4E5B9
			}
		}
	}
	return c.signs[chain]
}
