package trace

import (
	"cmp"
	"slices"

	"trueup/dxfio/geom"
)

// source is a drawn curve along a half-edge.
type source struct {
	seg  int32
	t, u float64
	back bool // the half-edge runs against the curve
}

// sources returns the curves along a half-edge, its own first.
func (p *plan) sources(h half) []source {
	e := &p.edges[h/2]
	back := h%2 == 1
	all := []source{{e.seg, e.t, e.u, back}}
	for _, o := range p.beside(h / 2) {
		all = append(all, source{o.seg, o.t, o.u, o.reverse != back})
	}
	return all
}

// leadsTo reports whether b goes on where a ends on the same curve.
func (a source) leadsTo(b source) bool {
	if a.seg != b.seg || a.back != b.back {
		return false
	}
	if a.back {
		return a.t == b.u
	}
	return a.u == b.t
}

// stripe is a row of half-edges of a cycle along one drawn curve.
type stripe struct {
	from, count int
	at          []source // one a half-edge
	length      float64
}

// whole makes a loop of a cycle, in which neighbouring edges of one drawn curve
// are one curve again. Where several curves run along an edge the one that
// serves the longest stretch of this loop wins: an outline keeps its own side
// where a neighbour's shorter one lies on it. The loop begins at its lowest
// corner, of several the leftmost.
func (w *work) whole(l *layer, hs []half) Loop {
	n := len(hs)
	if l.plain {
		return w.asDrawn(l, hs)
	}
	owner, own := l.owners(hs)
	start, before := 0, n-1
	for i := range n {
		if owner[i] != owner[before] {
			start = i
			break
		}
		before = i
	}
	round := func(i int) int { // less than two rounds
		if i >= n {
			return i - n
		}
		return i
	}
	rows := slices.Grow(l.rows[:0], n)
	low := 0
	for i := 0; i < n; {
		a := round(start + i)
		b := a
		for i++; i < n; i++ {
			next := round(b + 1)
			if owner[next] != owner[a] || !own[b].leadsTo(own[next]) {
				break
			}
			b = next
		}
		rows = append(rows, row{a, b, l.start(hs[a])})
		if compareCorners(rows[len(rows)-1].corner, rows[low].corner) < 0 {
			low = len(rows) - 1
		}
	}
	l.rows = rows
	out := make(Loop, len(rows))
	for i := range out {
		if low == len(rows) {
			low = 0
		}
		r := rows[low]
		low++
		out[i] = w.joined(own[r.first], own[r.last], r.corner, l.start(hs[r.last]^1))
	}
	return out
}

// asDrawn is whole where every edge is one whole curve.
func (w *work) asDrawn(l *layer, hs []half) Loop {
	low := 0
	at := l.start(hs[0])
	for i, h := range hs {
		if p := l.start(h); compareCorners(p, at) < 0 {
			low, at = i, p
		}
	}
	out := make(Loop, len(hs))
	for i := range out {
		if low == len(hs) {
			low = 0
		}
		e := &l.edges[hs[low]/2]
		c := &out[i]
		*c = w.segs[e.seg].Curve
		if c.Curve = e.Curve; hs[low]%2 == 1 {
			c.Curve = e.Reverse()
		}
		low++
	}
	return out
}

// compareCorners orders corners: the lower one first, of equally low ones the
// left one.
func compareCorners(p, q geom.Point) int {
	if p.Y > q.Y+2*coincident { // surely higher, as nearly all are
		return 1
	}
	return cmp.Or(compareRounded(p.Y, q.Y), cmp.Compare(p.X, q.X))
}

// row is a row of half-edges that are one curve in a loop, by place in the cycle.
type row struct {
	first, last int
	corner      geom.Point // where it begins
}

// owners returns for every half-edge of a cycle the drawn curve it is to be a
// part of, and a number that is the same along one stripe. Both are good until the
// next call.
func (l *layer) owners(hs []half) ([]int32, []source) {
	owner, own := slices.Grow(l.owner[:0], len(hs))[:len(hs)], slices.Grow(l.own[:0], len(hs))[:len(hs)]
	l.owner, l.own = owner, own
	shared := false
	for i, h := range hs {
		e := &l.edges[h/2]
		own[i] = source{e.seg, e.t, e.u, h%2 == 1}
		owner[i] = e.seg
	}
	for i := 0; l.others != nil && i < len(hs) && !shared; i++ {
		shared = len(l.others[hs[i]/2]) > 0
	}
	if !shared {
		return owner, own
	}
	stripes := l.stripes(hs)
	segs := l.w.segs
	slices.SortStableFunc(stripes, func(a, b stripe) int {
		c, d := &segs[a.at[0].seg].Curve, &segs[b.at[0].seg].Curve
		return cmp.Or(compareRounded(b.length, a.length), cmp.Compare(c.Kind, d.Kind), l.w.compareInPlace(d, c))
	})
	clear(owner)
	for k, s := range stripes {
		for i := range s.count {
			if at := (s.from + i) % len(hs); owner[at] == 0 {
				owner[at], own[at] = int32(k+1), s.at[i]
			}
		}
	}
	return owner, own
}

// stripes returns for every drawn curve along the cycle its rows.
func (l *layer) stripes(hs []half) []stripe {
	n := len(hs)
	at := make([][]source, n)
	for i, h := range hs {
		at[i] = l.sources(h)
	}
	follow := func(i int, s source, step int) (source, bool) {
		for _, o := range at[(i+step+n)%n] {
			if step > 0 && s.leadsTo(o) || step < 0 && o.leadsTo(s) {
				return o, true
			}
		}
		return source{}, false
	}
	var out []stripe
	for i := range hs {
		for _, s := range at[i] {
			if _, ok := follow(i, s, -1); ok {
				continue
			}
			r := stripe{from: i, count: 1, at: []source{s}, length: l.edges[hs[i]/2].Length()}
			for k := i; r.count < n; k++ {
				next, ok := follow(k, r.at[len(r.at)-1], 1)
				if !ok {
					break
				}
				r.at = append(r.at, next)
				r.length += l.edges[hs[(k+1)%n]/2].Length()
				r.count++
			}
			out = append(out, r)
		}
	}
	return out
}

// joined returns the drawn curve from where first begins to where last ends,
// between two nodes.
func (w *work) joined(first, last source, a, b geom.Point) Curve {
	c := w.segs[first.seg].Curve
	t, u := first.t, last.u
	if first.back {
		t, u = last.t, first.u
	}
	if t > 0 || u < 1 {
		c.Curve = c.Curve.Part(t, u)
	}
	if first.back {
		c.Curve = c.Curve.Reverse()
	}
	c.A, c.B = a, b
	return c
}
