package geom

import "math"

// Fraction returns where p, brought to the full line or circle of the curve
// along its normal, lies in terms of the curve's length: 0 at A, 1 at B, below 0
// before A, above 1 beyond B. On an arc values run half a circle to both sides
// of the middle.
func (c Curve) Fraction(p Point) float64 { return c.frame().fraction(p) }

// SignedDistance returns the distance in mm from p to the full line or circle of
// the curve, positive on the left of the direction of travel.
func (c Curve) SignedDistance(p Point) float64 { return c.frame().signedDistance(p) }

// Winding returns the curve's part in the winding number of a loop about p: the
// sum over a counter-clockwise loop is 1 inside and 0 outside. p must not lie on
// the curve.
func (c Curve) Winding(p Point) int { return c.winding(p) }

// CommonPoints returns where the full lines or circles of two curves meet, ends
// disregarded: none, one, or two points.
func CommonPoints(c, d Curve) []Point {
	var all []Point
	for _, m := range solve(c, d) {
		all = append(all, m.at)
	}
	return all
}

// WithStart returns the curve on the same line or circle that begins at p, which
// must lie on it, instead of at A. An arc may grow to nearly a full circle.
func (c Curve) WithStart(p Point) Curve {
	d := Curve{A: p, B: c.B}
	if c.Bulge != 0 {
		d.Bulge = math.Tan(math.Atan(c.Bulge) * (1 - c.Fraction(p)))
	}
	return d
}

// WithEnd returns the curve on the same line or circle that ends at p, which
// must lie on it, instead of at B.
func (c Curve) WithEnd(p Point) Curve { return c.Reverse().WithStart(p).Reverse() }
