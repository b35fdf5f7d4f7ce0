package dxfio

import (
	"math"

	"trueup/dxfio/geom"
)

// smooth is a curve in the plane with a parameter. at returns the place and the
// derivative at t, seen from the span of the parameter with the given number:
// where two spans meet, their derivatives (and, of a broken spline, places) may
// differ.
type smooth interface {
	at(t float64, span int) (p, d geom.Point)
}

// stretch is a piece of a curve between two of its joints, through which
// tangents run smoothly. Its spans are the pieces between knots: the curve is
// free of sudden bends inside a span.
type stretch struct {
	curve smooth
	knots []float64 // ascending; span i of the stretch runs from knots[i] to knots[i+1]
	first int       // number of the first span for curve.at
}

// fittedArc is an arc of a fit.
type fittedArc = geom.Curve

// fit is the result of fitting arcs: how far the curve lies from them at most,
// and where.
type fit struct {
	err float64
	at  geom.Point
}

func (f *fit) worse(err float64, at geom.Point) {
	if err > f.err {
		f.err, f.at = err, at
	}
}

// Constants of the fit.
const (
	// fitMargin is the share of the tolerance that the samples may use; the rest
	// covers what lies between them.
	fitMargin = 0.98
	// Samples of a biarc, at least; and of each span it covers.
	samplesBiarc = 32
	samplesSpan  = 8
	// refinements is how often the step to the top of the largest bump is halved.
	refinements = 4
	// longestGap is the share of the biarc that samples may lie apart before
	// more are taken between them, deepestGap how often that gap is halved.
	longestGap = 12
	deepestGap = 24
	// spansAhead bounds how far one biarc looks, and with it the cost of a
	// spline with very many knots.
	spansAhead = 24
	// growSteps is how often a fitting piece is tried longer before it is taken:
	// the piece is then within 2 % of the longest.
	growSteps = 5
	// shortest is the piece of a span that is no longer divided: what does not
	// fit there is a cusp, and becomes a line whose error is reported.
	shortest = 1e-7
)

// fitArcs appends arcs within the tolerance to out: biarcs (two arcs that meet
// with a common tangent), each as long as it fits, so that the chain's tangents
// run through. stop is asked between pieces.
//
// Method: Bolton, Biarc curves, Computer-Aided Design 7 (1975), with equal
// tangent lengths.
func (s *stretch) fitArcs(tolerance float64, out []fittedArc, f *fit, stop func(n int) bool) []fittedArc {
	last := len(s.knots) - 1
	w := walk{t: s.knots[0], step: s.knots[last] - s.knots[0], shortest: shortest}
	first := len(out)
	for w.span < last && !stop(len(out)) {
		n := len(out)
		out = s.longest(&w, s.knots[min(w.span+spansAhead, last)], tolerance, out, f)
		if n > first && len(out) > n {
			out[n].A = out[n-1].B // where the curve stood still, they may differ by rounding
		}
		for w.span < last && s.knots[w.span+1] <= w.t {
			w.span++
		}
	}
	return out
}

// walk is how far a fit has come.
type walk struct {
	t        float64
	span     int
	step     float64 // length of the piece before, a first guess for the next
	shortest float64 // share of a span that is not divided any more
}

// longest appends the longest piece from w.t on that fits, and moves on to its end.
func (s *stretch) longest(w *walk, ahead, tolerance float64, out []fittedArc, f *fit) []fittedArc {
	var best attempt
	t, good, bad := w.t, w.t, math.Inf(1)
	try := math.Min(ahead, t+1.5*w.step)
	floor := w.shortest * (s.knots[w.span+1] - s.knots[w.span])
	for found, grown := false, 0; ; {
		now := s.biarc(t, try, w.span, tolerance*fitMargin)
		if now.ok {
			found, good, best = true, try, now
		} else {
			bad = try
		}
		if found {
			grown++
		}
		if good >= ahead || grown > growSteps {
			break
		}
		try = nextTry(t, good, bad, ahead, now.off.err/tolerance)
		if found && !(try > good && try < bad) {
			break
		}
		if !found && !(try-t > floor) {
			w.t = bad
			w.shortest *= 2 // or a curve that is all cusps would take for ever
			return s.chord(t, bad, w.span, out, f)
		}
	}
	w.t, w.step = good, good-t
	f.worse(best.off.err, best.off.at)
	return append(out, best.arcs[:best.n]...)
}

// nextTry proposes the end of the next attempt between the longest piece that
// fits and the shortest that does not. The error of a biarc grows with the
// cube of its length.
func nextTry(t, good, bad, ahead, relative float64) float64 {
	if math.IsInf(bad, 1) {
		return math.Min(ahead, t+(good-t)*2)
	}
	if good > t {
		return good + (bad-good)/2
	}
	shrink := 0.25
	if relative > 0 && !math.IsInf(relative, 1) {
		shrink = math.Max(0.1, math.Min(0.9, 0.95/math.Cbrt(relative)))
	}
	return t + (bad-t)*shrink
}

// chord appends the line from t to u, with the error it makes.
func (s *stretch) chord(t, u float64, span int, out []fittedArc, f *fit) []fittedArc {
	a, _ := s.curve.at(t, s.first+span)
	b, _ := s.curve.at(u, s.first+s.spanOf(u, span))
	line := geom.Line(a, b)
	for i := range samplesBiarc {
		v := t + (u-t)*(float64(i)+0.5)/samplesBiarc
		p, _ := s.curve.at(v, s.first+s.spanOf(v, span))
		f.worse(line.Distance(p), p)
	}
	if a == b {
		return out
	}
	return append(out, line)
}

// spanOf returns the span, from the given one on, in which t lies; a knot
// belongs to the span before it.
func (s *stretch) spanOf(t float64, span int) int {
	for span+2 < len(s.knots) && s.knots[span+1] < t {
		span++
	}
	return span
}

// attempt is a biarc tried on a piece of the curve.
type attempt struct {
	arcs [2]fittedArc
	n    int
	off  fit // of a failed one: at least so far off, 0 when that is not known
	ok   bool
}

// biarc fits one biarc to the curve between t and u. It fails when it leaves
// the tolerance or turns too far.
func (s *stretch) biarc(t, u float64, span int, tolerance float64) (now attempt) {
	end := s.spanOf(u, span)
	a, da := s.curve.at(t, s.first+span)
	b, db := s.curve.at(u, s.first+end)
	now.off.at = a
	ta, tb := s.direction(da, t, u, span), s.direction(db, u, t, end)
	if ta != (geom.Point{}) && tb != (geom.Point{}) {
		now.arcs, now.n, now.ok = biarcBetween(a, b, ta, tb)
		if now.ok {
			now.ok = s.within(&now, t, u, span, end, tolerance)
		}
	}
	if !now.ok && a.Distance(b) <= tolerance {
		s.speck(&now, a, b, t, u, span, tolerance)
	}
	return now
}

// speck replaces a failed attempt on a piece no longer than the tolerance, where
// the curve has a cusp or stands still, by the line between its ends, if the
// piece stays there altogether.
func (s *stretch) speck(now *attempt, a, b geom.Point, t, u float64, span int, tolerance float64) {
	off := fit{at: a}
	line := geom.Line(a, b)
	for i := range samplesBiarc {
		v := t + (u-t)*(float64(i)+0.5)/samplesBiarc
		p, _ := s.curve.at(v, s.first+s.spanOf(v, span))
		off.worse(line.Distance(p), p)
		if !(off.err <= tolerance) {
			return
		}
	}
	now.off, now.ok, now.n = off, true, 0
	if a != b {
		now.arcs[0], now.n = line, 1
	}
}

// direction returns the unit tangent for a derivative d at t; where the curve
// stands still for a moment it is taken from a place a little way toward u.
func (s *stretch) direction(d geom.Point, t, u float64, span int) geom.Point {
	if n := d.Norm(); n > 0 && !math.IsInf(n, 1) {
		// A derivative of rounding noise has no direction.
		p, _ := s.curve.at(t, s.first+span)
		if n*math.Abs(s.knots[span+1]-s.knots[span]) > 1e-12*(math.Abs(p.X)+math.Abs(p.Y)) {
			return d.Mul(1 / n)
		}
	}
	a, _ := s.curve.at(t, s.first+span)
	near := t + (s.knots[span+1]-s.knots[span])*math.Copysign(1e-4, u-t)
	b, _ := s.curve.at(near, s.first+span)
	if u < t {
		a, b = b, a
	}
	return b.Sub(a).Unit()
}
