package geom

import "math"

// form is a line or circle a|P|^2 + b.P + g = 0 with slope 1 along the curve.
type form struct {
	a, g float64
	b    Point
}

// formOf returns the curve's form about the origin o.
func formOf(c Curve, o Point) form {
	p, q := c.A.Sub(o), c.B.Sub(o)
	d := q.Sub(p)
	x := c.Bulge * c.Bulge
	k := 1 / (d.Norm() * (1 + x))
	return form{
		a: 2 * c.Bulge * k,
		b: p.Add(q).Mul(-2 * c.Bulge * k).Sub(d.Left().Mul((1 - x) * k)),
		g: (2*c.Bulge*p.Dot(q) + (1-x)*d.Cross(p)) * k,
	}
}

func (f form) at(p Point) float64 { return f.a*p.Dot(p) + f.b.Dot(p) + f.g }

func (f form) slope(p Point) Point { return p.Mul(2 * f.a).Add(f.b) }

// meeting is a common point of two full lines or circles.
type meeting struct {
	at      Point
	tangent bool
}

// solve returns the common points of the full lines or circles of two curves:
// none, one (tangent, or two lines) or two. Circles that miss each other by at
// most Tolerance, or reach less than Tolerance into each other, are tangent.
func solve(c, d Curve) []meeting {
	o := c.looseBox().Center().Lerp(d.looseBox().Center(), 0.5)
	f, g := formOf(c, o), formOf(d, o)
	if math.Abs(g.a) > math.Abs(f.a) {
		f, g = g, f
	}
	// The line through the common points; for two lines, g itself.
	n, k := g.b.Mul(f.a).Sub(f.b.Mul(g.a)), g.g*f.a-f.g*g.a
	if f.a == 0 {
		n, k = g.b, g.g
	}
	scale := n.Norm()
	if scale <= math.Max(math.Abs(f.a), math.Abs(g.a))*parallel {
		return nil // concentric
	}
	n, k = n.Mul(1/scale), k/scale
	foot, dir := n.Mul(-k), n.Left()
	b, r := f.b.Dot(dir)+2*f.a*foot.Dot(dir), f.at(foot)
	var found []meeting
	bend := math.Abs(f.a - math.Copysign(g.a, g.a*f.slope(foot).Dot(g.slope(foot))))
	if disc := b*b - 4*f.a*r; g.a != 0 && disc > wideChord*wideChord && disc/(4*f.a*f.a)*bend <= Tolerance {
		at, depth := touch(f, g)
		if depth <= Tolerance {
			return []meeting{{at.Add(o), true}}
		}
		bend = math.Inf(1)
	}
	for _, t := range roots(f.a, b, r, bend) {
		q := foot.Add(dir.Mul(t.at))
		if !t.tangent {
			q = polish(f, g, q)
		}
		if q.Finite() {
			found = append(found, meeting{q.Add(o), t.tangent})
		}
	}
	return found
}

// wideChord is the sine of half the angle over the common chord of two circles
// above which bend, taken in the middle of the chord, says nothing about how far
// one reaches out of the other: that holds near the curves, and the middle of a
// diameter is a radius away from them.
const wideChord = 0.1

// touch returns how far the smaller of two circles with nearly the same radius
// reaches out of the other, and the middle of where it does.
func touch(f, g form) (at Point, depth float64) {
	if math.Abs(g.a) > math.Abs(f.a) {
		f, g = g, f
	}
	o, p := f.b.Mul(-1/(2*f.a)), g.b.Mul(-1/(2*g.a))
	small, large, apart := 1/(2*math.Abs(f.a)), 1/(2*math.Abs(g.a)), o.Distance(p)
	return o.Add(o.Sub(p).Mul(small / apart)), apart + small - large
}

// parallel is the sine below which two directions are the same: at the length
// of a slab, 1e4 mm, it is a tenth of the rounding of coordinates.
const parallel = 1e-14

type root struct {
	at      float64
	tangent bool
}

// roots solves a t^2 + b t + r = 0 where the left side is a distance near 0.
// bend is half the curvature of one curve seen from the other: they reach
// bend t^2 into each other a length t from the middle between two roots.
func roots(a, b, r, bend float64) []root {
	if math.Abs(a) == 0 {
		if math.Abs(b) <= parallel {
			return nil
		}
		return []root{{at: -r / b}}
	}
	disc := b*b - 4*a*r
	if math.Abs(disc/(4*a*a))*bend <= Tolerance {
		return []root{{-b / (2 * a), true}}
	}
	if disc < 0 {
		return nil
	}
	q := -(b + math.Copysign(math.Sqrt(disc), b)) / 2
	if q == 0 {
		return []root{{at: 0}}
	}
	return []root{{at: r / q}, {at: q / a}}
}

// polish takes two Newton steps on both forms at once.
func polish(f, g form, p Point) Point {
	for range 2 {
		u, v := f.slope(p), g.slope(p)
		det := u.Cross(v)
		if math.Abs(det) <= parallel {
			return p
		}
		x, y := f.at(p), g.at(p)
		p = p.Sub(Point{x*v.Y - y*u.Y, y*u.X - x*v.X}.Mul(1 / det))
	}
	return p
}
