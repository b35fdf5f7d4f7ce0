package support

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// budget is how many points one search may look at before it gives up and says
// so; kitchens need a handful, a round table a few hundred, a bowed front that
// hangs past its share a few thousand.
const budget = 16000

// mostWork bounds the work of a search as points times corners times edges and
// lines: a few seconds. Only drawings that are no kitchens come near.
const mostWork = 4e8

// mostRows bounds the rows that the cells of one search are cut along: a second or
// two. Among dozens of supports that stand apart the lines between them cross each
// other thousands of times, and every crossing ends a row.
const mostRows = 2e6

// spent reports whether the search has done as much as it may.
func (s *search) spent() bool { return s.looked > s.allowed() || s.rows > mostRows }

// allowed returns how many points a search of the model may look at.
func (m *Model) allowed() int {
	return int(math.Min(budget, mostWork/float64(1+len(m.corners)*(len(m.edges)+len(m.lines)))))
}

// commonDirections is how many directions that lie across or along the supports
// are tried on every cell before its own.
const commonDirections = 6

// pastScore is the score above which a chord is past its limit: a length equal
// to the limit passes, and this much is rounding.
const pastScore = 1 + 1e-8

// search looks for the worst points of a model under one measure.
type search struct {
	*Model
	ms     *measure
	common []*sweep // along the common directions, made when first needed
	fans   map[fanKey]*fan
	looked int // points so far
	rows   int // of sweeps that cells were cut along, so far
}

func (m *Model) newSearch(ms *measure) *search {
	s := &search{Model: m, ms: ms, fans: map[fanKey]*fan{}}
	s.common = m.sweeps(ms.Share > 0)
	return s
}

// sweeps returns the sweeps along the common directions, nil where none was made
// yet. Those that know the whole stone serve searches that ask no shares too.
func (m *Model) sweeps(share bool) []*sweep {
	if m.ways == nil {
		m.ways = m.directions()
	}
	if m.sharing == nil && share {
		m.sharing = make([]*sweep, len(m.ways))
	}
	if m.sharing != nil {
		return m.sharing
	}
	if m.plain == nil {
		m.plain = make([]*sweep, len(m.ways))
	}
	return m.plain
}

// directions returns the directions across and along the carrying edges and the
// lines between supports, those of the longest first.
func (m *Model) directions() []geom.Point {
	type weighed struct {
		d      geom.Point
		weight float64
	}
	var ws []weighed
	add := func(side geom.Point) {
		length := side.Norm()
		u := side.Mul(1 / length)
		for i := range ws {
			if math.Abs(ws[i].d.Cross(u)) < angleTolerance {
				ws[i].weight += length
				return
			}
		}
		ws = append(ws, weighed{u, length})
	}
	for i := range m.edges {
		if e := &m.edges[i]; e.carries && e.radius == 0 {
			add(e.b.Sub(e.a))
		}
	}
	for i := range m.lines {
		add(m.lines[i].b.Sub(m.lines[i].a))
	}
	slices.SortStableFunc(ws, func(a, b weighed) int {
		switch {
		case a.weight > b.weight:
			return -1
		case a.weight < b.weight:
			return 1
		}
		return 0
	})
	var out []geom.Point
	for _, w := range ws {
		for _, d := range [2]geom.Point{w.d.Left(), w.d} {
			if len(out) < commonDirections && !slices.ContainsFunc(out, func(o geom.Point) bool { return math.Abs(o.Cross(d)) < angleTolerance }) {
				out = append(out, d)
			}
		}
	}
	return out
}

// everything is the cell around all free stone.
func (m *Model) everything() cell {
	b := geom.EmptyBox()
	for i := range m.edges {
		b = b.Union(m.edges[i].curve().Box())
	}
	return cell{polygon: boxPolygon(b), bound: math.Inf(1)}
}

// point looks at one point.
func (s *search) point(p geom.Point) found {
	s.looked++
	return s.best(s.ms, p)
}

// within reports whether a free point has a chord that scores less than the level.
func (s *search) within(p geom.Point, level float64) bool {
	s.looked++
	return s.under(s.ms, p, level)
}

// enoughRemoved is the share of a cell that cutting along a direction has to
// take away; a cut that takes less would only leave more and thinner cells.
const enoughRemoved = 0.1

// cut refines a cell along one direction; ok is false when that takes little and
// the cell stays whole, with a better bound perhaps.
func (s *search) cut(c cell, w *sweep, level float64, sl slack) (parts []cell, ok bool) {
	s.rows += len(w.cuts)
	return c.without(w.refine(s.ms, c, level, sl))
}

// without returns the parts that a cut left of the cell, or the whole cell.
func (c cell) without(parts []cell) (kept []cell, ok bool) {
	left, bound := 0.0, math.Inf(-1)
	for _, p := range parts {
		left += p.area()
		bound = math.Max(bound, p.bound)
	}
	if left <= (1-enoughRemoved)*c.area() {
		return parts, true
	}
	c.bound = math.Min(c.bound, bound)
	return []cell{c}, false
}

// cutBy refines a cell by the best chord of its middle: along the fan of the
// corner or round support that it leaves from, or else along its direction.
func (s *search) cutBy(c cell, f found, level float64, sl slack) []cell {
	ends := [2]*fan{s.fanFrom(f.from, f.Line.From), nil}
	if f.Kind == Span {
		ends[1] = s.fanFrom(f.to, f.Line.To)
	}
	for _, e := range ends {
		if e == nil {
			continue
		}
		parts, ok := c.without(e.refine(s.ms, c, level, sl))
		if ok {
			return parts
		}
		c = parts[0]
	}
	return s.cutAlong(c, f.dir, level, sl)
}

// cutAlong refines a cell along its own direction, or halves it.
func (s *search) cutAlong(c cell, d geom.Point, level float64, sl slack) []cell {
	parts, ok := s.cut(c, s.sweepAlong(d, s.ms.Share > 0), level, sl)
	if !ok {
		return parts[0].split()
	}
	return parts
}

// cutCommon refines a cell along the next common direction.
func (s *search) cutCommon(c cell, level float64, sl slack) []cell {
	if s.common[c.tried] == nil {
		s.common[c.tried] = s.sweepAlong(s.ways[c.tried], s.sharing != nil)
	}
	w := s.common[c.tried]
	c.tried++
	parts, _ := s.cut(c, w, level, sl)
	return parts
}

// trim cuts a cell whose middle is no free stone squarely to the nearest edge,
// so that what lies beyond the edge goes.
func (s *search) trim(c cell, level float64, sl slack) []cell {
	s.looked++
	if c.width() < Sliver {
		return nil
	}
	p := c.center()
	least := math.Inf(1)
	d := geom.Point{X: 1}
	for i := range s.edges {
		if q, _ := geom.NearestPoint(s.edges[i].curve(), p); q.Distance(p) < least && q != p {
			least, d = q.Distance(p), q.Sub(p).Unit()
		}
	}
	return s.cutAlong(c, d, level, sl)
}

func (c cell) split() []cell {
	a, b := c.halves()
	var out []cell
	for _, g := range [2]polygon{a, b} {
		if len(g) >= 3 {
			out = append(out, cell{g, c.bound, c.tried})
		}
	}
	return out
}

// worst returns the point with the greatest score in the cells, to within
// Slack, or the given one when none is worse; ok is false when the budget ended
// before that was certain.
func (s *search) worst(cells []cell, at geom.Point, f found) (geom.Point, found, bool) {
	var q queue
	for _, c := range cells {
		q.push(c)
	}
	limit := s.looked + s.allowed()
	sl := slack{Slack - tie, Slack - tie}
	for len(q) > 0 {
		c := q.pop()
		if c.bound <= f.Score {
			break
		}
		if s.looked > limit || s.rows > mostRows {
			return at, f, false
		}
		if c.tried == 1 {
			// A look into a cell that one cut has left tells most of the others from
			// the worst before they are cut on.
			if p := c.center(); s.isFree(p) {
				if g := s.point(p); g.Score > f.Score {
					if at, f = p, g; g.Kind == Unhelped {
						return at, f, true
					}
				}
				if c.bound <= f.Score {
					continue
				}
			}
		}
		var parts []cell
		if c.tried < len(s.common) {
			parts = s.cutCommon(c, f.Score, sl)
		} else if p := c.center(); !s.isFree(p) {
			parts = s.trim(c, f.Score, sl)
		} else {
			g := s.point(p)
			if g.Score > f.Score {
				at, f = p, g
			}
			if g.Kind == Unhelped {
				return at, f, true
			}
			if c.width() > Sliver {
				parts = s.cutBy(c, g, f.Score, sl)
			}
		}
		for _, p := range parts {
			q.push(p)
		}
	}
	return at, f, !s.crowded
}

// queue is a heap of cells, the greatest bound first. It is written out for cells,
// which container/heap would move one by one to the heap of the program.
type queue []cell

// before reports whether cell i is looked at before cell j.
func (q queue) before(i, j int) bool {
	if q[i].bound != q[j].bound {
		return q[i].bound > q[j].bound
	}
	return q[i].area() > q[j].area()
}

func (q *queue) push(c cell) {
	*q = append(*q, c)
	h := *q
	for i := len(h) - 1; i > 0; {
		up := (i - 1) / 2
		if !h.before(i, up) {
			break
		}
		h[i], h[up] = h[up], h[i]
		i = up
	}
}

func (q *queue) pop() cell {
	h := *q
	top := h[0]
	n := len(h) - 1
	h[0] = h[n]
	h = h[:n]
	*q = h
	for i := 0; ; {
		first := 2*i + 1
		if first+1 < n && h.before(first+1, first) {
			first++
		}
		if first >= n || !h.before(first, i) {
			return top
		}
		h[i], h[first] = h[first], h[i]
		i = first
	}
}
