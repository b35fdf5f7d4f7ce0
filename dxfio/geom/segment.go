package geom

import "math"

// The circular segment between an arc and its chord, in terms of the bulge b
// and the chord c (x = b*b):
//
//	area   = c^2 ((1+x)^2 atan b - b(1-x)) / (8x) = c^2 b (e0 + e1 x + e2 x^2 + ...)
//	moment = c^3 (1 - 3(1-x) area/(b c^2)) / 12   = c^3 x (m0 + m1 x + m2 x^2 + ...)
//
// with e(n) = (-1)^(n+1) / ((2n+3)(2n+1)(2n-1)) and m(n) = (e(n) - e(n+1)) / 4.
// Both follow from R^2 (t - sin t)/2 and 4R sin^3(t/2) / (3(t - sin t)), the
// textbook area and centroid of a segment, by t = 4 atan b. The closed forms
// cancel for shallow arcs, the series converge for |b| < 1: below seriesBulge
// the series are used, above it the closed forms lose at most six bits.
const (
	seriesBulge = 0.25
	seriesTerms = 12 // seriesBulge^(2*12) is below the rounding of float64
)

// areaTerm returns e(n) of the series above.
func areaTerm(n int) float64 {
	k := float64(2 * n)
	e := 1 / ((k + 3) * (k + 1) * (k - 1))
	if n%2 == 0 {
		return -e
	}
	return e
}

// segmentFactor returns area / (b c^2) of the segment, an even function of b
// that is 1/3 for a shallow arc.
func segmentFactor(b float64) float64 {
	x := b * b
	if math.Abs(b) >= seriesBulge {
		return ((1+x)*(1+x)*math.Atan(b) - b*(1-x)) / (8 * x * b)
	}
	sum := 0.0
	for n := seriesTerms; n >= 0; n-- {
		sum = sum*x + areaTerm(n)
	}
	return sum
}

// segmentArea returns the signed area between the curve and its chord in mm2,
// positive for a counter-clockwise arc.
func (c Curve) segmentArea() float64 {
	if c.Bulge == 0 {
		return 0
	}
	d := c.B.Sub(c.A)
	return d.Dot(d) * c.Bulge * segmentFactor(c.Bulge)
}

// segmentMoment returns the first moment of the segment about its chord divided
// by the chord's length (mm2), positive on the chord's right for either sense
// of turning: area and distance change sign together.
func (c Curve) segmentMoment() float64 {
	d := c.B.Sub(c.A)
	cc, x := d.Dot(d), c.Bulge*c.Bulge
	if math.Abs(c.Bulge) >= seriesBulge {
		return cc * (1 - 3*(1-x)*segmentFactor(c.Bulge)) / 12
	}
	sum := 0.0
	for n := seriesTerms; n >= 0; n-- {
		sum = sum*x + (areaTerm(n)-areaTerm(n+1))/4
	}
	return cc * x * sum
}
