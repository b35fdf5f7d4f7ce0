package support

import (
	"math"

	"trueup/dxfio/geom"
)

// stretch measures how much of the piece is past the limit at a place: of a span
// the width across its middle, of anything else the boundary that hangs too far.
func (s *search) stretch(p *Place, spanned bool) {
	if p.Kind != Span {
		s.hangingBoundary(p, spanned)
		return
	}
	q := p.Line.Middle()
	n := p.Line.To.Sub(p.Line.From).Unit().Left()
	lo, hi := s.run(p, q, n, stretchAccuracy, 0, func(q geom.Point) bool { return s.isFree(q) && !s.within(q, pastScore) })
	p.Stretch = hi - lo
	p.Ends = geom.Witness{From: q.Add(n.Mul(lo)), To: q.Add(n.Mul(hi))}
}

const (
	// stretchAccuracy is how exactly in mm each end of a stretch is found.
	stretchAccuracy = 0.25
	// stretchStep is how far apart in mm the boundary is looked at: a sound part
	// of it that is shorter may be counted to the stretch around it.
	stretchStep = 50
	// beforeCorner is how far in mm from a corner its sides are looked at: near
	// enough for the accuracy, and far enough that sideStep off an acute corner's
	// side is still stone.
	beforeCorner = 0.1
)

// hangingBoundary measures the connected run of boundary around the place's worst
// point that is past the limit: along the outline or the cutout at which its
// chord ends, around corners, as far as stone a hair inside hangs past it.
func (s *search) hangingBoundary(p *Place, spanned bool) {
	w, ok := s.walkFrom(p.Line.To, func(q geom.Point) bool {
		if !s.isFree(q) || s.within(q, pastScore) {
			return false
		}
		return !spanned || s.point(q).Kind != Span
	})
	if !ok {
		return
	}
	ahead, end, all := w.ahead()
	if all {
		p.Stretch = w.loop.Length()
		p.Ends = geom.Witness{From: p.Line.To, To: p.Line.To}
		return
	}
	r := w.reversed()
	back, start, _ := r.ahead()
	p.Stretch = ahead + back
	p.Ends = geom.Witness{From: start, To: end}
}

// walk is a place on a loop from which the boundary is followed while stone on
// its inner side has a property.
type walk struct {
	loop   geom.Loop
	curve  int
	t      float64 // fraction of the curve
	inward float64 // 1 with stone on the loop's left, -1 on its right
	has    func(geom.Point) bool
}

// walkFrom starts at the boundary's nearest point to p that has the property; ok
// is false when nothing there has it.
func (s *search) walkFrom(p geom.Point, has func(geom.Point) bool) (w walk, ok bool) {
	least := math.Inf(1)
	for _, shape := range append([]shape{s.outline}, s.cutouts...) {
		for i, c := range shape.loop {
			q, t := geom.NearestPoint(c, p)
			if d := q.Distance(p); d < least {
				v := walk{shape.loop, i, t, 1, has}
				if v.looks(i, v.from(i, t)) {
					least, w, ok = d, v, true
				}
			}
		}
	}
	return w, ok
}

// reversed is the same place on the loop run the other way.
func (w walk) reversed() walk {
	n := len(w.loop)
	return walk{w.loop.Reverse(), n - 1 - w.curve, 1 - w.t, -w.inward, w.has}
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
// returns how far that is and where; all is true when it holds all around.
func (w *walk) ahead() (length float64, end geom.Point, all bool) {
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
		length += c.Length() * (u - t)
		if u < to {
			return length, c.At(u), false
		}
		t = 0
	}
	return length, end, true
}

// last returns the last fraction of a curve between t and u up to which the
// property holds from t on, t itself when it does not.
func (w *walk) last(i int, t, u float64) float64 {
	length := w.loop[i].Length() * (u - t)
	n := max(1, int(math.Ceil(length/stretchStep)))
	in := t
	for k := 0; k <= n; k++ {
		at := w.from(i, t+(u-t)*float64(k)/float64(n))
		if w.looks(i, at) {
			in = at
			continue
		}
		if k == 0 {
			return t
		}
		out := at
		for (out-in)*w.loop[i].Length() > stretchAccuracy {
			if mid := (in + out) / 2; w.looks(i, mid) {
				in = mid
			} else {
				out = mid
			}
		}
		return in
	}
	return u
}
