package shop

import "math"

// Access is the way into the house: two corridors that meet at a right angle.
type Access struct {
	From      float64 `toml:"corridor_from" unit:"mm" min:"0" max:"20000" doc:"width of the corridor the piece comes from; 0: not checked"`
	To        float64 `toml:"corridor_to" unit:"mm" min:"0" max:"20000" doc:"width of the corridor it turns into; 0: not checked"`
	Clearance float64 `toml:"clearance" unit:"mm" min:"0" max:"2000" doc:"room beside the stone for hands and clamps" source:"common practice, no source"`
}

// Known reports whether the settings give both corridors.
func (a Access) Known() bool { return a.From > 0 && a.To > 0 }

// Longest returns the longest piece of a thickness, in mm, that gets around the
// corner: carried upright on its long edge, so that in plan it is as long as its
// long side and as wide as the stone is thick, with the clearance added.
func (a Access) Longest(thickness float64) float64 {
	return AroundCorner(a.From, a.To, thickness+a.Clearance)
}

// AroundCorner returns the longest rectangle of the given breadth that can be
// carried, level and without being tipped, around the right-angled corner of
// corridors a and b wide, all in mm; 0 when it does not even enter one of them.
//
// With its outer corners sliding along the outer walls, the far side of the
// rectangle of length L runs from (L cos v, 0) to (0, L sin v). The inner corner
// (a, b) lies a sin v + b cos v - L sin v cos v before it, which has to be at
// least the breadth w at every v between 0 and 90 degrees:
//
//	L = min over v of (a sin v + b cos v - w) / (sin v cos v)
//
// With w = 0 that is the ladder around a corner, (a^(2/3) + b^(2/3))^(3/2).
// The slope in v has the sign of
//
//	N(v) = a sin^3 v - b cos^3 v + w (cos^2 v - sin^2 v),
//
// from w - b < 0 at 0 to a - w > 0 at 90 degrees. N'(v) = sin v cos v
// (3 (a sin v + b cos v) - 4 w), and a sin v + b cos v is concave: N falls at
// most at either end, where it is negative and positive, so that it has one root.
func AroundCorner(a, b, breadth float64) float64 {
	if breadth >= a || breadth >= b {
		return 0
	}
	low, high := 0.0, math.Pi/2
	for range 80 {
		v := (low + high) / 2
		s, c := math.Sincos(v)
		if a*s*s*s-b*c*c*c+breadth*(c*c-s*s) < 0 {
			low = v
		} else {
			high = v
		}
	}
	s, c := math.Sincos((low + high) / 2)
	return (a*s + b*c - breadth) / (s * c)
}
