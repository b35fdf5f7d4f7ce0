package trace

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// attach fits free ends to the curves they end short of, run past, or rest on,
// and joins free ends that face each other, the smallest change first. A
// boundary's end is brought to another curve only along its own direction and
// across that curve: an end that merely lies beside a neighbour's edge, as at a
// gap in an outline whose neighbour is near, stays free.
func (w *work) attach() {
	for range maxAttachRounds {
		free := w.freeEnds(w.incidence())
		if len(free) == 0 {
			return
		}
		x := w.index()
		free = w.withoutResting(x, free)
		if math.Max(w.s.Bridge, w.s.Join) <= 0 || !w.fitEnds(x, free) {
			return
		}
	}
}

// maxAttachRounds: a trimmed curve may show the overshoot of the one it was
// trimmed to, and that of a third; more is noise.
const maxAttachRounds = 4

// liveIndex is an index of the live curves.
type liveIndex struct {
	*geom.Index
	segs     []int32
	revision int
	frame    frame
}

// index returns the index of the live curves as they are now.
func (w *work) index() liveIndex {
	if w.live.Index == nil || w.live.revision != w.revision {
		w.live = w.indexOf(w.alive())
	}
	return w.live
}

func (w *work) indexOf(segs []int32) liveIndex {
	boxes, f := w.boxesOf(segs)
	return liveIndex{w.boxIndex(boxes), segs, w.revision, f}
}

// alive returns the live curves.
func (w *work) alive() []int32 {
	live := make([]int32, 0, len(w.segs))
	for i := range w.segs {
		if !w.segs[i].dead {
			live = append(live, int32(i))
		}
	}
	return live
}

func (w *work) around(x liveIndex, p geom.Point, reach float64, visit func(seg int32)) {
	p = x.frame.to(p)
	x.Search(geom.Box{Min: p, Max: p}.Grow(reach), func(i int) bool {
		w.spend(1, x.segs[i])
		visit(x.segs[i])
		return true
	})
}

// withoutResting returns the free ends that do not lie on another curve as drawn.
// Those that do are brought there to the last digit, all at once: where one goes
// must not depend on where another one went first.
func (w *work) withoutResting(x liveIndex, free []int32) []int32 {
	var resting []int32
	var to []geom.Point
	left := free[:0]
	for _, e := range free {
		at, ok := w.rests(x, e)
		if !ok {
			left = append(left, e)
			continue
		}
		if at.Distance(w.endPoint(e)) > geom.Tolerance/4 {
			resting, to = append(resting, e), append(to, at)
		}
	}
	for k, e := range resting {
		w.moveEnd(e, to[k], w.nodes.insert(to[k]))
	}
	return left
}

// rests reports whether a free end lies on another curve as drawn, and where.
func (w *work) rests(x liveIndex, e int32) (geom.Point, bool) {
	p := w.endPoint(e)
	best, least := p, math.Inf(1)
	w.around(x, p, coincident, func(i int32) {
		if i == e/2 || !mayReach(w.segs[i].Curve.Curve, p, 2*coincident) {
			return
		}
		w.spend(4, i)
		q, _ := geom.NearestPoint(w.segs[i].Curve.Curve, p)
		if d := p.Distance(q); atMost(d, coincident) && (d < least-geom.Tolerance || d < least+geom.Tolerance && w.comparePlaces(q, best) < 0) {
			best, least = q, d
		}
	})
	return best, !math.IsInf(least, 1)
}

// mayReach is a quick test: false when the curve is surely farther from p than
// reach. Boxes of slanting lines overlap far more often than the lines come near.
func mayReach(c geom.Curve, p geom.Point, reach float64) bool {
	u := c.B.Sub(c.A)
	x := u.Cross(p.Sub(c.A))
	return c.Bulge != 0 || x*x <= reach*reach*u.Dot(u)
}

// fit is a change that would attach a free end: to another free end (f >= 0) or
// to the point at on the curve to.
type fit struct {
	endPair
	at     geom.Point
	to     int32
	corner int32 // node at the end of to that is met, or -1
	trims  bool
}

// fitEnds makes the fits found, each end once, smallest first.
func (w *work) fitEnds(x liveIndex, free []int32) bool {
	isFree := make(map[int32]bool, len(free))
	for _, e := range free {
		isFree[e] = true
	}
	var fits []fit
	for _, p := range w.endPairs(free, math.Max(w.s.Bridge, w.s.Join)) {
		fits = append(fits, fit{endPair: p, to: -1})
	}
	var far []int32
	for _, e := range free {
		if f, ok := w.fitToCurve(x, e, isFree); ok {
			fits = append(fits, f)
		} else {
			far = append(far, e)
		}
	}
	fits = append(fits, w.fitToRoundings(far)...)
	slices.SortStableFunc(fits, func(p, q fit) int {
		return cmp.Or(cmp.Compare(b2i(p.mixed), b2i(q.mixed)), compareMeasured(p.d, q.d), cmp.Compare(b2i(p.to >= 0), b2i(q.to >= 0)),
			w.comparePlaces(w.endPoint(p.e), w.endPoint(q.e)))
	})
	used := map[int32]bool{}
	moved := map[int32]bool{} // curves no longer where the fits saw them
	for _, f := range fits {
		if used[f.e] || f.to < 0 && used[f.f] || f.to >= 0 && moved[f.to] {
			continue
		}
		used[f.e] = true
		moved[f.e/2] = true
		if f.to < 0 {
			used[f.f] = true
			moved[f.f/2] = true
			w.joinPair(f.endPair)
			continue
		}
		w.fitTo(f)
	}
	return len(used) > 0
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (w *work) fitTo(f fit) {
	drawn := w.endPoint(f.e)
	n := f.corner
	if n < 0 {
		n = w.nodes.insert(f.at)
	}
	w.moveEnd(f.e, f.at, n)
	if f.d <= coincident || w.segs[f.to].facet && f.d <= 2*w.s.FacetTolerance {
		return // as drawn, or a consequence of the arc that replaced the chords
	}
	kind := GapClosed
	if f.trims {
		kind = OvershootTrimmed
	}
	w.repair(kind, drawn, f.d, w.segs[f.e/2].ID)
}

// leastCrossing is the sine of the least angle at which an end is brought to a
// curve: about 11 degrees, under any seam or shared edge that is cut.
const leastCrossing = 0.2

// fitToCurve finds where a free end meets another curve within bridge along its
// own line or circle: the nearest place ahead, or when the curve already passed
// one, the first of those it passed.
func (w *work) fitToCurve(x liveIndex, e int32, free map[int32]bool) (fit, bool) {
	c := w.outward(e)
	own := c.Length()
	ahead := fit{endPair: endPair{e: e, f: -1, d: math.Inf(1)}}
	passed := ahead
	passed.trims = true
	nearestPassed := math.Inf(1)
	w.around(x, c.B, w.s.Bridge+geom.Tolerance, func(i int32) {
		if i == e/2 {
			return
		}
		h := &w.segs[i]
		d := h.Curve.Curve
		if !mayReach(d, c.B, w.s.Bridge+w.s.Join+coincident) {
			return
		}
		w.spend(meetingSteps, i)
		for _, p := range geom.CommonPoints(c, d) {
			q, u := geom.NearestPoint(d, p)
			t := c.Fraction(p)
			size := p.Distance(c.B)
			if !atMost(size, w.s.Bridge) || q.Distance(p) > w.s.Join || !grows(c, t) || t*own < w.s.Bridge && t < 0.5 {
				continue
			}
			if math.Abs(c.Tangent(1).Cross(d.Tangent(u))) < leastCrossing || w.facesFree(i, p, c.B, free) {
				continue
			}
			f := fit{endPair: endPair{e: e, f: -1, d: size}, at: q, to: i, corner: -1, trims: (1-t)*own > geom.Tolerance}
			if k, near := w.cornerAt(i, p); near {
				f.corner, f.at = h.node[k], w.endPoint(2*i+int32(k))
				f.d = c.B.Distance(f.at)
			} else if q.Distance(p) > geom.Tolerance {
				continue // beside the end of the curve, and no corner
			}
			if f.trims {
				nearestPassed = math.Min(nearestPassed, size)
				if math.IsInf(passed.d, 1) || w.fitsBefore(f, passed, -1) {
					passed = f
				}
			} else if math.IsInf(ahead.d, 1) || w.fitsBefore(f, ahead, 1) {
				ahead = f
			}
		}
	})
	f := ahead
	if atMost(nearestPassed, ahead.d) {
		f = passed
	}
	return f, !math.IsInf(f.d, 1)
}

// fitsBefore reports whether an end is rather fitted the one way than the other:
// the nearer (sense 1) or the farther (-1), to a corner before a side, to a
// boundary before a divider, then by the curve.
func (w *work) fitsBefore(f, g fit, sense int) bool {
	c, d := &w.segs[f.to].Curve, &w.segs[g.to].Curve
	return cmp.Or(sense*compareMeasured(f.d, g.d), cmp.Compare(b2i(f.corner < 0), b2i(g.corner < 0)),
		cmp.Compare(c.Kind, d.Kind), -w.compareInPlace(c, d)) < 0
}

// facesFree reports whether a curve has a free end near p that can be joined to
// the one at end: the two then make a corner, and joining them is the better
// fit. Two that overshoot their corner may lie too far apart for that, and each
// is trimmed by itself.
func (w *work) facesFree(i int32, p, end geom.Point, free map[int32]bool) bool {
	for side := range int32(2) {
		e := 2*i + side
		if at := w.endPoint(e); free[e] && atMost(at.Distance(p), w.s.Bridge) && atMost(at.Distance(end), math.Max(w.s.Bridge, w.s.Join)) {
			return true
		}
	}
	return false
}

// cornerAt tells which end of a curve lies within join of p, if any.
func (w *work) cornerAt(i int32, p geom.Point) (int, bool) {
	a, b := w.endPoint(2*i).Distance(p), w.endPoint(2*i+1).Distance(p)
	if math.Min(a, b) > w.s.Join {
		return 0, false
	}
	if a <= b {
		return 0, true
	}
	return 1, true
}
