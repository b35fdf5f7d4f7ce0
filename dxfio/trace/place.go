package trace

import (
	"cmp"
	"math"

	"trueup/dxfio/geom"
)

// What a choice between equally good answers may rest on. A drawing that is
// shifted or turned has other last digits in every coordinate, so that lengths
// which are equal as drawn differ there by rounding, and left and right are
// other sides. Choices therefore compare lengths by measure, and what is equal
// by its distance from two points of the drawing's own: the mean of its curves'
// middles, and the same mean weighted by their lengths.

// compareMeasured orders lengths in mm; those that no measure can tell apart
// are equal.
func compareMeasured(a, b float64) int {
	return cmp.Compare(math.Round(a/geom.Tolerance), math.Round(b/geom.Tolerance))
}

// atMost reports whether a measured length or area is no more than a limit, to
// the last digit of the measure.
func atMost(measured, limit float64) bool { return measured <= limit+geom.Tolerance }

// landmarks are two points that move with the drawing.
type landmarks struct {
	at    [2]geom.Point
	known bool
}

// comparePlaces orders points by where they lie in the drawing, however it is
// shifted or turned. Only what lies as a mirror image about the landmarks is
// ordered by its coordinates.
func (w *work) comparePlaces(p, q geom.Point) int {
	if p == q {
		return 0
	}
	if !w.marks.known {
		w.marks = w.newLandmarks()
	}
	for _, o := range w.marks.at {
		if c := compareMeasured(p.Distance(o), q.Distance(o)); c != 0 {
			return c
		}
	}
	return comparePoints(p, q)
}

func (w *work) newLandmarks() landmarks {
	var plain, weighted geom.Point
	count, length := 0.0, 0.0
	for i := range w.segs {
		if c := &w.segs[i]; !c.dead {
			middle, chord := c.A.Lerp(c.B, 0.5), c.Chord()
			plain, weighted = plain.Add(middle), weighted.Add(middle.Mul(chord))
			count, length = count+1, length+chord
		}
	}
	return landmarks{[2]geom.Point{plain.Mul(1 / math.Max(count, 1)), weighted.Mul(1 / math.Max(length, geom.Tolerance))}, true}
}

// compareInPlace orders curves by length, then by where they lie.
func (w *work) compareInPlace(c, d *Curve) int {
	return cmp.Or(compareRounded(c.Length(), d.Length()), w.comparePlaces(c.Middle(), d.Middle()))
}
