package support

import (
	"math"

	"trueup/dxfio/geom"
)

// Settle moves the worst point of a piece, as Worst or Past give it, to the peak
// nearest to it and to the middle of the stone that is equally bad, which does not depend on how the drawing lies.
func (m *Model) Settle(l Limits, at geom.Point) (geom.Point, Chord) {
	l.Share = 0
	m = m.helping(l)
	s := m.newSearch(&measure{Limits: l})
	at, f := s.polish(at, s.point(at))
	p := Place{At: at, Chord: f.Chord, cells: []cell{m.everything()}}
	s.settle(&p)
	return p.At, p.Chord
}

// Of a gap and the line at its rim, which a lip before it rests on, either may be the worst
// that a search ends with, by the order of the drawing's lines. Where what carries the gap
// is at least deepBearing of the span deep the stone bends as a beam between two edges,
// and the gap is told; where it stands on points, as a table on legs, the line, along which
// it bends more. Common practice, no source.
const deepBearing = 0.25

// direct returns the best chord of a point without lines, and whether it spans as far as
// the place.
func (s *search) direct(p *Place, q geom.Point) (f found, ok bool) {
	if !s.isFree(q) {
		return f, false
	}
	plain := *s.Model
	plain.rests = false // the same length by a line wins or loses by rounding
	s.looked++
	f = plain.best(s.ms, q)
	return f, f.Kind == Span && math.Abs(f.Length()-p.Length()) <= Slack
}

// takeGap moves a span to the middle of the deepest gap across it that spans as far
// without lines, and reports whether one is deepBearing of the span deep.
func (s *search) takeGap(p *Place) bool {
	if p.Rests[0] != nil && !p.onLine() || p.Rests[0] == nil && p.Rests[1] != nil {
		return true // between a line and something else: no other is as bad by its place
	}
	const steps, across = 8, 32 // that make deepBearing of the span, and all of it
	step := p.Length() * deepBearing / steps
	n, mid := p.Line.To.Sub(p.Line.From).Unit().Left().Mul(step), p.Line.Middle()
	deepest, run := 0, 0
	var last int
	for k := -across; k <= across; k++ {
		if _, ok := s.direct(p, mid.Add(n.Mul(float64(k)))); !ok {
			run = 0
			continue
		}
		if run++; run > deepest {
			deepest, last = run, k
		}
	}
	if deepest < steps {
		return false
	}
	at := mid.Add(n.Mul(float64(last) - float64(deepest-1)/2))
	f, ok := s.direct(p, at)
	if ok {
		p.At, p.Chord = at, f.Chord
	}
	return ok
}

// takeRim moves a span to a line between supports at a rim of the place that is as bad
// as it to within Slack and that stone beyond rests on.
func (s *search) takeRim(p *Place) {
	if p.Kind != Span || p.Rests[0] != nil || p.Rests[1] != nil {
		return
	}
	u := p.Line.To.Sub(p.Line.From).Unit()
	least, most := p.Extent(u.Left())
	mid, span := p.Line.Middle(), *p
	center := s.outline.loop.Centroid()
	for i := range s.lines {
		l := &s.lines[i]
		w := l.witness()
		across := u.Left().Dot(w.Middle())
		if !l.tangent || math.Abs(l.length-span.Length()) > Slack || math.Abs(u.Dot(w.Middle().Sub(mid))) > Slack ||
			across < least-touching || across > most+touching {
			continue
		}
		if p.onLine() && w.Middle().Distance(center) <= p.At.Distance(center)+tie {
			continue
		}
		beside := l.b.Sub(l.a).Unit().Left().Mul(Sliver)
		for _, q := range [2]geom.Point{w.Middle().Add(beside), w.Middle().Sub(beside)} {
			if !s.isFree(q) {
				continue
			}
			if r := (Place{Chord: s.point(q).Chord}); r.onLine() && math.Abs(r.Length()-span.Length()) <= Slack {
				p.At, p.Chord = r.Line.Middle(), r.Chord
			}
		}
	}
}

// asBad is the relative difference under which two scores are equally bad.
const asBad = 1e-6

// settle moves the place's point to the middle of the stone that is as bad as
// the worst, across its chord and along it: on a straight overhang every point
// is, and the middle is the one that a new export of the drawing gives again.
func (s *search) settle(p *Place) {
	if p.Kind == Unhelped {
		return
	}
	if p.Kind == Span && !s.takeGap(p) && !p.onLine() {
		s.takeRim(p)
	}
	if p.onLine() {
		s.outermost(p)
		p.At = p.Line.Middle()
		return
	}
	s.settleSide(p)
	equally := func(q geom.Point) bool {
		if !s.isFree(q) {
			return false
		}
		s.looked++
		f := s.look(s.ms, q, math.Inf(1), p.Score*(1-asBad))
		return f.Kind == p.Kind && f.Score >= p.Score*(1-asBad) && f.Length() <= p.Length()+Slack
	}
	if mid := p.Line.Middle(); p.Kind == Span && equally(mid) {
		p.At, p.Chord = mid, s.point(mid).Chord
	}
	half := [2]float64{math.Inf(1), math.Inf(1)} // what was found before, across and along
	for range 2 {
		before := p.At
		for way := range half {
			d := p.Line.To.Sub(p.Line.From).Unit()
			if way == 0 {
				d = d.Left()
			}
			lo, hi := s.run(p, p.At, d, settled, half[way], equally)
			half[way] = (hi - lo) / 2
			if q := p.At.Add(d.Mul((lo + hi) / 2)); equally(q) {
				p.At, p.Chord = q, s.point(q).Chord
			}
		}
		if before.Distance(p.At) < settled {
			break
		}
	}
}

// onLine reports whether a line between supports that the place rests on is what is
// past the limit. All stone that rests on it is as bad then, in whatever parts it
// lies: the place is told by the middle of the line.
func (p *Place) onLine() bool {
	return p.Kind == Span && p.Rests[0] != nil && *p.Rests[0] == p.Line
}

// outermost takes of the lines along both sides of two equal supports, which are as
// long as each other, the one that is farther from the middle of the top.
func (s *search) outermost(p *Place) {
	center := s.outline.loop.Centroid()
	u := p.Line.To.Sub(p.Line.From).Unit()
	for i := range s.lines {
		l := &s.lines[i]
		w := l.witness()
		if math.Abs(l.length-p.Line.Length()) > tie || math.Abs(u.Cross(l.b.Sub(l.a))) > tie ||
			w.Middle().Distance(p.Line.Middle()) > leastPast || w.Middle().Distance(center) <= p.Line.Middle().Distance(center)+tie {
			continue
		}
		p.Line, p.Rests = *w, [2]*geom.Witness{w, w}
	}
}

// settled is how exactly in mm the middle of what is equally bad is found.
const settled = 2

// run returns how far from q along n, backward (negative) and forward, points
// have a property that q has, within the place's stone. A guess of how far that
// is, to all of the stone when it is endless, saves work when it is right.
func (s *search) run(p *Place, q, n geom.Point, accuracy, guess float64, has func(geom.Point) bool) (back, ahead float64) {
	least, most := p.Extent(n)
	at := n.Dot(q)
	reach := func(end float64) float64 {
		in, out := 0.0, end
		for _, t := range [2]float64{guess - accuracy/2, guess + accuracy/2} {
			if t = math.Min(t, math.Abs(end)-accuracy/2); t <= math.Abs(in) {
				continue
			}
			t = math.Copysign(t, end)
			if !has(q.Add(n.Mul(t))) {
				out = t
				break
			}
			in = t
		}
		if out == end && has(q.Add(n.Mul(end))) {
			return end
		}
		for math.Abs(out-in) > accuracy {
			if mid := (in + out) / 2; has(q.Add(n.Mul(mid))) {
				in = mid
			} else {
				out = mid
			}
		}
		return in
	}
	return reach(math.Min(0, least-at)), reach(math.Max(0, most-at))
}
