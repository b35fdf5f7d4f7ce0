package trace

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// coarse notes the runs of sides that only their bulge kept straight: four or more
// of one length on one circle. A bow drawn as a few long chords and a bay with
// sides look the same, and which of the two is meant only people know.
func (w *work) coarse(r run, arcs []arc) {
	inArc := map[int32]bool{}
	for _, a := range arcs {
		for _, e := range a.ends {
			inArc[e/2] = true
		}
	}
	for _, part := range r.sameSense() {
		if len(part.ends) < minChords {
			continue
		}
		n := len(part.ends)
		if c, ok := fitCircle(part.points[:n]); part.ring && ok {
			if s := (stretch{0, n, c, 0}); w.isCoarse(part, s, inArc) {
				w.noteCoarse(part, s, false)
				continue
			}
		}
		if part.ring {
			part = part.threeLaps()
		}
		taken := lines{used: make([]bool, n), n: n}
		for _, seed := range w.coarseSeeds(part, inArc) {
			if taken.any(seed.from, seed.to) {
				continue
			}
			side := part.chord(seed.from)
			s := w.growBy(part, seed, func(_ stretch, i int) bool {
				return !taken.any(i, i+1) && !inArc[part.ends[i]/2] && math.Abs(part.chord(i)-side) <= sameLength*side
			})
			s.refit(part)
			if w.isCoarse(part, s, inArc) {
				taken.mark(s.from, s.to)
				w.noteCoarse(part, s, false)
			}
		}
	}
}

// coarseSeeds returns the windows of minChords equal lines on one circle.
func (w *work) coarseSeeds(r run, inArc map[int32]bool) []stretch {
	var list []stretch
	for i := r.lap; i+minChords <= len(r.ends) && (r.lap == 0 || i < 2*r.lap); i++ {
		c, ok := fitCircle(r.points[i : i+minChords+1])
		if s := (stretch{i, i + minChords, c, 0}); ok && w.isCoarse(r, s, inArc) {
			list = append(list, s)
		}
	}
	return list
}

// isCoarse reports whether the lines of a stretch are of one length, lie on its
// circle, bulge more than an arc's chords do, and are part of no arc.
func (w *work) isCoarse(r run, s stretch, inArc map[int32]bool) bool {
	if s.on.residual(r.points[s.from:s.to+1]) > w.s.FacetTolerance {
		return false
	}
	least, most, bulge := math.Inf(1), 0.0, 0.0
	for i := s.from; i < s.to; i++ {
		if inArc[r.ends[i]/2] {
			return false
		}
		least, most, bulge = math.Min(least, r.chord(i)), math.Max(most, r.chord(i)), math.Max(bulge, r.bulge(i, s.on))
	}
	return most <= least*(1+sameLength) && !atMost(bulge, w.s.FacetSagitta)
}

func (w *work) noteCoarse(r run, s stretch, crosses bool) {
	p := r.points[s.from : s.to+1]
	c := Coarse{From: p[0], To: p[len(p)-1], Sides: s.to - s.from, Radius: s.on.radius, ID: -1, Crosses: crosses}
	length := 0.0
	for i := s.from; i < s.to; i++ {
		length += r.chord(i)
		c.Sagitta = math.Max(c.Sagitta, r.bulge(i, s.on))
		if id := w.segs[r.ends[i]/2].ID; id >= 0 && (c.ID < 0 || id < c.ID) {
			c.ID = id
		}
	}
	c.Side = length / float64(c.Sides)
	switch c.At = p[len(p)/2]; {
	case c.From == c.To: // where a ring begins must not show
		c.At, c.From, c.To = s.on.center, s.on.center, s.on.center
	case c.Sides%2 != 0:
		c.At = p[c.Sides/2].Lerp(p[c.Sides/2+1], 0.5)
	}
	if comparePoints(c.To, c.From) < 0 { // nor in which direction it was followed
		c.From, c.To = c.To, c.From
	}
	w.coarseRuns = append(w.coarseRuns, c)
}

// crossesBeside reports whether an arc that bulges by more than FacetTolerance
// would run over a line beside its chords that these do not touch: stone would
// move across it. Lines that go on from the arc do not count, nor do the chords of
// other arcs, which bulge with it.
func (w *work) crossesBeside(a arc, links []int32) bool {
	p := a.points[a.from : a.to+1]
	if a.circle {
		p = a.points
	}
	if a.on.deviation(p) <= w.s.FacetTolerance {
		return false // nearly all
	}
	own := map[int32]bool{}
	ends := map[int32]bool{}
	for _, e := range a.ends {
		own[e/2] = true
		ends[w.segs[e/2].node[0]], ends[w.segs[e/2].node[1]] = true, true
	}
	found := false
	x := w.besideFacets()
	for _, c := range w.standIn(a, p) {
		x.Search(c.Box(), func(k int) bool {
			i := int32(k)
			w.spend(1, i)
			g := &w.segs[i]
			chord := g.facet || g.Bulge == 0 && (links[2*i] >= 0 || links[2*i+1] >= 0)
			if chord || g.dead || own[i] || ends[g.node[0]] || ends[g.node[1]] || len(geom.Intersect(c, g.Curve.Curve)) == 0 {
				return true
			}
			found = !slices.ContainsFunc(a.ends, func(e int32) bool { return len(geom.Intersect(w.segs[e/2].Curve.Curve, g.Curve.Curve)) > 0 })
			return !found
		})
	}
	return found
}

// standIn returns the arc or circle that would stand for chords through points.
func (w *work) standIn(a arc, p []geom.Point) []geom.Curve {
	if a.circle {
		return geom.Circle(a.on.center, a.on.radius)
	}
	sweep, on := w.arcThrough(p, a.on)
	mid := on.center.Add(p[0].Sub(on.center).Rotate(sweep / 2).Unit().Mul(on.radius))
	bulge := math.Tan(sweep / 8)
	return []geom.Curve{{A: p[0], B: mid, Bulge: bulge}, {A: mid, B: p[len(p)-1], Bulge: bulge}}
}

// besideFacets returns an index of the curves as they are when the first run
// bulges so much that it matters.
func (w *work) besideFacets() *geom.Index {
	if w.beforeFacets == nil {
		boxes := make([]geom.Box, len(w.segs))
		for i := range w.segs {
			boxes[i] = w.segs[i].Box()
		}
		w.beforeFacets = geom.NewBoxIndex(boxes)
	}
	return w.beforeFacets
}
