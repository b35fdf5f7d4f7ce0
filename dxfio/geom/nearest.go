package geom

import "math"

// frame is a curve seen from its chord: x runs along the chord from its middle,
// y to its left. Nothing in it divides by the bulge, so that an arc that is
// nearly a line is as exact as any other.
type frame struct {
	mid, dir   Point // middle of the chord, unit direction
	chord, b   float64
	height     float64 // |b| times the centre's distance from the chord, signed to the inner side
	bent       float64 // |b| times the radius
	halfLength float64 // half of the arc's turn, radians
}

func (c Curve) frame() frame {
	d := c.B.Sub(c.A)
	n := d.Norm()
	f := frame{mid: c.A.Lerp(c.B, 0.5), chord: n, b: c.Bulge, height: n / 4, bent: n / 4}
	if n > 0 {
		f.dir = Point{d.X / n, d.Y / n}
	}
	if b := c.Bulge; b != 0 {
		f.height, f.bent = n*(1-b*b)/4, n*(1+b*b)/4
		f.halfLength = 2 * math.Atan(math.Abs(b))
	}
	return f
}

// fraction returns where along the curve the point p lies, measured from the
// arc's centre (from the foot on a line): below 0 before A, above 1 beyond B.
func (f frame) fraction(p Point) float64 {
	q := p.Sub(f.mid)
	x := q.Dot(f.dir)
	if f.b == 0 {
		return 0.5 + x/f.chord
	}
	y := f.dir.Cross(q)
	return 0.5 + math.Atan2(math.Abs(f.b)*x, f.height-f.b*y)/(2*f.halfLength)
}

// signedDistance returns the distance from p to the full line or circle of the
// curve, positive on the left of the direction of travel.
func (f frame) signedDistance(p Point) float64 {
	q := p.Sub(f.mid)
	x, y := q.Dot(f.dir), f.dir.Cross(q)
	if f.b == 0 {
		return y
	}
	// b (|PO|^2 - R^2) over b (|PO| + R), both without the centre.
	top := f.b*((x-f.chord/2)*(x+f.chord/2)+y*y) - 2*f.height*y
	return -top / (math.Hypot(f.b*x, f.b*y-f.height) + f.bent)
}

// NearestPoint returns the point of the curve nearest to p and the fraction of
// the length at which it lies. At the centre of an arc all points are equally
// near: the middle is returned.
func NearestPoint(c Curve, p Point) (q Point, t float64) {
	if c.A == c.B {
		return c.A, 0
	}
	t = c.frame().fraction(p)
	if t > 0 && t < 1 {
		return c.At(t), t
	}
	if p.Distance(c.A) <= p.Distance(c.B) {
		return c.A, 0
	}
	return c.B, 1
}

// Distance returns the distance from p to the curve in mm.
func (c Curve) Distance(p Point) float64 {
	if c.A == c.B {
		return p.Distance(c.A)
	}
	f := c.frame()
	if t := f.fraction(p); t > 0 && t < 1 {
		return math.Abs(f.signedDistance(p))
	}
	return math.Min(p.Distance(c.A), p.Distance(c.B))
}

// equalWitness is how much one witness must be shorter to win over another that
// lies lower: far below Tolerance, above the rounding of two ways to compute
// the same distance.
const equalWitness = Tolerance / 1e3

// Shorter reports whether w is the better witness: the shorter one, of equally
// long ones that with the lowest From.X, then From.Y, then To.X, then To.Y.
func (w Witness) Shorter(v Witness) bool {
	if d := w.Length() - v.Length(); math.Abs(d) > equalWitness {
		return d < 0
	}
	for _, d := range [4]float64{w.From.X - v.From.X, w.From.Y - v.From.Y, w.To.X - v.To.X, w.To.Y - v.To.Y} {
		if d != 0 {
			return d < 0
		}
	}
	return false
}

// Reverse returns the witness seen from the other thing measured.
func (w Witness) Reverse() Witness { return Witness{w.To, w.From} }

// Nearest returns the closest points of two curves, From on c and To on d; they
// are the same point where the curves meet. Of several equally short witnesses
// that with the lowest X, then Y, is returned.
func Nearest(c, d Curve) Witness {
	if hits := Intersect(c, d); len(hits) > 0 {
		best := Witness{hits[0].P, hits[0].P}
		for _, h := range hits[1:] {
			if w := (Witness{h.P, h.P}); w.Shorter(best) {
				best = w
			}
		}
		return best
	}
	best := endToCurve(c.A, d)
	for _, w := range [3]Witness{endToCurve(c.B, d), endToCurve(d.A, c).Reverse(), endToCurve(d.B, c).Reverse()} {
		if w.Shorter(best) {
			best = w
		}
	}
	for _, w := range facing(c, d) {
		if w.Shorter(best) {
			best = w
		}
	}
	return best
}

func endToCurve(p Point, c Curve) Witness {
	q, _ := NearestPoint(c, p)
	return Witness{p, q}
}

// facing returns the places inside both curves where they run parallel: the
// only local minima of the distance that involve no end.
func facing(c, d Curve) []Witness {
	if c.IsLine() && d.IsLine() || c.A == c.B || d.A == d.B {
		return nil // the ends of parallel lines are as near as anything between
	}
	var seeds []Point
	switch {
	case d.IsLine():
		seeds = feet(d, c)
	case c.IsLine():
		seeds = feet(c, d)
	default:
		axis := d.Center().Sub(c.Center()).Unit()
		seeds = []Point{
			c.Center().Add(axis.Mul(c.Radius())), c.Center().Sub(axis.Mul(c.Radius())),
			d.Center().Add(axis.Mul(d.Radius())), d.Center().Sub(axis.Mul(d.Radius())),
		}
	}
	var found []Witness
	fc, fd := c.frame(), d.frame()
	for _, s := range seeds {
		// Far centres make a coarse seed; projecting to and fro settles it.
		for range 4 {
			s = c.At(clamp01(fc.fraction(s)))
			s = d.At(clamp01(fd.fraction(s)))
		}
		p, _ := NearestPoint(c, s)
		found = append(found, Witness{p, s})
	}
	return found
}

// feet returns the points of the arc's circle nearest to and farthest from the line.
func feet(line, arc Curve) []Point {
	n := line.B.Sub(line.A).Left().Unit()
	o, r := arc.Center(), arc.Radius()
	return []Point{o.Add(n.Mul(r)), o.Sub(n.Mul(r))}
}

func clamp01(t float64) float64 { return math.Max(0, math.Min(1, t)) }
