package piece

import (
	"cmp"
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
	list  []mark
	index *geom.Index
	reach float64
	least float64   // stretches up to this go with their neighbour
	used  []float64 // length of each mark's stretches along edges
}

func newMarks(list []mark, s *Settings) *marks {
	curves := make([]geom.Curve, len(list))
	for i, m := range list {
		curves[i] = m.curve
	}
	return &marks{list: list, index: geom.NewIndex(curves), reach: s.MarkDistance, least: s.MarkStretch, used: make([]float64, len(list))}
}

// finishSpan is a stretch of an edge by length along it, in mm.
type finishSpan struct {
	from, to float64
	finish   Finish
	profile  string
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
			if s, ok := along(c, m.list[i].curve, m.reach); ok {
				m.used[i] += (s.to - s.from) * length
				found = append(found, finishSpan{start + s.from*length, start + s.to*length, m.list[i].finish, m.list[i].profile})
			}
			return true
		})
		start += length
	}
	return absorb(layered(found, start), m.least)
}

// layered returns the stretches from 0 to length, each with the finish of
// highest rank that covers it.
func layered(found []finishSpan, length float64) []finishSpan {
	cuts := []float64{0, length}
	for _, s := range found {
		cuts = append(cuts, s.from, s.to)
	}
	slices.Sort(cuts)
	slices.SortFunc(found, func(a, b finishSpan) int {
		return cmp.Or(cmp.Compare(b.finish.rank(), a.finish.rank()), cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to), cmp.Compare(a.profile, b.profile))
	})
	out := []finishSpan{{finish: Unmarked}}
	for i := 1; i < len(cuts); i++ {
		if cuts[i]-cuts[i-1] <= geom.Tolerance {
			continue
		}
		s := finishSpan{cuts[i-1], cuts[i], Unmarked, ""}
		mid := (s.from + s.to) / 2
		if k := slices.IndexFunc(found, func(f finishSpan) bool { return f.from <= mid && mid <= f.to }); k >= 0 {
			s.finish, s.profile = found[k].finish, found[k].profile
		}
		out = appendSpan(out, s)
	}
	out[0].from, out[len(out)-1].to = 0, length
	return out
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
	for len(list) > 1 {
		short := 0
		for i, s := range list {
			if s.to-s.from < list[short].to-list[short].from {
				short = i
			}
		}
		if list[short].to-list[short].from > least {
			break
		}
		into := short - 1
		if short == 0 || short+1 < len(list) && list[short+1].to-list[short+1].from > list[short-1].to-list[short-1].from {
			into = short + 1
		}
		list[short].finish, list[short].profile = list[into].finish, list[into].profile
		joined := []finishSpan{{}}
		for _, s := range list {
			joined = appendSpan(joined, s)
		}
		list = joined
	}
	return list
}

// lies reports whether mark i lies along edges over most of its length or over
// a stretch that counts.
func (m *marks) lies(i int) bool {
	return m.used[i] > min(m.least, m.list[i].curve.Length()/2)
}
