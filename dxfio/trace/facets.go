package trace

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// How chords are told from sides. A run of at least minChords chords, each
// turning at most FacetTurn and the same way, whose ends lie on one circle
// within FacetTolerance, is an arc. Three chords are enough when they are of one
// length and short (a small corner). A straight line before or after is left
// alone: its far end would have to lie on the circle as well as the chords' own
// ends do, and it may not be longer than twice the longest chord.
//
// No chord bulges more than FacetSagitta from its arc. Programs that write curves
// as chords do it to a chordal tolerance, the greatest distance between the two:
// from hundredths of a millimetre to one or two where a curve was only shown on a
// screen. Bays, hexagons and many-sided tables have sides that would bulge by
// more, and an arc in their place would move stone: they stay as drawn, also when
// they lie on a circle to a hair, and four or more of one length are told.
const (
	minChords  = 4
	shortSag   = 1.0                  // mm between chord and arc for a run of three
	sameLength = 0.02                 // share by which the three chords may differ
	longChord  = 2.0                  // a chord longer than so many of its fellows is a side
	cleanFit   = 0.005                // mm; ends as written with few decimals leave a circle so far
	looseFit   = 4.0                  // a further end may be so many times as far off as the others
	minTurn    = 1e-3 * math.Pi / 180 // below this a line runs straight on
)

// facets replaces runs of chords by their arcs.
func (w *work) facets() {
	limit := math.Tan(w.s.FacetTurn * math.Pi / 180)
	if w.s.FacetTolerance <= 0 {
		return
	}
	links := w.softLinks(limit)
	if links == nil {
		return
	}
	done := make([]bool, len(w.segs))
	for i := range w.segs {
		if !done[i] && (links[2*i] >= 0 || links[2*i+1] >= 0) {
			w.facetRun(links, done, int32(i))
		}
	}
}

// softLinks tells for every end of a line which end of another line goes on
// from it in a soft turn, -1 for none. It returns nil when there is none at all.
func (w *work) softLinks(limit float64) []int32 {
	inc := w.incidence()
	var links []int32
	var own []int32
	var pairs [][2]int32
	for n := range int32(len(inc.first) - 1) {
		if at := inc.at(n); len(at) == 2 { // nearly all
			pairs = append(pairs[:0], [2]int32{at[0], at[1]})
		} else {
			pairs = w.mates(at, &own, pairs[:0])
		}
		for _, p := range pairs {
			e, f := p[0], p[1]
			if !w.turnsSoftly(e, f, limit) {
				continue
			}
			if links == nil {
				links = make([]int32, 2*len(w.segs))
				for i := range links {
					links[i] = -1
				}
			}
			links[e], links[f] = f, e
		}
	}
	return links
}

// turnsSoftly reports whether two lines of one kind go on from each other at
// these ends in a turn whose tangent is at most limit, but not straight on unless
// both are so short that the turn may have been rounded away.
func (w *work) turnsSoftly(e, f int32, limit float64) bool {
	g, h := &w.segs[e/2], &w.segs[f/2]
	if g.Bulge != 0 || h.Bulge != 0 || g.Kind != h.Kind {
		return false
	}
	u, v := w.direction(e), w.direction(f).Mul(-1)
	dot, cross := u.Dot(v), math.Abs(u.Cross(v))
	return dot > 0 && cross <= limit*dot*(1+geom.Tolerance) &&
		(cross >= minTurn*dot || math.Max(u.Dot(u), v.Dot(v)) <= roundedChord*roundedChord)
}

// direction returns the vector of a line towards its end e.
func (w *work) direction(e int32) geom.Point {
	g := &w.segs[e/2]
	if e%2 == 1 {
		return g.B.Sub(g.A)
	}
	return g.A.Sub(g.B)
}

// mates pairs the ends at a node that belong to one chain: two ends of one
// entity, and the last two left over. It appends to pairs; rest is its scratch.
func (w *work) mates(at []int32, rest *[]int32, pairs [][2]int32) [][2]int32 {
	*rest = (*rest)[:0]
	for _, e := range at {
		id := w.segs[e/2].Entity
		var same []int32
		if id >= 0 && len(at) <= maxEndPairs {
			for _, f := range at {
				if w.segs[f/2].Entity == id {
					same = append(same, f)
				}
			}
		}
		switch {
		case len(same) != 2:
			*rest = append(*rest, e)
		case same[0] == e:
			pairs = append(pairs, [2]int32{same[0], same[1]})
		}
	}
	if len(*rest) == 2 {
		pairs = append(pairs, [2]int32{(*rest)[0], (*rest)[1]})
	}
	return pairs
}

// run is a chain of lines that turn softly the same way.
type run struct {
	ends   []int32      // the end of each line that leads on
	points []geom.Point // one more than lines; first and last are one in a ring
	ring   bool
	lap    int   // lines in one lap of a ring that is written three times, else 0
	drawn  []int // of a thinned run: which point of the run as drawn each point is
}

// facetRun walks the softly turning chain through a line, cuts it where the
// sense of turning changes, and looks for arcs in each part.
func (w *work) facetRun(links []int32, done []bool, i int32) {
	start := 2 * i // walk back from the end at A
	for links[start] >= 0 {
		start = links[start] ^ 1
		if start == 2*i {
			break
		}
	}
	var r run
	e := start ^ 1
	r.ring = links[start] >= 0
	for {
		done[e/2] = true
		r.ends = append(r.ends, e)
		r.points = append(r.points, w.endPoint(e^1))
		if links[e] < 0 || done[links[e]/2] {
			break
		}
		e = links[e] ^ 1
	}
	r.points = append(r.points, w.endPoint(e))
	arcs := slices.DeleteFunc(w.bestArcs(r), func(a arc) bool {
		crosses := w.crossesBeside(a, links)
		if crosses {
			w.noteCoarse(a.run, a.stretch, true)
		}
		return crosses
	})
	w.coarse(r, arcs)
	for _, a := range arcs {
		w.replace(a)
	}
}

// sameSense cuts the run where it changes from left to right.
func (r run) sameSense() []run {
	n := len(r.ends)
	turn := func(i int) bool { // at the start of line i
		p := r.points[i]
		before := r.points[(i+n-1)%n]
		if i > 0 {
			before = r.points[i-1]
		}
		return p.Sub(before).Cross(r.points[i+1].Sub(p)) > 0
	}
	if r.ring {
		at := -1
		for i := range n {
			if turn(i) != turn((i+1)%n) {
				at = i
				break
			}
		}
		if at < 0 {
			return []run{r}
		}
		// Begin the ring behind a change; the line between belongs to both parts.
		r = r.openAt((at + 1) % n)
	}
	var parts []run
	from := 0
	for i := 1; i+1 < n; i++ {
		if turn(i) != turn(i+1) {
			parts = append(parts, r.part(from, i+1))
			from = i
		}
	}
	return append(parts, r.part(from, n))
}

// part returns the lines from to to-1 as an open run.
func (r run) part(from, to int) run {
	p := run{ends: r.ends[from:to], points: r.points[from : to+1]}
	if r.drawn != nil {
		p.drawn = r.drawn[from : to+1]
	}
	return p
}

// openAt returns the ring as an open run that begins with line i.
func (r run) openAt(i int) run {
	n := len(r.ends)
	var o run
	for k := range n {
		o.ends = append(o.ends, r.ends[(i+k)%n])
		o.points = append(o.points, r.points[(i+k)%n])
	}
	o.points = append(o.points, r.points[i%n])
	if r.drawn != nil {
		for k := range n + 1 {
			o.drawn = append(o.drawn, r.drawn[(i+k)%n])
		}
	}
	return o
}
