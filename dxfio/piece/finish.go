package piece

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// mark is a curve that says something about the edge it lies along.
type mark struct {
	curve   geom.Curve
	finish  Finish
	profile string
	id      int32 // number of the curve in the drawing, -1 for a seam's own edge
}

// marks finds marks by place and notes which of them lie along an edge.
type marks struct {
	guard guard
	list  []mark
	index *geom.Index
	reach float64
	turn  float64   // chords of arcs turn by up to this, in radians
	least float64   // stretches up to this go with their neighbour
	used  []float64 // length of each mark's stretches along edges
	both  []contradiction
}

// contradiction is a stretch of an edge that is marked finished and as a wall.
type contradiction struct {
	curves         []geom.Curve
	finished, wall int32 // numbers of the marks in the drawing
}

func (g guard) newMarks(list []mark, s *Settings, facetTurnDeg float64) *marks {
	curves := make([]geom.Curve, len(list))
	for i, m := range list {
		curves[i] = m.curve
	}
	return &marks{
		guard: g, list: list, index: geom.NewIndex(curves), reach: s.MarkDistance, turn: facetTurnDeg * math.Pi / 180,
		least: s.MarkStretch, used: make([]float64, len(list)),
	}
}

// finishSpan is a stretch of an edge by length along it, in mm.
type finishSpan struct {
	from, to float64
	finish   Finish
	profile  string
	id       int32 // of the mark, -1 for a seam's own edge
}

// rank orders what several marks along one stretch say: where stone meets stone
// nothing is polished or stands against a wall, and an edge drawn as finished
// is polished even when a wall line runs along it.
func (f Finish) rank() int {
	switch f {
	case SeamEdge:
		return 3
	case Finished:
		return 2
	case Wall:
		return 1
	}
	return 0
}

// finish returns the finishes along an edge, without a gap and in order. An
// edge marked over part of its length is split there; a stretch not longer than
// the setting mark_stretch goes with its longer neighbour.
func (m *marks) finish(e Edge) []finishSpan {
	var found []finishSpan
	start := 0.0
	for _, c := range e.Curves {
		length := c.Length()
		m.index.Search(c.Box().Grow(m.reach), func(i int) bool {
			m.guard.spendAlong(c, m.list[i].curve)
			spans := along(c, m.list[i].curve, m.reach)
			if s, ok := chordOf(c, m.list[i].curve, m.reach, m.turn); ok {
				spans = []span{s}
			}
			for _, s := range spans {
				m.used[i] += (s.to - s.from) * length
				found = append(found, finishSpan{start + s.from*length, start + s.to*length, m.list[i].finish, m.list[i].profile, m.list[i].id})
			}
			return true
		})
		start += length
	}
	m.contradict(e, found)
	return absorb(layered(found, start), m.least)
}

// contradict notes the stretches of an edge that are marked both finished and as a wall,
// those longer than the setting mark_stretch.
func (m *marks) contradict(e Edge, found []finishSpan) {
	finished, walls := unionOf(found, Finished), unionOf(found, Wall)
	for len(finished) > 0 && len(walls) > 0 {
		f, w := finished[0], walls[0]
		if from, to := max(f.from, w.from), min(f.to, w.to); to-from > m.least+geom.Tolerance {
			m.both = append(m.both, contradiction{cut(e.Curves, from, to), f.id, w.id})
		}
		if f.to < w.to {
			finished = finished[1:]
		} else {
			walls = walls[1:]
		}
	}
}

// unionOf returns the stretches of one finish in order, those that meet as one; the mark
// of the first stands for them.
func unionOf(found []finishSpan, f Finish) []finishSpan {
	var of []finishSpan
	for _, s := range found {
		if s.finish == f {
			of = append(of, s)
		}
	}
	slices.SortFunc(of, func(a, b finishSpan) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.id, b.id)) })
	out := of[:0]
	for _, s := range of {
		if n := len(out) - 1; n >= 0 && s.from <= out[n].to+geom.Tolerance {
			out[n].to = max(out[n].to, s.to)
			continue
		}
		out = append(out, s)
	}
	return out
}

// contradictions reports the edges of a piece, just made, that are marked both finished
// and as a wall.
func (b *builder) contradictions(p *Piece) {
	for _, c := range b.marks.both {
		length := chainLength(c.curves)
		b.problems.add(Problem{
			Kind: EdgeContradiction, Piece: p.ID, Layer: b.layerOf(c.finished), Other: b.layerOf(c.wall), At: pointAlong(c.curves, length/2),
			Witness: geom.Witness{From: c.curves[0].A, To: c.curves[len(c.curves)-1].B}, Measured: length, Limit: b.marks.least, Count: 1,
		})
	}
	b.marks.both = nil
}

// layered returns the stretches from 0 to length, each with the finish of
// highest rank that covers it. A seam keeps the profile of a finish mark along
// it: stone that folds down at a mitre is drawn so.
func layered(found []finishSpan, length float64) []finishSpan {
	if len(found) == 0 {
		return []finishSpan{{0, length, Unmarked, "", -1}}
	}
	cuts := []float64{0, length}
	for _, s := range found {
		cuts = append(cuts, s.from, s.to)
	}
	slices.Sort(cuts)
	slices.SortFunc(found, func(a, b finishSpan) int {
		return cmp.Or(cmp.Compare(b.finish.rank(), a.finish.rank()), cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to), cmp.Compare(a.profile, b.profile))
	})
	ranks := apartByRank(found)
	out := []finishSpan{{finish: Unmarked}}
	for i := 1; i < len(cuts); i++ {
		if cuts[i]-cuts[i-1] <= geom.Tolerance {
			continue
		}
		s := finishSpan{cuts[i-1], cuts[i], Unmarked, "", -1}
		mid := (s.from + s.to) / 2
		for _, list := range ranks {
			k, _ := slices.BinarySearchFunc(list, mid, func(f finishSpan, v float64) int { return cmp.Compare(f.to, v) })
			switch {
			case k >= len(list) || list[k].from > mid:
				continue
			case s.finish == Unmarked:
				s.finish, s.profile = list[k].finish, list[k].profile
			case list[k].finish == Finished: // on a seam, which nobody polishes: its profile may be a mitre
				s.profile = list[k].profile
			}
			if s.finish != SeamEdge {
				break
			}
		}
		out = appendSpan(out, s)
	}
	out[0].from, out[len(out)-1].to = 0, length
	return out
}

// apartByRank returns the spans of each rank, which come sorted by rank and
// start, without overlaps: what starts first keeps its stretch.
func apartByRank(sorted []finishSpan) [][]finishSpan {
	var ranks [][]finishSpan
	for _, s := range sorted {
		k := len(ranks) - 1
		if k < 0 || ranks[k][0].finish != s.finish {
			ranks = append(ranks, []finishSpan{s})
			continue
		}
		if last := ranks[k][len(ranks[k])-1]; s.to > last.to {
			s.from = max(s.from, last.to)
			ranks[k] = append(ranks[k], s)
		}
	}
	return ranks
}

// appendSpan adds a stretch, to the last one when that says the same.
func appendSpan(list []finishSpan, s finishSpan) []finishSpan {
	last := &list[len(list)-1]
	if last.to == 0 {
		*last = s
		return list
	}
	if last.finish == s.finish && last.profile == s.profile {
		last.to = s.to
		return list
	}
	return append(list, s)
}

// absorb gives stretches up to the length least to their longer neighbour, the
// shortest first.
func absorb(list []finishSpan, least float64) []finishSpan {
	n := len(list)
	if n == 1 {
		return list // it has no neighbour
	}
	order := make([]int, n)
	before, after := make([]int, n), make([]int, n)
	for i := range list {
		order[i], before[i], after[i] = i, i-1, i+1
	}
	slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(list[i].to-list[i].from, list[k].to-list[k].from) })
	length := func(i int) float64 {
		if i < 0 || i >= n {
			return 0
		}
		return list[i].to - list[i].from
	}
	gone := make([]bool, n)
	for _, i := range order {
		p, q := before[i], after[i]
		if gone[i] || length(i) > least || p < 0 && q >= n {
			continue
		}
		gone[i] = true
		if length(q) > length(p) {
			list[q].from = list[i].from
		} else {
			list[p].to = list[i].to
		}
		if p >= 0 {
			after[p] = q
		}
		if q < n {
			before[q] = p
		}
	}
	kept := []finishSpan{{}}
	for i, s := range list {
		if !gone[i] {
			kept = appendSpan(kept, s)
		}
	}
	return kept
}

// lies reports whether mark i lies along edges over most of its length or over
// a stretch that counts.
func (m *marks) lies(i int) bool {
	return m.used[i] > min(m.least, m.list[i].curve.Length()/2)
}
