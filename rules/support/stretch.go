package support

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// stretch measures how much of the piece is past the limit at a place: of a span
// the width across its middle, of anything else the boundary that hangs too far.
// In a mixed place both kinds meet, and only what is past the limit of its own
// kind counts.
func (s *search) stretch(p *Place, mixed bool) {
	if p.Kind != Span {
		s.hangingBoundary(p, mixed)
		return
	}
	q := p.Line.Middle()
	n := p.Line.To.Sub(p.Line.From).Unit().Left()
	lo, hi := s.run(p, q, n, stretchAccuracy, 0, func(q geom.Point) bool {
		return s.isFree(q) && !s.within(q, pastScore) && (!mixed || s.point(q).Kind == Span)
	})
	p.Stretch = hi - lo
	p.Ends = geom.Witness{From: q.Add(n.Mul(lo)), To: q.Add(n.Mul(hi))}
}

const (
	// stretchAccuracy is how exactly in mm each end of a stretch is found.
	stretchAccuracy = 0.25
	// stretchStep is how far apart in mm the boundary is looked at, as far apart as
	// places are told apart. Between two looks it has to lie in the place's cells,
	// coverStep apart: what lies in none is sound. A sound part that is shorter than
	// coverStep, or one that the search left in a cell, may be counted in.
	stretchStep = leastPast
	coverStep   = 12.5
	// beforeCorner is how far in mm from a corner its sides are looked at: near
	// enough for the accuracy, and far enough that sideStep off an acute corner's
	// side is still stone.
	beforeCorner = 0.1
)

// hangingBoundary measures the connected run of boundary around the place's worst
// point that is past the limit: along the outline or the cutout at which its
// chord ends, around corners, as far as stone a hair inside hangs past it.
func (s *search) hangingBoundary(p *Place, mixed bool) {
	w, ok := s.walkFrom(p.Line.To, coverOf(p.cells), func(q geom.Point) bool {
		if !s.isFree(q) || s.within(q, pastScore) {
			return false
		}
		return !mixed || s.point(q).Kind != Span
	})
	if !ok {
		return
	}
	run := w.both()
	if run.length == 0 {
		return
	}
	p.Stretch = run.length
	p.Ends = run.ends
	run.boundary.join(s.otherRuns(&w, run))
	p.Middle = run.centroid()
}

// otherRuns returns the boundary that hangs past the limit in the place's stone
// beyond its worst run: a top on four legs is one place, and its four corners hang
// alike.
func (s *search) otherRuns(w *walk, worst run) boundary {
	var sum boundary
	for _, shape := range append([]shape{s.outline}, s.cutouts...) {
		v := *w
		v.loop = shape.loop
		if &v.loop[0] == &w.loop[0] {
			sum.join(v.runs([]run{worst}))
		} else {
			sum.join(v.runs(nil))
		}
	}
	return sum
}

// runs returns the runs of the walk's loop in its cells that are not known yet.
func (w *walk) runs(known []run) boundary {
	var sum boundary
	total := w.loop.Length()
	at := 0.0
	for i, c := range w.loop {
		length := c.Length()
		n := int(math.Ceil(length / stretchStep))
		for k := 0; k < n; k++ {
			t := (float64(k) + 0.5) / float64(n)
			if onOneOf(known, at+t*length, total) || !w.cover.holds(c.At(t)) || !w.looks(i, w.from(i, t)) {
				continue
			}
			w.curve, w.t = i, t
			other := w.both()
			known = append(known, other)
			sum.join(other.boundary)
		}
		at += length
	}
	return sum
}

// run is a connected part of a loop.
type run struct {
	boundary
	from float64 // length along the loop at which it starts
	ends geom.Witness
}

// onOneOf reports whether the place at a length along a loop lies on one of the
// runs.
func onOneOf(runs []run, at, total float64) bool {
	return slices.ContainsFunc(runs, func(r run) bool {
		return math.Mod(at-r.from+total, total) <= r.length
	})
}

// both follows the loop both ways from the walk's place.
func (w *walk) both() run {
	ahead, end, all := w.ahead()
	here := w.loop[w.curve].At(w.t)
	if all {
		return run{ahead, 0, geom.Witness{From: here, To: here}}
	}
	r := w.reversed()
	back, start, _ := r.ahead()
	total, from := w.loop.Length(), geom.Loop(w.loop[:w.curve]).Length()+w.t*w.loop[w.curve].Length()-back.length
	back.join(ahead)
	return run{back, math.Mod(from+total, total), geom.Witness{From: start, To: end}}
}

// boundary is a run of curves by its length and first moment.
type boundary struct {
	length float64
	moment geom.Point
}

func (b *boundary) add(c geom.Curve) {
	length := c.Length()
	at := c.A.Lerp(c.B, 0.5)
	if half := c.Sweep() / 2; half != 0 {
		// An arc's centroid lies R sin(a)/a from the centre, a half its angle.
		center := c.Center()
		at = center.Add(c.Middle().Sub(center).Mul(math.Sin(half) / half))
	}
	b.length += length
	b.moment = b.moment.Add(at.Mul(length))
}

func (b *boundary) join(c boundary) {
	b.length += c.length
	b.moment = b.moment.Add(c.moment)
}

func (b *boundary) centroid() geom.Point { return b.moment.Mul(1 / b.length) }

// walk is a place on a loop from which the boundary is followed while stone on
// its inner side has a property.
type walk struct {
	loop   geom.Loop
	curve  int
	t      float64 // fraction of the curve
	inward float64 // 1 with stone on the loop's left, -1 on its right
	has    func(geom.Point) bool
	cover  cover // outside of which nothing has the property
}

// cover is the cells of a place with their boxes.
type cover struct {
	cells []cell
	boxes []geom.Box
}

func coverOf(cells []cell) cover {
	c := cover{cells, make([]geom.Box, len(cells))}
	for i := range cells {
		c.boxes[i] = cells[i].box().Grow(touching)
	}
	return c
}

// holds reports whether a point lies in a cell or touches one.
func (c *cover) holds(p geom.Point) bool {
	for i := range c.cells {
		if c.boxes[i].Contains(p) && !c.cells[i].apart(polygon{p}, touching) {
			return true
		}
	}
	return false
}

// walkFrom starts at the boundary's nearest point to p that has the property; ok
// is false when nothing near the cells has it. Where the stone at p's own foot is
// held from another side, the nearest of the places along the boundary counts.
func (s *search) walkFrom(p geom.Point, cells cover, has func(geom.Point) bool) (w walk, ok bool) {
	least := math.Inf(1)
	try := func(l geom.Loop, i int, t float64, d float64) {
		if d >= least {
			return
		}
		v := walk{loop: l, curve: i, t: t, inward: 1, has: has, cover: cells}
		if v.looks(i, v.from(i, t)) {
			least, w, ok = d, v, true
		}
	}
	shapes := append([]shape{s.outline}, s.cutouts...)
	for _, shape := range shapes {
		for i, c := range shape.loop {
			q, t := geom.NearestPoint(c, p)
			try(shape.loop, i, t, q.Distance(p))
		}
	}
	for _, shape := range shapes {
		for i, c := range shape.loop {
			n := math.Ceil(c.Length() / coverStep)
			for k := 0.5; k < n; k++ {
				if q := c.At(k / n); q.Distance(p) < least && cells.holds(q) {
					try(shape.loop, i, k/n, q.Distance(p))
				}
			}
		}
	}
	return w, ok
}

// reversed is the same place on the loop run the other way.
func (w walk) reversed() walk {
	n := len(w.loop)
	return walk{w.loop.Reverse(), n - 1 - w.curve, 1 - w.t, -w.inward, w.has, w.cover}
}

// from keeps a fraction of a curve off the curve's ends.
func (w *walk) from(i int, t float64) float64 {
	end := math.Min(0.5, beforeCorner/w.loop[i].Length())
	return math.Min(math.Max(t, end), 1-end)
}

// looks reports whether stone beside the boundary has the property.
func (w *walk) looks(i int, t float64) bool {
	c := w.loop[i]
	return w.has(c.At(t).Add(c.Tangent(t).Left().Mul(sideStep * w.inward)))
}

// ahead follows the loop from the walk's place to where the property ends and
// returns what it passed and where that is; all is true when it holds all around.
func (w *walk) ahead() (run boundary, end geom.Point, all bool) {
	n := len(w.loop)
	t := w.t
	for k := 0; k <= n; k++ {
		i := (w.curve + k) % n
		c := w.loop[i]
		to := 1.0
		if k == n {
			to = w.t
		}
		u := w.last(i, t, to)
		if u > t {
			run.add(c.Part(t, u))
		}
		if end = c.At(u); u < to {
			return run, end, false
		}
		t = 0
	}
	return run, end, true
}

// last returns the last fraction of a curve between t and u up to which the
// property holds from t on, t itself when it does not.
func (w *walk) last(i int, t, u float64) float64 {
	length := w.loop[i].Length() * (u - t)
	n := max(1, int(math.Ceil(length/stretchStep)))
	in := t
	for k := 0; k <= n; k++ {
		at := w.from(i, t+(u-t)*float64(k)/float64(n))
		covered := k == 0 || w.covered(i, in, at)
		if covered && w.looks(i, at) {
			in = at
			continue
		}
		if k == 0 {
			return t
		}
		out := at
		for (out-in)*w.loop[i].Length() > stretchAccuracy {
			if mid := (in + out) / 2; (covered || w.covered(i, in, mid)) && w.looks(i, mid) {
				in = mid
			} else {
				out = mid
			}
		}
		return in
	}
	return u
}

// covered reports whether the curve lies in the cells all the way from t to u.
func (w *walk) covered(i int, t, u float64) bool {
	if len(w.cover.cells) == 1 {
		return true
	}
	n := math.Ceil(w.loop[i].Length() * (u - t) / coverStep)
	for k := 1.0; k <= n; k++ {
		if !w.cover.holds(w.loop[i].At(t + (u-t)*k/n)) {
			return false
		}
	}
	return true
}
