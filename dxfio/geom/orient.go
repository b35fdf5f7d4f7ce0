package geom

import "math"

// Side tells on which side of a directed line a point lies.
type Side int8

// The sides of a directed line or curve.
const (
	Right Side = -1
	Along Side = 0
	Left  Side = 1
)

// Orient tells on which side of the line from a to b the point p lies. The
// answer is exact for the given coordinates: the determinant is first computed
// in float64 with the error bound of Shewchuk (Adaptive Precision
// Floating-Point Arithmetic and Fast Robust Geometric Predicates, 1997,
// bound A), and only when that cannot tell as an exact sum of products. An
// exact sign is what makes point location and the order of edges around a
// vertex free of contradictions; a tolerance there would make three nearly
// collinear points disagree with each other.
func Orient(a, b, p Point) Side {
	left := (a.X - p.X) * (b.Y - p.Y)
	right := (a.Y - p.Y) * (b.X - p.X)
	det := left - right
	if bound := orientBound * (math.Abs(left) + math.Abs(right)); det > bound || -det > bound {
		return sideOf(det)
	}
	return orientExact(a, b, p)
}

// orientBound is (3 + 16 epsilon) epsilon with epsilon = 2^-53.
const orientBound = (3 + 16*0x1p-53) * 0x1p-53

func sideOf(v float64) Side {
	switch {
	case v > 0:
		return Left
	case v < 0:
		return Right
	}
	return Along
}

// orientExact expands the determinant to ax*by - ay*bx + bx*py - by*px + px*ay
// - py*ax, whose twelve partial products are exact, and adds them without
// rounding.
func orientExact(a, b, p Point) Side {
	var e expansion
	e.addProduct(a.X, b.Y)
	e.addProduct(-a.Y, b.X)
	e.addProduct(b.X, p.Y)
	e.addProduct(-b.Y, p.X)
	e.addProduct(p.X, a.Y)
	e.addProduct(-p.Y, a.X)
	return sideOf(e.largest())
}

// expansion is a sum of floats kept without rounding, smallest first, no two
// overlapping (Shewchuk 1997, grow-expansion).
type expansion struct {
	part [12]float64
	n    int
}

func (e *expansion) addProduct(x, y float64) {
	hi := x * y
	e.add(math.FMA(x, y, -hi))
	e.add(hi)
}

func (e *expansion) add(v float64) {
	kept := 0
	for _, p := range e.part[:e.n] {
		sum := v + p
		t := sum - v
		low := (v - (sum - t)) + (p - t)
		if low != 0 {
			e.part[kept] = low
			kept++
		}
		v = sum
	}
	if v != 0 {
		e.part[kept] = v
		kept++
	}
	e.n = kept
}

// largest returns the greatest part, which has the sign of the whole sum.
func (e *expansion) largest() float64 {
	if e.n == 0 {
		return 0
	}
	return e.part[e.n-1]
}
