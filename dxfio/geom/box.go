package geom

import "math"

// Box is an axis-parallel rectangle, sides included. EmptyBox holds nothing.
type Box struct{ Min, Max Point }

// EmptyBox returns the box that contains no point and grows by Extend.
func EmptyBox() Box {
	return Box{Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}}
}

// Empty reports whether the box holds no point.
func (b Box) Empty() bool { return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y }

// Extend returns the smallest box around b and p.
func (b Box) Extend(p Point) Box { return b.Union(Box{p, p}) }

// Union returns the smallest box around both.
func (b Box) Union(c Box) Box { // plain comparisons: math.Min costs a call each
	if c.Min.X < b.Min.X {
		b.Min.X = c.Min.X
	}
	if c.Min.Y < b.Min.Y {
		b.Min.Y = c.Min.Y
	}
	if c.Max.X > b.Max.X {
		b.Max.X = c.Max.X
	}
	if c.Max.Y > b.Max.Y {
		b.Max.Y = c.Max.Y
	}
	return b
}

// Grow returns the box with every side moved outward by d.
func (b Box) Grow(d float64) Box {
	return Box{Point{b.Min.X - d, b.Min.Y - d}, Point{b.Max.X + d, b.Max.Y + d}}
}

// Overlaps reports whether the boxes share a point.
func (b Box) Overlaps(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Contains reports whether p lies in the box or on its sides.
func (b Box) Contains(p Point) bool {
	return b.Min.X <= p.X && p.X <= b.Max.X && b.Min.Y <= p.Y && p.Y <= b.Max.Y
}

// Distance returns the distance from p to the box, 0 inside.
func (b Box) Distance(p Point) float64 {
	dx := math.Max(math.Max(b.Min.X-p.X, p.X-b.Max.X), 0)
	dy := math.Max(math.Max(b.Min.Y-p.Y, p.Y-b.Max.Y), 0)
	return math.Hypot(dx, dy)
}

// Width returns the size along x, 0 for an empty box.
func (b Box) Width() float64 { return math.Max(0, b.Max.X-b.Min.X) }

// Height returns the size along y, 0 for an empty box.
func (b Box) Height() float64 { return math.Max(0, b.Max.Y-b.Min.Y) }

// Center returns the middle of the box.
func (b Box) Center() Point { return b.Min.Lerp(b.Max, 0.5) }
