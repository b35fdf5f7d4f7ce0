package piece

import (
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// mostBorrowing bounds the free ends for which edges are sought on other layers.
const mostBorrowing = 200

// lender finds ways between the free ends of open outlines along curves of the
// finished, wall and seam layers.
type lender struct {
	guard   guard
	ids     []int32
	curves  []geom.Curve
	index   *geom.Index
	reach   float64
	join    float64
	open    []trace.OpenChain
	ends    []freeEnd
	hold    map[int][]hold // the free ends that lie on each curve
	settled []bool         // ends that have found their way
}

// hold is a free end on a curve.
type hold struct {
	end int
	t   float64
}

// step is a curve entered at t, on the way from a free end.
type step struct {
	curve  int
	t      float64
	before int // index of the step before, -1 at the start
}

// loan is a way from one free end to another along marks.
type loan struct {
	parts    []trace.Curve
	from, to geom.Point
}

// borrow returns the ways along finished, wall and seam curves that lead from one
// free end of an open outline to another: edges drawn there instead of on the
// outline's layer. Ends meet a curve, and curves each other, within the setting
// bridge. A chain's own other end comes before that of another chain. Whole edges
// alone are lent: a mark that runs on past a free end along the outline's own line
// marks that line, and what is missing there is a gap that somebody has to close.
func (b *builder) borrow(open []trace.OpenChain) []loan {
	if len(open) == 0 || 2*len(open) > mostBorrowing {
		return nil
	}
	l := &lender{guard: b.guard, reach: b.ts.Bridge, join: b.ts.Join, open: open, hold: map[int][]hold{}}
	for _, role := range [3]Role{WallRole, FinishedRole, SeamRole} {
		for _, id := range b.byRole[role] {
			l.ids, l.curves = append(l.ids, id), append(l.curves, b.d.Curves[id].Curve)
		}
	}
	if len(l.ids) == 0 {
		return nil
	}
	l.index = geom.NewIndex(l.curves)
	for i, o := range open {
		l.ends = append(l.ends, freeEnd{o.From, i}, freeEnd{o.To, i})
	}
	l.settled = make([]bool, len(l.ends))
	for e, end := range l.ends {
		l.around(end.at, func(i int) {
			if _, t := geom.NearestPoint(l.curves[i], end.at); !l.runsOn(e, i) {
				l.hold[i] = append(l.hold[i], hold{e, t})
			}
		})
	}
	var lent []loan
	for _, own := range [2]bool{true, false} {
		for e := range l.ends {
			if l.settled[e] {
				continue
			}
			parts, to := l.way(e, own)
			if len(parts) == 0 {
				continue
			}
			w := loan{from: l.ends[e].at, to: l.ends[to].at}
			for _, part := range parts {
				w.parts = append(w.parts, trace.Curve{Curve: part.curve, ID: l.ids[part.of], Kind: trace.Boundary, Entity: -1})
			}
			lent = append(lent, w)
		}
	}
	return lent
}

// stepBack is how far in mm from a free end an outline is compared with a mark: far
// enough that a corner of 2 degrees shows beside the joining distance.
const stepBack = 20

// runsOn reports whether a mark runs past a free end along the outline's own line.
func (l *lender) runsOn(e, i int) bool {
	at, chain := l.ends[e].at, l.open[l.ends[e].chain]
	last, first := chain.Curves[0].Curve, math.Inf(1)
	for _, c := range chain.Curves {
		for _, d := range [2]geom.Curve{c.Curve, c.Curve.Reverse()} {
			if d.A.Distance(at) < first {
				last, first = d, d.A.Distance(at)
			}
		}
	}
	back := last.At(math.Min(1, stepBack/last.Length()))
	return l.curves[i].Distance(back) <= l.join+l.curves[i].Distance(at)+geom.Tolerance
}

// rivalReach is how far in mm a line of an outline that bounds nothing may lie from
// a mark that was taken for an edge, and still have been meant for that edge: past
// the widest overhang between a cabinet's line and the edge of its top (common
// practice, no source).
const rivalReach = 100

// rival returns the layer of a mark that an edge was taken from though one of the
// curves, which bound nothing, runs beside it; "" when there is none.
func (b *builder) rival(ids []int32) string {
	if len(b.lent) == 0 {
		return ""
	}
	best, least := "", math.Inf(1)
	for _, id := range ids {
		c := b.d.Curves[id].Curve
		near := c.Box().Grow(rivalReach)
		for _, l := range b.lent {
			b.spend(1, c.A)
			if !near.Overlaps(l.Box()) {
				continue
			}
			if d := geom.Nearest(c, l.Curve).Length(); d <= rivalReach && d < least {
				best, least = b.layerOf(l.ID), d
			}
		}
	}
	return best
}

// around visits the curves that pass a point within reach.
func (l *lender) around(p geom.Point, visit func(i int)) {
	l.index.Search(geom.Box{Min: p, Max: p}.Grow(l.reach), func(i int) bool {
		l.guard.spend(2, p)
		if l.curves[i].Distance(p) <= l.reach {
			visit(i)
		}
		return true
	})
}

// part is a stretch of a lent curve.
type part struct {
	curve geom.Curve
	of    int
}

// way returns the way over the fewest curves from a free end to another: to the
// other end of its own chain, or to one of another chain, and that end. nil when
// there is none.
func (l *lender) way(start int, own bool) ([]part, int) {
	var steps []step
	seen := map[int]bool{}
	enter := func(p geom.Point, before int) {
		l.around(p, func(i int) {
			_, t := geom.NearestPoint(l.curves[i], p)
			atEnd := p.Distance(l.curves[i].A) <= l.reach || p.Distance(l.curves[i].B) <= l.reach
			if !seen[i] && (before < 0 && !l.runsOn(start, i) || before >= 0 && atEnd) {
				seen[i] = true
				steps = append(steps, step{i, t, before})
			}
		})
	}
	enter(l.ends[start].at, -1)
	for k := 0; k < len(steps); k++ {
		s := steps[k]
		if h, ok := l.goal(s, start, own); ok {
			l.settled[start], l.settled[h.end] = true, true
			return l.collect(steps, k, h.t), h.end
		}
		enter(l.curves[s.curve].A, k)
		enter(l.curves[s.curve].B, k)
	}
	return nil, -1
}

// goal returns the nearest free end on a step's curve that ends the way.
func (l *lender) goal(s step, start int, own bool) (hold, bool) {
	best, found := hold{}, false
	for _, h := range l.hold[s.curve] {
		if h.end == start || l.settled[h.end] || own != (l.ends[h.end].chain == l.ends[start].chain) {
			continue
		}
		if !found || math.Abs(h.t-s.t) < math.Abs(best.t-s.t) {
			best, found = h, true
		}
	}
	return best, found
}

// collect returns the parts of the way that ends at t on its last step.
func (l *lender) collect(steps []step, k int, t float64) []part {
	var parts []part
	for ; k >= 0; k = steps[k].before {
		c := l.curves[steps[k].curve]
		if p := cut([]geom.Curve{c}, math.Min(t, steps[k].t)*c.Length(), math.Max(t, steps[k].t)*c.Length()); len(p) > 0 {
			parts = append(parts, part{p[0], steps[k].curve})
		}
		if before := steps[k].before; before >= 0 {
			_, t = geom.NearestPoint(l.curves[steps[before].curve], c.At(steps[k].t))
		}
	}
	return parts
}
