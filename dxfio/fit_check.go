package dxfio

import (
	"math"

	"trueup/dxfio/geom"
)

// check measures how far the curve lies from the arcs of an attempt.
type check struct {
	s         *stretch
	arcs      biarcGauge
	off       *fit
	reach     float64 // samples farther apart than this are too few
	tolerance float64
	worst     float64 // parameter of the worst sample
	span      int     // and its span
	gap       float64 // and how far the samples beside it are
}

// within measures how far the curve between t and u lies from the arcs, up to
// the first sample outside the tolerance.
func (s *stretch) within(now *attempt, t, u float64, span, end int, tolerance float64) bool {
	samples := max(samplesSpan, samplesBiarc/(end-span+1))
	reach := 0.0
	for _, arc := range now.arcs[:now.n] {
		reach += arc.Length() / longestGap
	}
	c := check{
		s: s, arcs: newBiarcGauge(now), off: &now.off, tolerance: tolerance,
		reach: math.Max(reach, tolerance), // what is shorter hides nothing
	}
	before := now.arcs[0].A
	for k := span; k <= end; k++ {
		from, to := math.Max(t, s.knots[k]), math.Min(u, s.knots[k+1])
		v, gap := from, (to-from)/float64(samples)
		for i := range samples {
			next := from + gap*(float64(i)+0.5)
			p, d := s.curve.at(next, s.first+k)
			if !c.sample(p, next, k, gap) || c.arcs.against(p, d) ||
				p.Distance(before) > c.reach && !c.between(v, next, before, p, k, deepestGap) {
				return false
			}
			v, before = next, p
		}
	}
	return c.refine()
}

// sample measures one place of the curve.
func (c *check) sample(p geom.Point, t float64, span int, gap float64) bool {
	off := c.arcs.distance(p)
	if off > c.off.err {
		c.off.err, c.off.at = off, p
		c.worst, c.span, c.gap = t, span, gap
	}
	return off <= c.tolerance
}

// between measures between two places that lie far apart because the curve runs
// fast there, as very unequal weights make it do.
func (c *check) between(t, u float64, a, b geom.Point, span, depth int) bool {
	v := t + (u-t)/2
	p, _ := c.s.curve.at(v, c.s.first+span)
	if !c.sample(p, v, span, (u-t)/2) {
		return false
	}
	if depth == 0 {
		return true
	}
	return (a.Distance(p) <= c.reach || c.between(t, v, a, p, span, depth-1)) &&
		(p.Distance(b) <= c.reach || c.between(v, u, p, b, span, depth-1))
}

// refine looks for the top of the bump on which the worst sample lies, by
// halving the distance to its neighbours, where the tolerance is nearly used up.
func (c *check) refine() bool {
	if c.off.err < c.tolerance/2 {
		return true
	}
	low, high := c.s.knots[c.span], c.s.knots[c.span+1]
	for range refinements {
		c.gap /= 2
		t := c.worst
		for _, v := range [...]float64{t - c.gap, t + c.gap} {
			if v <= low || v >= high {
				continue
			}
			gap := c.gap
			p, _ := c.s.curve.at(v, c.s.first+c.span)
			if !c.sample(p, v, c.span, gap) {
				return false
			}
		}
	}
	return true
}
