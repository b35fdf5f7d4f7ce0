package support

import (
	"math"

	"trueup/dxfio/geom"
)

// The search ends with a point that no other is worse than by more than Slack. Around
// a sharp peak that may be several mm beside it, and another point in every export of
// the drawing; what is measured there beside its length (the width of the strip, the
// share) changes faster than the length does. So that every export gives the same, the
// point is moved on to the peak itself.

const (
	polishFrom = 8      // mm: first step; the score falls by Slack within a few mm of a peak
	polishTo   = Sliver // mm: last step; finer cusps are left out of the search as well
	// polishWays is in how many directions each step is tried, a golden section of the
	// circle apart: on a ridge between two chords only a narrow cone of them leads up.
	polishWays = 34
	golden     = 2.399963229728653 // radians, pi (3 - sqrt 5)
)

// rising is the relative difference from which a score is worse and not rounded.
const rising = 1e-9

// polish moves a point to the nearest peak of the score.
func (s *search) polish(at geom.Point, f found) (geom.Point, found) {
	if f.Kind == Unhelped || math.IsInf(f.Score, 0) {
		return at, f
	}
	first := f.Line.To.Sub(f.Line.From).Unit()
	way := 0.0
	for step := float64(polishFrom); step > polishTo; {
		moved := false
		for k := 0; k < polishWays && !moved; k++ {
			q := at.Add(first.Rotate(way).Mul(step))
			if s.isFree(q) && !s.within(q, f.Score*(1+rising)) {
				if g := s.point(q); g.Kind != Unhelped {
					at, f, moved = q, g, true
					break // and once more this way
				}
			}
			way += golden
		}
		if !moved {
			step /= 2
		}
	}
	return at, f
}
