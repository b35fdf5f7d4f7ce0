package rules

import "math"

// gravity is the standard acceleration of free fall, m/s2 (NIST SP 811).
const gravity = 9.80665

// beam is a strip of stone: width and thickness in mm, density in kg/m3.
type beam struct{ width, thickness, density float64 }

// weight returns the strip's own weight in N a mm of its length.
func (b beam) weight() float64 { return b.width * b.thickness * b.density * 1e-9 * gravity }

// modulus returns the section modulus b*h^2/6 in mm3.
func (b beam) modulus() float64 { return b.width * b.thickness * b.thickness / 6 }

// spanMoment returns the bending moment in N mm at x mm from an end of the strip
// simply supported over a length in mm, under its own weight and a load in N at
// the middle: wx(L-x)/2 + Px/2 up to the middle (AISC Steel Construction Manual,
// Table 3-23, cases 1 and 7).
func (b beam) spanMoment(length, load, x float64) float64 {
	return b.weight()*x*(length-x)/2 + load*math.Min(x, length-x)/2
}

// cantileverMoment returns that of a cantilever with the load at its end, at x
// mm from the support: w(a-x)^2/2 + P(a-x) (AISC Table 3-23, cases 19, 22).
func (b beam) cantileverMoment(length, load, x float64) float64 {
	return b.weight()*(length-x)*(length-x)/2 + load*(length-x)
}

// longest returns the length at which a moment of square and linear in the
// length reaches the allowed one, 0 when the load alone exceeds it at any.
func longest(square, linear, allowed float64) float64 {
	if allowed <= 0 {
		return 0
	}
	if square == 0 {
		if linear == 0 {
			return math.Inf(1)
		}
		return allowed / linear
	}
	return (math.Sqrt(linear*linear+4*square*allowed) - linear) / (2 * square)
}
