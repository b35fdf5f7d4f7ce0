package trace

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// stretch is a part of a run: lines from to to-1 on one circle.
type stretch struct {
	from, to int
	on       circle
	off      float64 // greatest distance of an end from the circle
}

// arcsIn finds the arcs in a run whose turns have one sense: the windows that fit
// best are grown first. The stretches are of the run returned, which is a ring
// three times over.
func (w *work) arcsIn(r run, wide bool) (of run, found []stretch) {
	n := len(r.ends)
	if r.ring {
		c, ok := fitCircle(r.points[:n])
		if s := (stretch{0, n, c, 0}); ok && c.residual(r.points[:n]) <= w.s.FacetTolerance && w.finelyDrawn(r, s) {
			return r, []stretch{s}
		}
		// No circle: go round it three times and start in the middle, so that no
		// arc is cut where the ring happens to begin.
		r = r.threeLaps()
	}
	taken := lines{used: make([]bool, n), n: n}
	for _, seed := range w.seeds(r, wide) {
		if taken.any(seed.from, seed.to) {
			continue
		}
		s := w.trim(r, w.grow(r, seed, taken))
		if w.isArc(r, s) {
			taken.mark(s.from, s.to)
			found = append(found, s)
		}
	}
	return r, found
}

// threeLaps writes a ring three times over.
func (r run) threeLaps() run {
	n := len(r.ends)
	o := run{lap: n}
	for range 3 {
		o.ends = append(o.ends, r.ends...)
		o.points = append(o.points, r.points[:n]...)
		if r.drawn != nil {
			o.drawn = append(o.drawn, r.drawn[:n]...)
		}
	}
	o.points = append(o.points, r.points[0])
	if r.drawn != nil {
		o.drawn = append(o.drawn, r.drawn[0])
	}
	return o
}

// lines notes which lines of a run are part of an arc; in a ring the count
// starts again after every lap.
type lines struct {
	used []bool
	n    int
}

func (l lines) any(from, to int) bool {
	for i := from; i < to; i++ {
		if l.used[i%l.n] {
			return true
		}
	}
	return false
}

func (l lines) mark(from, to int) {
	for i := from; i < to; i++ {
		l.used[i%l.n] = true
	}
}

func (r run) chord(i int) float64 { return r.points[i].Distance(r.points[i+1]) }

// bulge returns how far the arc of a circle leaves a chord of it that is as long
// as line i of the run: the radius less the centre's distance from the chord.
func (r run) bulge(i int, on circle) float64 {
	half := math.Min(r.chord(i)/2, on.radius)
	return on.radius - math.Sqrt(on.radius*on.radius-half*half)
}

// finelyDrawn reports whether no line of a stretch bulges more than FacetSagitta.
func (w *work) finelyDrawn(r run, s stretch) bool {
	for i := s.from; i < s.to; i++ {
		if !atMost(r.bulge(i, s.on), w.s.FacetSagitta) {
			return false
		}
	}
	return true
}

// seeds returns the windows of minChords lines that lie on a circle, best first;
// windows of three come last. With wide, larger windows, which noise misleads
// less, go before.
func (w *work) seeds(r run, wide bool) []stretch {
	var all []stretch
	sizes := []int{minChords, minChords - 1}
	if wide {
		sizes = []int{24, 16, 12, 8, 6, 5, minChords}
	}
	for _, size := range sizes {
		var some []stretch
		for i := r.lap; i+size <= len(r.ends) && (r.lap == 0 || i < 2*r.lap); i++ {
			p := r.points[i : i+size+1]
			c, ok := fitCircle(p)
			if !ok {
				continue
			}
			s := stretch{i, i + size, c, c.residual(p)}
			if s.off <= w.s.FacetTolerance && r.even(s) && w.finelyDrawn(r, s) {
				some = append(some, s)
			}
		}
		slices.SortStableFunc(some, func(a, b stretch) int { return cmp.Compare(math.Round(a.off*1e6), math.Round(b.off*1e6)) })
		all = append(all, some...)
	}
	return all
}

// even reports whether no chord of the stretch is much longer than the others;
// the first and last may be shorter.
func (r run) even(s stretch) bool {
	least, most := math.Inf(1), 0.0
	for i := s.from; i < s.to; i++ {
		most = math.Max(most, r.chord(i))
		if i > s.from && i < s.to-1 {
			least = math.Min(least, r.chord(i))
		}
	}
	return most <= longChord*least
}

// grow takes lines in on both sides as long as their far ends lie on the circle.
func (w *work) grow(r run, s stretch, taken lines) stretch {
	longest := 0.0
	for i := s.from; i < s.to; i++ {
		longest = math.Max(longest, r.chord(i))
	}
	return w.growBy(r, s, func(s stretch, i int) bool {
		return !taken.any(i, i+1) && r.chord(i) <= longChord*longest && atMost(r.bulge(i, s.on), w.s.FacetSagitta)
	})
}

// growBy takes in the lines that may be as long as their far ends lie on the circle.
func (w *work) growBy(r run, s stretch, may func(s stretch, i int) bool) stretch {
	fitted := s.to - s.from
	fits := func(i int) bool {
		return i >= 0 && i < len(r.ends) && (r.lap == 0 || s.to-s.from < r.lap-1) && may(s, i)
	}
	for {
		lo, hi := math.Inf(1), math.Inf(1)
		if fits(s.from - 1) {
			lo = s.on.residual(r.points[s.from-1 : s.from])
		}
		if fits(s.to) {
			hi = s.on.residual(r.points[s.to+1 : s.to+2])
		}
		switch {
		case math.Min(lo, hi) > w.s.FacetTolerance:
			return s
		case lo < hi:
			s.from--
		default:
			s.to++
		}
		if n := s.to - s.from; n >= fitted+fitted/8+1 || n < 12 { // the longer, the surer its circle
			s.refit(r)
			fitted = n
		}
	}
}

func (s *stretch) refit(r run) {
	p := r.points[s.from : s.to+1]
	if c, ok := fitCircle(p); ok {
		s.on, s.off = c, c.residual(p)
	}
}

// trim gives lines back at both ends whose far end lies off the circle of the
// others by more than these scatter: a short straight line that touches the
// arc, or the first chords of the next one, within FacetTolerance as they are.
func (w *work) trim(r run, s stretch) stretch {
	s.refit(r)
	for s.to-s.from >= minChords {
		p := r.points[s.from : s.to+1]
		k := max(1, len(p)/8) // what is wrong at one end must not spoil the other
		lo, hi := outliers(p[k:len(p)-k], p[0], p[len(p)-1])
		if math.Max(lo, hi) <= 1 {
			break
		}
		if lo > hi {
			s.from++
		} else {
			s.to--
		}
		s.refit(r)
	}
	return s
}

// outliers returns how far two points lie off the circle of the others, against
// what the scatter of these allows: above 1 a point does not belong to them. A
// scatter of few points may be small by chance, but a straight line that touches
// the circle leaves it by the square of its length over the diameter, so that a
// quarter of that at the end of a chord is none.
func outliers(p []geom.Point, a, b geom.Point) (lo, hi float64) {
	c, ok := fitCircle(p)
	free := float64(len(p) - 3)
	if !ok || free < 1 {
		return 0, 0 // three points are on a circle anyway
	}
	sum := 0.0
	for _, x := range p {
		d := x.Distance(c.center) - c.radius
		sum += d * d
	}
	allowed := math.Max(cleanFit, (looseFit+minChords*minChords/free)*math.Sqrt(sum/free))
	share := func(end, next geom.Point) float64 {
		u := end.Sub(next)
		return c.residual([]geom.Point{end}) / math.Max(allowed, u.Dot(u)/(8*c.radius))
	}
	return share(a, p[0]), share(b, p[len(p)-1])
}

// isArc reports whether a grown stretch is an arc by the rules above: what would
// stand in its place passes every point as drawn within FacetTolerance.
func (w *work) isArc(r run, s stretch) bool {
	p := r.points[s.from : s.to+1]
	_, on := w.arcThrough(p, s.on)
	s.on = on
	if on.residual(p) > w.s.FacetTolerance || !w.finelyDrawn(r, s) {
		return false
	}
	bow := 0.0 // how far the run leaves the straight line: more than noise does
	for _, q := range p {
		bow = math.Max(bow, geom.Line(p[0], p[len(p)-1]).Distance(q))
	}
	if p[0] != p[len(p)-1] && bow <= 4*w.s.FacetTolerance {
		return false
	}
	if s.to-s.from >= minChords {
		return true
	}
	least, most := math.Inf(1), 0.0
	for i := s.from; i < s.to; i++ {
		least, most = math.Min(least, r.chord(i)), math.Max(most, r.chord(i))
	}
	return most <= least*(1+sameLength) && most*most/(8*on.radius) <= shortSag
}

// replaceByCircle puts two half turns in the place of a ring.
func (w *work) replaceByCircle(r run, c circle) {
	n := len(r.ends)
	sense := 1.0
	if geom.Polygon(r.points[:n]...).Area() < 0 {
		sense = -1
	}
	start := r.points[0] // the lowest corner, so that the place is the drawing's own
	for _, p := range r.points[:n] {
		if p.Y < start.Y || p.Y == start.Y && p.X < start.X {
			start = p
		}
	}
	radial := start.Sub(c.center).Unit().Mul(c.radius)
	a, b := c.center.Add(radial), c.center.Sub(radial)
	na, nb := w.nodes.insert(a), w.nodes.insert(b)
	tpl := w.template(r.ends)
	w.addArc(tpl, r.ends, geom.Curve{A: a, B: b, Bulge: sense}, na, nb)
	w.addArc(tpl, r.ends, geom.Curve{A: b, B: a, Bulge: sense}, nb, na)
	w.facetRepair(a, c, r.points, tpl.ID)
}

// replaceByArc puts one arc, or two of the same circle beyond a half turn, in
// the place of a stretch.
func (w *work) replaceByArc(r run, s stretch) {
	p := r.points[s.from : s.to+1]
	sweep, on := w.arcThrough(p, s.on)
	a, b := p[0], p[len(p)-1]
	ends := r.ends[s.from:s.to]
	na := w.segs[ends[0]/2].node[1-ends[0]%2]
	last := ends[len(ends)-1]
	nb := w.segs[last/2].node[last%2]
	tpl := w.template(ends)
	mid := on.center.Add(a.Sub(on.center).Rotate(sweep / 2).Unit().Mul(on.radius))
	if math.Abs(sweep) <= math.Pi {
		w.addArc(tpl, ends, geom.Curve{A: a, B: b, Bulge: math.Tan(sweep / 4)}, na, nb)
	} else {
		nm := w.nodes.insert(mid)
		w.addArc(tpl, ends, geom.Curve{A: a, B: mid, Bulge: math.Tan(sweep / 8)}, na, nm)
		w.addArc(tpl, ends, geom.Curve{A: mid, B: b, Bulge: math.Tan(sweep / 8)}, nm, nb)
	}
	w.facetRepair(mid, on, p, tpl.ID)
}

func (w *work) facetRepair(at geom.Point, on circle, p []geom.Point, id int32) {
	w.repairs = append(w.repairs, Repair{Kind: FacetsToArc, At: at, Size: on.deviation(p), ID: id, Radius: on.radius})
}

// template retires the lines and returns what their arc inherits: the lowest ID.
// The others, and copies of any of them, are noted as its chords.
func (w *work) template(ends []int32) Curve {
	tpl := w.segs[ends[0]/2].Curve
	w.revision++
	for _, e := range ends {
		g := &w.segs[e/2]
		g.dead = true
		if g.ID >= 0 && (tpl.ID < 0 || g.ID < tpl.ID) {
			tpl = g.Curve
		}
	}
	for _, e := range ends {
		for _, c := range append([]Curve{w.segs[e/2].Curve}, w.copies[e/2]...) {
			if c.ID >= 0 && c.ID != tpl.ID {
				w.chords = append(w.chords, Chord{ID: c.ID, Arc: tpl.ID})
			}
		}
	}
	return tpl
}

// addArc adds an arc that stands for the chords at ends. Where these lay on
// copies, the arc gets one copy for every entity among them.
func (w *work) addArc(tpl Curve, ends []int32, c geom.Curve, na, nb int32) {
	tpl.Curve = c
	at := int32(len(w.segs))
	w.revision++
	w.segs = append(w.segs, seg{Curve: tpl, node: [2]int32{na, nb}, facet: true})
	var copies []Curve
	for _, e := range ends {
		for _, d := range w.copies[e/2] {
			k := slices.IndexFunc(copies, func(o Curve) bool { return o.Entity == d.Entity })
			if d.Curve = c; k < 0 {
				copies = append(copies, d)
			} else {
				copies[k].ID = min(copies[k].ID, d.ID)
			}
		}
	}
	if copies != nil {
		if w.copies == nil {
			w.copies = map[int32][]Curve{}
		}
		w.copies[at] = copies
	}
}
