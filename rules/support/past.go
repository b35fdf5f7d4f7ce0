package support

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// leastPast is the size in mm of the cells in which places past the limits are
// told apart: two with less sound stone between them may be one. Their worst
// points are found to Sliver all the same.
const leastPast = 100

// touching is how near in mm cells of one place come to each other.
const touching = 1

// Place is one place past the limits: connected stone that no chord within the
// limits carries.
type Place struct {
	At geom.Point // its worst point
	Chord
	// Stretch is the length in mm that is past the limit: of a span across its
	// middle, of anything else along the boundary around the worst point, each end to
	// a mm; sound parts of the boundary that no cut of the search told apart may be
	// counted in. It is 0
	// where shares are asked and it is not the share that is past its limit: the
	// search without shares gives it.
	Stretch float64
	Ends    geom.Witness // of the stretch
	// Middle is the centroid of the stretch. Of several points that are equally bad
	// any may be the worst; the middle of all that is past the limit is one.
	Middle geom.Point
	cells  []cell
}

// Extent returns the least and greatest d.p of the place's stone, for the unit
// direction d.
func (p *Place) Extent(d geom.Point) (least, most float64) {
	least, most = d.Dot(p.At), d.Dot(p.At)
	for _, c := range p.cells {
		l, m := c.extent(d)
		least, most = math.Min(least, l), math.Max(most, m)
	}
	return least, most
}

// Result is what a search found.
type Result struct {
	Places []Place // past the limits, the worst first
	// Sure is false when the shape was too intricate to be certain that there
	// is no other place.
	Sure bool
	bad  []cell // all that is past the limits
}

// Worst returns the worst point of the piece and its chord; looked is false
// when the piece has no free stone, sure as in Result.
func (m *Model) Worst(l Limits) (at geom.Point, c Chord, looked, sure bool) {
	if !m.Free() {
		return geom.Point{}, Chord{}, false, true
	}
	l.Share = 0
	m = m.helping(l)
	s := m.newSearch(&measure{Limits: l})
	at, f, sure := s.worst([]cell{m.everything()}, geom.Point{}, found{Chord: Chord{Score: math.Inf(-1)}})
	return at, f.Chord, !math.IsInf(f.Score, -1), sure
}

// Past returns every place past the limits.
func (m *Model) Past(l Limits) Result {
	if !m.Free() {
		return Result{Sure: true}
	}
	return m.helping(l).newSearch(&measure{Limits: l}).pastIn([]cell{m.everything()})
}

// PastOf returns every place past the limits, given those past limits that are
// at least as strict.
func (m *Model) PastOf(l Limits, strict Result) Result {
	switch {
	case !strict.Sure:
		return m.Past(l)
	case len(strict.bad) == 0:
		return strict
	}
	s := m.helping(l).newSearch(&measure{Limits: l})
	cells := slices.Clone(strict.bad)
	for i := range cells {
		cells[i].tried = len(s.common)
	}
	return s.pastIn(cells)
}

// pastIn returns the places past the limits in the cells.
func (s *search) pastIn(cells []cell) Result {
	bad, sure := s.past(cells)
	r := Result{Sure: sure}
	for i := range bad {
		r.bad = append(r.bad, bad[i].cell)
	}
	for _, group := range together(bad) {
		p, ok := s.place(group)
		r.Sure = r.Sure && ok
		if p.Score <= pastScore {
			continue
		}
		r.Places = append(r.Places, p)
		if q, ok := s.second(group, &p); ok {
			r.Places = append(r.Places, q)
		}
	}
	slices.SortStableFunc(r.Places, func(a, b Place) int { return cmp.Compare(b.Score, a.Score) })
	r.Places = onceEach(r.Places)
	return r
}

// onceEach leaves out places that hang over the same boundary as a worse one:
// stone that is cut off from it by nothing but the search's own cuts.
func onceEach(places []Place) []Place {
	var kept []Place
	for _, p := range places {
		if !slices.ContainsFunc(kept, func(q Place) bool {
			return p.Stretch > 0 && p.Kind != Span && q.Kind != Span && math.Abs(p.Stretch-q.Stretch) < settled && p.Ends.From.Distance(q.Ends.From) < settled
		}) {
			kept = append(kept, p)
		}
	}
	return kept
}

// suspect is a cell past the limit with the worst point seen in it.
type suspect struct {
	cell
	at geom.Point
	found
}

// past returns the parts of the cells in which no chord within the limits was found; all
// other stone is proven to be within them.
func (s *search) past(stack []cell) (bad []suspect, sure bool) {
	sl := slack{geom.Tolerance, curvedSlack}
	for len(stack) > 0 {
		c := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if s.spent() {
			return bad, false
		}
		if c.tried < len(s.common) {
			stack = append(stack, s.cutCommon(c, 1, sl)...)
			continue
		}
		p := c.center()
		if !s.isFree(p) {
			stack = append(stack, s.trim(c, 1, sl)...)
			continue
		}
		f := s.roughly(p)
		switch {
		case f.Score > pastScore && s.allPast(c):
			bad = append(bad, suspect{c, p, f})
		case f.Score > pastScore:
			stack = append(stack, c.split()...)
		case c.width() > Sliver:
			stack = append(stack, s.cutBy(c, f, 1, sl)...)
		}
	}
	return bad, !s.crowded
}

// roughly returns the best chord of a point, or no more than a score that it is
// not under where that is past the limits already.
func (s *search) roughly(p geom.Point) found {
	if !s.spans && !s.rests {
		s.looked++
		if least := s.floor(s.ms, p, s.nearest(p)); least > pastScore {
			return found{Chord: Chord{Score: least}}
		}
	}
	return s.point(p)
}

// allPast reports whether a cell whose middle is past the limits counts as a
// whole: it is small, or past them towards every corner too.
func (s *search) allPast(c cell) bool {
	if c.diameter() <= leastPast {
		return true
	}
	mid := c.center()
	for _, v := range c.polygon {
		if p := mid.Lerp(v, 0.9); s.isFree(p) && s.within(p, pastScore) {
			return false
		}
	}
	return true
}

// together groups the cells that touch.
func together(bad []suspect) [][]suspect {
	group := make([]int, len(bad))
	var find func(i int) int
	find = func(i int) int {
		if group[i] != i {
			group[i] = find(group[i])
		}
		return group[i]
	}
	boxes := make([]geom.Box, len(bad))
	for i := range bad {
		group[i] = i
		boxes[i] = bad[i].box()
		reach := boxes[i].Grow(touching)
		for j := range bad[:i] {
			if find(i) != find(j) && reach.Overlaps(boxes[j]) && bad[i].touches(bad[j].polygon, touching) {
				group[find(i)] = find(j)
			}
		}
	}
	var out [][]suspect
	index := map[int]int{}
	for i := range bad {
		k, ok := index[find(i)]
		if !ok {
			k = len(out)
			index[find(i)] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], bad[i])
	}
	return out
}

// place finds the worst point of a group of cells.
func (s *search) place(group []suspect) (Place, bool) {
	var p Place
	var best suspect
	best.Score = math.Inf(-1)
	spanned := false
	for _, g := range group {
		p.cells = append(p.cells, g.cell)
		spanned = spanned || g.spanned
		if g.Score > best.Score {
			best = g
		}
	}
	at, f, ok := s.worst(p.cells, best.at, s.point(best.at))
	if f.Kind == Unhelped {
		at = s.farthest(p.cells, at)
		f.Line = geom.Witness{From: s.nearestSupport(at), To: at}
	}
	p.At, p.Chord, p.Middle = at, f.Chord, at
	if s.ms.Share > 0 && (p.Kind == Span || p.Kind == Cantilever && !s.hangsByShare(at)) {
		return p, ok
	}
	s.settle(&p)
	if p.Kind == Span {
		p.Middle = p.At
	}
	s.stretch(&p, spanned)
	return p, ok
}

// hangsByShare reports whether the best chord of a point, whatever its share, is
// past the share.
func (s *search) hangsByShare(p geom.Point) bool {
	c := s.Best(s.ms.Limits, p)
	return c.Kind == Cantilever && c.Length() > s.ms.Share*s.Through(c.Line).Length()
}

// second returns the other flaw of a place that has two: stone between supports
// that spans too far, and beyond the line between them an overhang that is too
// long even if that line were sound.
func (s *search) second(group []suspect, first *Place) (Place, bool) {
	var between, beyond []suspect
	for _, g := range group {
		if g.spanned {
			between = append(between, g)
		} else {
			beyond = append(beyond, g)
		}
	}
	if first.Kind == Cantilever && first.Stands != nil && s.ms.Share == 0 {
		if q, ok := s.lineFlaw(first); ok {
			return q, true
		}
	}
	if len(between) == 0 || len(beyond) == 0 || first.Kind == Unhelped {
		return Place{}, false
	}
	sound := *s.ms
	sound.soundLines = true
	lip := *s
	lip.ms = &sound
	p, _ := lip.place(beyond)
	if p.Kind != Cantilever || p.Score <= pastScore {
		return Place{}, false
	}
	if first.Kind == Span {
		return p, true
	}
	q, _ := s.place(between)
	return q, q.Kind == Span && q.Score > pastScore
}

// lineFlaw returns the span under an overhang that stands on a line between two
// supports, when that line is too long itself.
func (s *search) lineFlaw(p *Place) (Place, bool) {
	score := s.ms.span(p.Stands.Length())
	if score <= pastScore {
		return Place{}, false
	}
	q := Place{At: p.Stands.Middle(), Chord: Chord{Kind: Span, Line: *p.Stands, Score: score}, cells: p.cells}
	s.settle(&q)
	s.stretch(&q, true)
	q.Middle = middleOf(p.cells)
	return q, true
}

// middleOf returns the centroid of the cells.
func middleOf(cells []cell) geom.Point {
	var sum geom.Point
	area := 0.0
	for _, c := range cells {
		sum = sum.Add(c.center().Mul(c.area()))
		area += c.area()
	}
	if area == 0 {
		return cells[0].center()
	}
	return sum.Mul(1 / area)
}
