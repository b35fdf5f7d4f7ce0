package geom

import "math"

// Location says where a point lies against a loop or region.
type Location int8

// The locations.
const (
	Outside Location = -1
	On      Location = 0
	Inside  Location = 1
)

// Locate tells whether p lies inside the loop, outside, or within Tolerance of
// it. The direction of the loop does not matter; of a loop that crosses itself
// the points with a winding number other than 0 are inside.
//
// The winding number is that of the polygon of chords, from exact orientations
// and the half-open rule on y, corrected by 1 for every circular segment that
// holds p. A point exactly on a chord counts as lying a hair to its upper right
// in both parts, so the sum has no gap.
func (l Loop) Locate(p Point) Location {
	winding := 0
	for _, c := range l {
		if c.near(p) && c.Distance(p) <= Tolerance {
			return On
		}
		winding += c.winding(p)
	}
	if winding != 0 {
		return Inside
	}
	return Outside
}

// near is a quick test: false when p is surely farther than Tolerance.
func (c Curve) near(p Point) bool {
	reach := Tolerance
	if c.Bulge != 0 {
		reach += c.bowBound()
	}
	return p.X >= math.Min(c.A.X, c.B.X)-reach && p.X <= math.Max(c.A.X, c.B.X)+reach &&
		p.Y >= math.Min(c.A.Y, c.B.Y)-reach && p.Y <= math.Max(c.A.Y, c.B.Y)+reach
}

// bowBound is a bound on how far the arc leaves the box of its ends.
func (c Curve) bowBound() float64 {
	b := math.Abs(c.Bulge)
	return (math.Abs(c.A.X-c.B.X) + math.Abs(c.A.Y-c.B.Y)) * (b/2 + math.Max(0, b-1))
}

// winding returns the curve's part in the winding number about p.
func (c Curve) winding(p Point) int {
	w := 0
	upward := c.A.Y <= p.Y
	if upward != (c.B.Y <= p.Y) {
		side := Orient(c.A, c.B, p)
		switch {
		case upward && side == Left:
			w = 1
		case !upward && side == Right:
			w = -1
		}
	}
	if c.Bulge == 0 {
		return w
	}
	// With |Bulge| <= 1 the segment lies in the circle on the chord.
	if math.Abs(c.Bulge) <= 1 && p.Sub(c.A).Dot(p.Sub(c.B)) > 0 {
		return w
	}
	side := Orient(c.A, c.B, p)
	if side == Along {
		side = sideOf(c.A.Y - c.B.Y) // of the point a hair to the right
		if side == Along {
			side = sideOf(c.B.X - c.A.X) // of the point a hair above
		}
	}
	// A counter-clockwise arc bows to the right of its chord and holds its
	// segment on its left, a clockwise one the other way round.
	dist := c.frame().signedDistance(p)
	switch {
	case c.Bulge > 0 && side == Right && dist > 0:
		w++
	case c.Bulge < 0 && side == Left && dist < 0:
		w--
	}
	return w
}

// Corner returns the angle in degrees on the left of the loop at the start of
// curve i, between the curve before and this one: 90 at the corner of a
// rectangle, 180 where the loop runs on smoothly, above 180 at an inside corner
// of a counter-clockwise outline. A loop that turns back on itself has 0 where
// the stone is a spike and 360 where it is a slit.
func (l Loop) Corner(i int) float64 {
	in, out := l[(i+len(l)-1)%len(l)], l[i]
	u, v := in.Tangent(1), out.Tangent(0)
	turn := math.Atan2(u.Cross(v), u.Dot(v))
	if math.Pi-math.Abs(turn) < cusp {
		turn = math.Copysign(turn, cuspTurn(in, out))
	}
	return 180 - turn*180/math.Pi
}

// cusp is the angle in radians under which a turn back is decided by the
// curvature and not by tangents, whose rounding may have either sign.
const cusp = 1e-9

// cuspTurn is positive when the loop turns left to run back along in: out then
// lies on the left of in.
func cuspTurn(in, out Curve) float64 {
	reach := math.Min(in.Chord(), out.Chord()) / 2
	p := out.At(reach / out.Length())
	return in.frame().signedDistance(p)
}
