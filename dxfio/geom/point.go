package geom

import "math"

// Tolerance is the measuring tolerance in millimetres: two measured lengths
// that differ by less are the same length, and a point nearer than this to a
// curve lies on it. It stands a thousandfold above the rounding of float64
// coordinates of a ten-metre template and a thousandfold below anything a shop
// can measure.
const Tolerance = 1e-6

// Point is a place in the plane, in millimetres.
type Point struct{ X, Y float64 }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p - q, the vector from q to p.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by k about the origin.
func (p Point) Mul(k float64) Point { return Point{p.X * k, p.Y * k} }

// Dot returns the scalar product.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross returns the z part of the vector product: positive when q lies
// counter-clockwise of p.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Norm returns the length of the vector p.
func (p Point) Norm() float64 { return math.Hypot(p.X, p.Y) }

// Distance returns the distance between two points.
func (p Point) Distance(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// Left returns p turned a quarter counter-clockwise.
func (p Point) Left() Point { return Point{-p.Y, p.X} }

// Unit returns p scaled to length 1; the zero vector stays zero.
func (p Point) Unit() Point {
	n := p.Norm()
	if n == 0 {
		return Point{}
	}
	return Point{p.X / n, p.Y / n}
}

// Rotate returns p turned by angle radians about the origin.
func (p Point) Rotate(angle float64) Point {
	s, c := math.Sincos(angle)
	return Point{p.X*c - p.Y*s, p.X*s + p.Y*c}
}

// Lerp returns the point a fraction t of the way from p to q.
func (p Point) Lerp(q Point, t float64) Point {
	return Point{p.X + t*(q.X-p.X), p.Y + t*(q.Y-p.Y)}
}

// Finite reports whether both coordinates are finite numbers.
func (p Point) Finite() bool {
	return !math.IsNaN(p.X) && !math.IsInf(p.X, 0) && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0)
}

// Witness is the line that shows a measurement: one end on each thing measured.
type Witness struct{ From, To Point }

// Length returns the measured distance.
func (w Witness) Length() float64 { return w.From.Distance(w.To) }

// Middle returns the point halfway along the witness.
func (w Witness) Middle() Point { return w.From.Lerp(w.To, 0.5) }
