package geom

import "math"

// Curve is the line from A to B when Bulge is 0, otherwise the circular arc
// from A to B that turns through 4*atan(Bulge), counter-clockwise when Bulge is
// positive (DXF Reference, group code 42: bulge = tan(included angle / 4)).
// A and B differ: a full circle is two Curves of bulge 1. Millimetres.
//
// Readers split arcs of more than a half turn, so |Bulge| <= 1 holds for every
// curve that reaches tracing; the methods are exact beyond that too.
type Curve struct {
	A, B  Point
	Bulge float64
}

// Line returns the straight curve from a to b.
func Line(a, b Point) Curve { return Curve{A: a, B: b} }

// ArcAround returns the arc of the given radius about center from the start
// angle through the signed sweep, both in radians, as one Curve, or as two
// halves when it turns more than a half circle. A sweep past a full turn is cut
// to a full turn.
func ArcAround(center Point, radius, start, sweep float64) []Curve {
	sweep = math.Max(-2*math.Pi, math.Min(2*math.Pi, sweep))
	at := func(a float64) Point {
		s, c := math.Sincos(a)
		return Point{center.X + radius*c, center.Y + radius*s}
	}
	if math.Abs(sweep) <= math.Pi {
		return []Curve{{at(start), at(start + sweep), math.Tan(sweep / 4)}}
	}
	a, m := at(start), at(start+sweep/2)
	b := at(start + sweep)
	if math.Abs(sweep) == 2*math.Pi {
		b = a
	}
	t := math.Tan(sweep / 8)
	return []Curve{{a, m, t}, {m, b, t}}
}

// Circle returns the counter-clockwise circle as a loop of two half turns.
func Circle(center Point, radius float64) Loop {
	return Loop(ArcAround(center, radius, 0, 2*math.Pi))
}

// IsLine reports whether the curve is straight.
func (c Curve) IsLine() bool { return c.Bulge == 0 }

// Chord returns the straight distance between the ends.
func (c Curve) Chord() float64 { return c.A.Distance(c.B) }

// Sweep returns the signed angle the arc turns through in radians, 0 for a line.
func (c Curve) Sweep() float64 { return 4 * math.Atan(c.Bulge) }

// Radius returns the arc's radius, +Inf for a line.
func (c Curve) Radius() float64 {
	if c.Bulge == 0 {
		return math.Inf(1)
	}
	b := math.Abs(c.Bulge)
	return c.Chord() * (1 + b*b) / (4 * b)
}

// Center returns the arc's centre. It has no meaning for a line.
func (c Curve) Center() Point {
	k := (1 - c.Bulge*c.Bulge) / (4 * c.Bulge)
	m := c.A.Lerp(c.B, 0.5)
	return m.Add(c.B.Sub(c.A).Left().Mul(k))
}

// Length returns the length along the curve.
func (c Curve) Length() float64 {
	if c.Bulge == 0 {
		return c.Chord()
	}
	b := math.Abs(c.Bulge)
	return c.Chord() * (1 + b*b) * math.Atan(b) / b
}

// Reverse returns the same curve run from B to A.
func (c Curve) Reverse() Curve { return Curve{c.B, c.A, -c.Bulge} }

// At returns the point a fraction t of the length along the curve; 0 gives A
// and 1 gives B exactly.
func (c Curve) At(t float64) Point {
	switch {
	case t == 0:
		return c.A
	case t == 1:
		return c.B
	case c.Bulge == 0:
		return c.A.Lerp(c.B, t)
	}
	// The chord from A to the point turned through t*sweep has length
	// 2 R sin(t*sweep/2) and leaves A at the start tangent turned by t*sweep/2:
	// no centre, so nearly straight arcs stay exact.
	half := c.Sweep() / 2
	d := c.B.Sub(c.A)
	scale := math.Sin(t*half) / math.Sin(half)
	return c.A.Add(d.Rotate(t*half - half).Mul(scale))
}

// Tangent returns the unit direction of travel a fraction t along the curve.
func (c Curve) Tangent(t float64) Point {
	d := c.B.Sub(c.A).Unit()
	if c.Bulge == 0 {
		return d
	}
	return d.Rotate(c.Sweep() * (t - 0.5))
}

// Middle returns the point halfway along the curve.
func (c Curve) Middle() Point { return c.At(0.5) }

// Part returns the stretch between fractions t and u of the length, t < u.
func (c Curve) Part(t, u float64) Curve {
	p := Curve{A: c.At(t), B: c.At(u)}
	if c.Bulge != 0 {
		p.Bulge = math.Tan(math.Atan(c.Bulge) * (u - t))
	}
	return p
}

// Box returns the smallest axis-parallel rectangle around the curve, arc
// extremes included.
func (c Curve) Box() Box {
	b := Box{c.A, c.A}.Extend(c.B)
	if c.Bulge == 0 {
		return b
	}
	if math.Abs(c.Bulge) > 1 {
		for _, u := range [4]Point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			b = c.extendTo(u, b)
		}
		return b
	}
	// Up to a half turn, the direction of travel passes upright and level once at
	// most: where its parts change their sign. It is that of the chord turned back
	// and forth by half the sweep, whose tangent is 2b / (1 - b^2).
	d, cos, sin := c.B.Sub(c.A), 1-c.Bulge*c.Bulge, 2*c.Bulge
	from := Point{d.X*cos + d.Y*sin, d.Y*cos - d.X*sin}
	to := Point{d.X*cos - d.Y*sin, d.Y*cos + d.X*sin}
	if math.Abs(c.Bulge) >= shallow {
		return c.boxFromCenter(b, from, to)
	}
	if from.X > 0 && to.X < 0 || from.X < 0 && to.X > 0 {
		b = c.extendTo(Point{X: math.Copysign(1, from.X)}, b)
	}
	if from.Y > 0 && to.Y < 0 || from.Y < 0 && to.Y > 0 {
		b = c.extendTo(Point{Y: math.Copysign(1, from.Y)}, b)
	}
	return b
}

// shallow is the bulge under which an arc's centre is so far away, more than 250
// chords, that its rounding is not to be trusted with the arc's extremes.
const shallow = 1e-3

// boxFromCenter grows the box around the ends to the extremes of an arc, which
// lie upright and level from its centre where the direction of travel, given at
// both ends, changes its sign.
func (c Curve) boxFromCenter(b Box, from, to Point) Box {
	across, along := from.X > 0 && to.X < 0 || from.X < 0 && to.X > 0, from.Y > 0 && to.Y < 0 || from.Y < 0 && to.Y > 0
	if !across && !along {
		return b
	}
	o, r := c.Center(), c.Radius()
	if across {
		b = b.Extend(Point{o.X + math.Copysign(r, from.X), c.A.Y})
	}
	if along {
		b = b.Extend(Point{c.A.X, o.Y + math.Copysign(r, from.Y)})
	}
	return b
}

// extendTo grows the box to the arc's farthest point in the direction u.
func (c Curve) extendTo(u Point, b Box) Box {
	if p, ok := c.extreme(u); ok {
		return b.Extend(p)
	}
	return b
}

// Translate returns the curve moved by d.
func (c Curve) Translate(d Point) Curve { return Curve{c.A.Add(d), c.B.Add(d), c.Bulge} }

// Rotate returns the curve turned by angle radians about the origin.
func (c Curve) Rotate(angle float64) Curve {
	return Curve{c.A.Rotate(angle), c.B.Rotate(angle), c.Bulge}
}

// Mirror returns the curve mirrored in the y axis.
func (c Curve) Mirror() Curve {
	return Curve{Point{-c.A.X, c.A.Y}, Point{-c.B.X, c.B.Y}, -c.Bulge}
}

// Offset returns the curve moved to its left by d (to its right when d is
// negative). It reports false when an arc would shrink to nothing.
func (c Curve) Offset(d float64) (Curve, bool) {
	na, nb := c.Tangent(0).Left(), c.Tangent(1).Left()
	o := Curve{c.A.Add(na.Mul(d)), c.B.Add(nb.Mul(d)), c.Bulge}
	if c.Bulge > 0 && d >= c.Radius() || c.Bulge < 0 && -d >= c.Radius() {
		return Curve{}, false
	}
	return o, true
}
