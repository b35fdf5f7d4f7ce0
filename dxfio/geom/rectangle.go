package geom

import (
	"math"
	"slices"
)

// Rectangle is a rectangle at any angle, Length >= Width, in mm. AngleDeg is
// the direction of the long side against the x axis, 0 <= AngleDeg < 180 (of a
// square, the side in 0 <= AngleDeg < 90).
type Rectangle struct {
	Center                  Point
	Length, Width, AngleDeg float64
}

// Area returns the area in mm2.
func (r Rectangle) Area() float64 { return r.Length * r.Width }

// Corners returns the corners counter-clockwise.
func (r Rectangle) Corners() [4]Point {
	u := direction(r.AngleDeg * math.Pi / 180)
	a, b := u.Mul(r.Length/2), u.Left().Mul(r.Width/2)
	return [4]Point{
		r.Center.Sub(a).Sub(b), r.Center.Add(a).Sub(b), r.Center.Add(a).Add(b), r.Center.Sub(a).Add(b),
	}
}

// equalArea is the relative difference in area below which two rectangles count
// as equally small: the rounding of areas, not of measurements.
const equalArea = 1e-9

// SmallestRectangle returns the rectangle of least area around the loop, arcs
// counted exactly. Of several equally small ones it is that with the smaller
// perimeter, then the smaller angle. The empty loop gives the zero Rectangle.
//
// While the four curves it rests on stay the same, the area is a trigonometric
// polynomial of the angle of degree two; without arcs its least value lies at
// the ends of such a range (Freeman and Shapira, Determining the
// minimum-area encasing rectangle for an arbitrary closed curve, 1975), with
// arcs it may lie inside, where it is sought between sign changes of the slope.
func SmallestRectangle(l Loop) Rectangle {
	if len(l) == 0 {
		return Rectangle{}
	}
	if o, r, ok := l.circle(); ok {
		return Rectangle{Center: o, Length: 2 * r, Width: 2 * r}
	}
	c := newCaliper(l)
	var best Rectangle
	for i := range len(c.turns) - 1 {
		for _, angle := range c.leastAngles(c.turns[i], c.turns[i+1]) {
			if r := c.rectangle(angle); best == (Rectangle{}) || smaller(r, best) {
				best = r
			}
		}
	}
	return best
}

// circle reports whether the loop is one circle to the rounding of its arcs: the
// rectangles around it are all alike, and only noise would tell them apart.
func (l Loop) circle() (center Point, radius float64, ok bool) {
	if len(l) < 2 || l[0].Bulge == 0 {
		return Point{}, 0, false
	}
	center, radius = l[0].Center(), l[0].Radius()
	for _, c := range l[1:] {
		if c.Bulge*l[0].Bulge <= 0 || math.Abs(c.Radius()-radius) > equalArea*radius || c.Center().Distance(center) > equalArea*radius {
			return Point{}, 0, false
		}
	}
	return center, radius, true
}

// smaller orders rectangles by area, perimeter, angle.
func smaller(r, s Rectangle) bool {
	if d := r.Area() - s.Area(); math.Abs(d) > equalArea*math.Max(r.Area(), s.Area()) {
		return d < 0
	}
	if d := r.Length + r.Width - s.Length - s.Width; math.Abs(d) > equalArea*(r.Length+r.Width) {
		return d < 0
	}
	return r.AngleDeg < s.AngleDeg
}

// caliper measures a loop in every direction.
type caliper struct {
	hull
	turns []float64 // angles in [0, pi/2] between which no supporter changes
	bow   bool      // any arc on the hull
}

func newCaliper(l Loop) caliper {
	c := caliper{hull: newHull(l), turns: []float64{0, math.Pi / 2}}
	for _, r := range c.ranges {
		c.turn(r.from)
		if s := c.by[r.by]; !s.corner {
			c.bow = true
			for _, t := range [2]float64{0, 1} {
				n := s.curve.Tangent(t).Left()
				c.turn(math.Atan2(n.Y, n.X))
			}
		}
	}
	slices.Sort(c.turns)
	c.turns = slices.Compact(c.turns)
	return c
}

// turn notes an angle, brought to the first quarter.
func (c *caliper) turn(angle float64) {
	a := math.Mod(angle, math.Pi/2)
	if a < 0 {
		a += math.Pi / 2
	}
	c.turns = append(c.turns, a)
}

// reach returns the support of the hull in the direction angle.
func (c *caliper) reach(angle float64) float64 {
	a := math.Mod(angle, 2*math.Pi)
	k, _ := slices.BinarySearchFunc(c.ranges, a, func(r supportRange, a float64) int {
		if r.to < a {
			return -1
		}
		return 1
	})
	n := len(c.ranges)
	u := direction(angle)
	most := math.Inf(-1)
	for _, i := range [3]int{k + n - 1, k, k + 1} { // at a turn rounding may name a neighbour
		most = math.Max(most, c.by[c.ranges[i%n].by].reach(u))
	}
	return most
}

// sides returns the extents of the loop along and across the angle.
func (c *caliper) sides(angle float64) (right, up, left, down float64) {
	return c.reach(angle), c.reach(angle + math.Pi/2), c.reach(angle + math.Pi), c.reach(angle + 3*math.Pi/2)
}

func (c *caliper) area(angle float64) float64 {
	r, u, l, d := c.sides(angle)
	return (r + l) * (u + d)
}

// caliperStep is the widest range of angles sampled at once: an extreme of a
// trigonometric polynomial of degree two spans more.
const caliperStep = math.Pi / 16

// leastAngles returns the ends of a range of angles and the angles inside at
// which the area has a minimum.
func (c *caliper) leastAngles(from, to float64) []float64 {
	angles := []float64{from, to}
	if !c.bow {
		return angles
	}
	n := int(math.Ceil((to - from) / caliperStep))
	for i := range n {
		a := from + (to-from)*float64(i)/float64(n)
		b := from + (to-from)*float64(i+1)/float64(n)
		h := (b - a) / 1024
		if c.area(a+h) < c.area(a) && c.area(b-h) < c.area(b) {
			angles = append(angles, c.descend(a, b))
		}
	}
	return angles
}

// descend finds the minimum between a and b by golden section.
func (c *caliper) descend(a, b float64) float64 {
	const golden = 0.6180339887498949 // (sqrt 5 - 1) / 2
	p, q := b-golden*(b-a), a+golden*(b-a)
	fp, fq := c.area(p), c.area(q)
	for range 64 {
		if fp < fq {
			b, q, fq = q, p, fp
			p = b - golden*(b-a)
			fp = c.area(p)
		} else {
			a, p, fp = p, q, fq
			q = a + golden*(b-a)
			fq = c.area(q)
		}
	}
	return (a + b) / 2
}

// rectangle returns the rectangle around the loop at an angle in [0, pi/2].
func (c *caliper) rectangle(angle float64) Rectangle {
	r, u, l, d := c.sides(angle)
	dir := direction(angle)
	box := Rectangle{
		Center: dir.Mul((r - l) / 2).Add(dir.Left().Mul((u - d) / 2)),
		Length: r + l, Width: u + d,
	}
	if box.Width > box.Length+Tolerance {
		box.Length, box.Width = box.Width, box.Length
		angle += math.Pi / 2
	} else if box.Width > box.Length {
		box.Length, box.Width = box.Width, box.Length
	}
	box.AngleDeg = math.Mod(angle*180/math.Pi, 180)
	return box
}
