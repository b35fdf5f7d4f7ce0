package trace

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// freeEnds returns the ends at which no other curve ends, in the order of their
// places.
func (w *work) freeEnds(inc incidence) []int32 {
	type placed struct {
		at geom.Point
		e  int32
	}
	if inc.free == 0 {
		return nil
	}
	ends := make([]placed, 0, inc.free)
	for i := range w.segs {
		g := &w.segs[i]
		if g.dead {
			continue
		}
		for side, n := range g.node {
			if len(inc.at(n)) == 1 {
				e := int32(2*i + side)
				ends = append(ends, placed{w.endPoint(e), e})
			}
		}
	}
	slices.SortFunc(ends, func(a, b placed) int { return comparePoints(a.at, b.at) })
	free := make([]int32, len(ends))
	for i := range ends {
		free[i] = ends[i].e
	}
	return free
}

// endPair is two free ends that may be one corner.
type endPair struct {
	e, f  int32
	d     float64
	mixed bool // a boundary and a divider
}

// maxEndPairs bounds the neighbours looked at for one free end. Where more free
// ends than this lie within a few millimetres nothing can be told anyway.
const maxEndPairs = 32

// endPairs lists pairs of free ends within reach of each other: like kinds
// before mixed ones, nearest first, equally near ones by place.
func (w *work) endPairs(free []int32, reach float64) []endPair {
	reach += geom.Tolerance // as atMost
	grid := map[[2]int64][]int32{}
	cell := func(p geom.Point) [2]int64 {
		return [2]int64{int64(math.Floor(p.X / reach)), int64(math.Floor(p.Y / reach))}
	}
	var pairs []endPair
	for _, e := range free {
		p := w.endPoint(e)
		k := cell(p)
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				at := grid[[2]int64{k[0] + dx, k[1] + dy}]
				for _, f := range at[max(0, len(at)-maxEndPairs):] {
					if d := p.Distance(w.endPoint(f)); d <= reach && w.mayClose(e, f) {
						pairs = append(pairs, endPair{e, f, d, w.segs[e/2].Kind != w.segs[f/2].Kind})
					}
				}
			}
		}
		grid[k] = append(grid[k], e)
	}
	slices.SortFunc(pairs, func(p, q endPair) int {
		if p.mixed != q.mixed {
			if q.mixed {
				return -1
			}
			return 1
		}
		return cmp.Or(compareMeasured(p.d, q.d), w.comparePlaces(w.between(p), w.between(q)), w.compareEnds(p, q))
	})
	return pairs
}

// between returns the middle between two ends.
func (w *work) between(p endPair) geom.Point { return w.endPoint(p.e).Lerp(w.endPoint(p.f), 0.5) }

// compareEnds orders pairs with the same middle by their curves.
func (w *work) compareEnds(p, q endPair) int {
	length := func(e int32) float64 { return w.segs[e/2].Length() }
	return cmp.Or(compareMeasured(length(p.e)+length(p.f), length(q.e)+length(q.f)),
		w.comparePlaces(w.farPoint(p.e).Lerp(w.farPoint(p.f), 0.5), w.farPoint(q.e).Lerp(w.farPoint(q.f), 0.5)))
}

// farPoint returns the other end of the curve that ends in e.
func (w *work) farPoint(e int32) geom.Point { return w.endPoint(e ^ 1) }

// mayClose reports whether two ends may be joined: not the two ends of one line,
// which would leave nothing.
func (w *work) mayClose(e, f int32) bool {
	return e/2 != f/2 || w.segs[e/2].Bulge != 0
}

// joinEnds brings free ends within reach together, nearest first, each once.
// Ends within join are moved to their common corner or to the middle between
// them; ends farther apart are extended or trimmed to their corner, and where
// there is none a line is put between.
func (w *work) joinEnds(free []int32, reach float64) {
	if reach <= 0 || len(free) < 2 {
		return
	}
	used := map[int32]bool{}
	for _, p := range w.endPairs(free, reach) {
		if used[p.e] || used[p.f] {
			continue
		}
		used[p.e], used[p.f] = true, true
		w.joinPair(p)
	}
}

func (w *work) joinPair(p endPair) {
	e, f := p.e, p.f
	c, d := w.outward(e), w.outward(f)
	mid := c.B.Lerp(d.B, 0.5)
	id := max(w.segs[e/2].ID, w.segs[f/2].ID)
	narrow := atMost(p.d, w.s.Join)
	reach := w.s.Bridge
	if narrow { // a far common point of two nearly parallel curves is no corner
		reach = math.Min(math.Max(4*p.d, geom.Tolerance), math.Max(w.s.Join, w.s.Bridge))
	}
	m := meeting{}
	if e/2 != f/2 {
		m = meet(c, d, reach)
	}
	size := p.d
	if m.ok { // nearly in line, ends near each other may meet far off
		size = math.Max(size, math.Max(m.at.Distance(c.B), m.at.Distance(d.B)))
	}
	kind := GapClosed
	switch {
	case m.ok && !m.extended && p.d > coincident:
		kind = OvershootTrimmed
	case m.ok && !narrow:
		kind = CornerRestored
	}
	switch {
	case m.ok:
		n := w.nodes.insert(m.at)
		w.moveEnd(e, m.at, n)
		w.moveEnd(f, m.at, n)
	case narrow && e/2 != f/2:
		n := w.nodes.insert(mid)
		w.moveEnd(e, mid, n)
		w.moveEnd(f, mid, n)
	default:
		w.bridge(e, f)
	}
	if p.d > coincident {
		w.repair(kind, mid, size, id)
	}
}

// bridge puts a curve between two ends: along the circle where both curves lie
// on one, the longer one's, otherwise straight.
func (w *work) bridge(e, f int32) {
	if w.compareInPlace(&w.segs[e/2].Curve, &w.segs[f/2].Curve) < 0 {
		e, f = f, e
	}
	g, h := &w.segs[e/2], &w.segs[f/2]
	c, d := w.outward(e), w.outward(f)
	line := geom.Line(c.B, d.B)
	if c.Bulge != 0 && d.Bulge != 0 {
		t := c.Fraction(d.B)
		ahead := c.WithEnd(d.B)
		if t > 1 && grows(c, t) && math.Abs(c.SignedDistance(d.B)) <= w.s.FacetTolerance &&
			math.Abs(c.SignedDistance(d.Middle())) <= w.s.FacetTolerance {
			line.Bulge = math.Tan(math.Atan(ahead.Bulge) * (t - 1) / t)
		}
	}
	kind := min(g.Kind, h.Kind)
	w.revision++
	w.segs = append(w.segs, seg{
		Curve: Curve{Curve: line, ID: -1, Kind: kind, Entity: -1},
		node:  [2]int32{g.node[e%2], h.node[f%2]},
	})
}
