package trace

import "math"

// Chords as written with few decimals. Rounding moves their ends by a few
// hundredths of a millimetre, which is more than short chords bow: neighbours then
// turn the wrong way or not at all, and no four of them show the circle. Such runs
// are looked at again with the ends left out that lie this near to the chord past
// them, and through wider windows.
const (
	roundedChord = 5.0 // mm; longer chords turn by more than rounding does
	mostThinned  = 64  // chords that one stands for
	plainlySeen  = 1   // curves that the second look has to save before it counts
)

// leaveOut are the distances from the chord past it, as shares of FacetTolerance,
// up to which an end is left out: for ends written to a hundredth, or a thousandth
// of an inch, and for ends written to a tenth.
var leaveOut = [...]float64{0, 0.2, 0.5}

// arc is an arc that was found: the chords it stands for and its circle.
type arc struct {
	run
	stretch
	circle bool // a whole ring
}

// bestArcs finds the arcs of a run as drawn, and where they leave chords that are
// no sides, also of the run as it is without its noise. What leaves the fewest
// curves holds.
func (w *work) bestArcs(r run) []arc {
	best := w.arcsOf(r, r, false)
	if !r.leavesChords(best) {
		return best
	}
	least := r.curvesLeft(best) - plainlySeen
	for _, share := range leaveOut {
		t := r.thinned(share * w.s.FacetTolerance)
		if share > 0 && len(t.ends) == len(r.ends) {
			continue
		}
		again := w.arcsOf(t, r, true)
		if left := r.curvesLeft(again); left <= least {
			best, least = again, left-1
		}
	}
	return best
}

// arcsOf finds the arcs in the parts of a run that turn one way. r is the run as
// drawn, or without some of its points. A line that two parts share goes to one.
func (w *work) arcsOf(r, drawn run, wide bool) (out []arc) {
	used := map[int32]bool{}
	for _, part := range r.sameSense() {
		if len(part.ends) < minChords-1 {
			continue
		}
		of, found := w.arcsIn(part, wide)
		for _, s := range found {
			a := arc{of.part(s.from, s.to), stretch{0, s.to - s.from, s.on, s.off}, of.ring && of.lap == 0}
			if r.drawn != nil {
				a.run = drawn.between(a.drawn[0], a.drawn[a.to])
			}
			if shared := a.unshare(used); (shared || r.drawn != nil) && !w.holds(&a) {
				continue
			}
			for _, e := range a.ends {
				used[e/2] = true
			}
			out = append(out, a)
		}
	}
	return out
}

// unshare takes lines off both ends that another arc has.
func (a *arc) unshare(used map[int32]bool) bool {
	from, to := 0, len(a.ends)
	for from < to && used[a.ends[from]/2] {
		from++
	}
	for to > from && used[a.ends[to-1]/2] {
		to--
	}
	if from == 0 && to == len(a.ends) {
		return false
	}
	a.run, a.circle = a.part(from, to), false
	return true
}

// holds fits an arc to all points of its chords and reports whether it still is one.
func (w *work) holds(a *arc) bool {
	a.from, a.to = 0, len(a.ends)
	if a.to < minChords {
		return false
	}
	if a.circle {
		lap := a.points[:a.to]
		c, ok := fitCircle(lap)
		a.on = c
		return ok && c.residual(lap) <= w.s.FacetTolerance && w.finelyDrawn(a.run, a.stretch)
	}
	a.refit(a.run)
	return w.isArc(a.run, a.stretch)
}

// between returns the lines between two points of a run, past the end of a ring.
func (r run) between(from, to int) run {
	n := len(r.ends)
	if !r.ring {
		return r.part(from, to)
	}
	if to <= from {
		to += n
	}
	var o run
	for i := from; i < to; i++ {
		o.ends = append(o.ends, r.ends[i%n])
		o.points = append(o.points, r.points[i%n])
	}
	o.points = append(o.points, r.points[to%n])
	return o
}

// curvesLeft counts the curves of a run once the arcs stand in it.
func (r run) curvesLeft(arcs []arc) int {
	left := len(r.ends) + len(arcs)
	for _, a := range arcs {
		left -= len(a.ends)
	}
	return left
}

// leavesChords reports whether lines are left in a row that are no longer than
// each other allows, or arcs run on from arcs: sides stand alone between arcs.
func (r run) leavesChords(arcs []arc) bool {
	owner := make(map[int32]int, len(r.ends))
	for i, a := range arcs {
		for _, e := range a.ends {
			owner[e/2] = i + 1
		}
	}
	runsOn := 0
	for i := 1; i < len(r.ends); i++ {
		before, at := owner[r.ends[i-1]/2], owner[r.ends[i]/2]
		c, d := r.chord(i-1), r.chord(i)
		switch {
		case before == 0 && at == 0 && math.Max(c, d) <= longChord*math.Min(c, d):
			return true
		case before != 0 && at != 0 && before != at:
			if runsOn++; runsOn >= plainlySeen {
				return true
			}
		}
	}
	return false
}

// thinned leaves out the ends of short chords that lie within off of the chord
// past them.
func (r run) thinned(off float64) run {
	t := run{ring: r.ring}
	n := len(r.ends)
	for i := 0; i < n; {
		k := i + 1
		for k < n && k-i < mostThinned && r.chord(k-1) <= roundedChord && r.chord(k) <= roundedChord && r.straight(i, k+1, off) {
			k++
		}
		t.ends = append(t.ends, r.ends[k-1])
		t.points = append(t.points, r.points[i])
		t.drawn = append(t.drawn, i)
		i = k
	}
	t.points = append(t.points, r.points[n])
	t.drawn = append(t.drawn, n)
	return t
}

// straight reports whether the points between two lie within off of their line.
func (r run) straight(from, to int, off float64) bool {
	u := r.points[to].Sub(r.points[from]).Unit()
	for _, p := range r.points[from+1 : to] {
		if math.Abs(u.Cross(p.Sub(r.points[from]))) > off {
			return false
		}
	}
	return true
}

// replace puts an arc, or a circle, in the place of its chords.
func (w *work) replace(a arc) {
	if a.circle {
		w.replaceByCircle(a.run, a.on)
		return
	}
	w.replaceByArc(a.run, a.stretch)
}
