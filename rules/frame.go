package rules

import (
	"math"
	"math/cmplx"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// frame is a piece's own frame of reference: it follows from the shape of the
// stone alone, so that a flaw keeps its place in it however the drawing is
// turned, shifted, started, or filled with other pieces.
//
// The origin is the outline's centroid. The direction comes from the moments
// c(p,q) of the outline's area, the integral of z^p conj(z)^q with z = x + iy
// from the centroid: a turn by t multiplies c(p,q) by exp(i(p-q)t), so the phase
// of one that is not zero turns with the stone.
//
//   - A shape longer than wide has its long axis from c(2,0). Which end of the
//     axis is the positive one follows from the skew c(2,1) of the outline, and
//     if that is none from where the cutouts lie.
//   - A shape as long as wide takes its direction from its skew, or else one of
//     three or four equal directions from c(3,0) or c(4,0), and the cutouts.
//   - A shape that still has n equal directions (a plain rectangle has two) has
//     no single frame: what a turn by 1/n exchanges gets the same place, and
//     order counts them.
//
// Every decision compares with a threshold that no drawing is likely to sit on,
// far above the noise of a new export and far below anything a templater draws.
type frame struct {
	center complex128
	phase  complex128 // unit; z^turns/phase is free of the drawing's direction
	turns  int        // equal directions: 1 for one frame, 0 for a round shape without any
	size   float64    // radius of gyration in mm
}

const (
	// leastElongation is (a^2-b^2)/(a^2+b^2) of a rectangle from which its long
	// axis counts: 606 x 594 mm. Below, the axis would turn with the noise.
	leastElongation = 0.0201
	// leastSkew is the skew in mm from which one end of a shape differs from the
	// other: about the shift of the centroid that the difference makes.
	leastSkew = 0.382
	// leastLobe is the share of size^n that a moment of n equal lobes needs; that
	// of a square's four corners is 0.35.
	leastLobe = 0.0501
	// leastOffset is the distance in mm of the cutouts' centroid from the
	// outline's from which it tells one end from the other.
	leastOffset = 9.55
	// sector turns the bounds between the directions to choose from away from
	// right angles and diagonals, where sinks are centred.
	sector = 0.382
)

// frameOf returns the frame of a piece.
func frameOf(p *piece.Piece) frame {
	m := momentsOf(p.Outline)
	f := frame{center: m.center, phase: 1, size: math.Sqrt(m.c11 / m.area)}
	skew := m.c21 / complex(m.c11, 0) // mm
	switch {
	case cmplx.Abs(m.c20)/m.c11 > leastElongation:
		f.turns, f.phase = 2, unit(m.c20)
	case cmplx.Abs(skew)/f.size > leastLobe:
		f.turns, f.phase = 1, unit(skew)
		return f
	case cmplx.Abs(m.c30)/m.area/math.Pow(f.size, 3) > leastLobe:
		f.turns, f.phase = 3, unit(m.c30)
	case cmplx.Abs(m.c40)/m.area/math.Pow(f.size, 4) > leastLobe:
		f.turns, f.phase = 4, unit(m.c40)
	}
	if cmplx.Abs(skew) > leastSkew {
		f.choose(skew)
	} else if d := cutoutsFrom(p, m.center); cmplx.Abs(d) > leastOffset {
		f.choose(d)
	}
	return f
}

// choose settles on the one of the equal directions that goes with v.
func (f *frame) choose(v complex128) {
	if f.turns == 0 {
		f.turns, f.phase = 1, unit(v)
		return
	}
	n := float64(f.turns)
	first := cmplx.Phase(f.phase) / n
	step := 2 * math.Pi / n
	k := math.Floor((cmplx.Phase(v)-first)/step + sector)
	f.turns, f.phase = 1, cmplx.Rect(1, first+k*step)
}

// place returns where a point lies in the frame. With n equal directions it is
// the point z^n/|z|^(n-1): the same for all points that a turn by 1/n exchanges,
// as far from the origin, and continuous everywhere.
func (f frame) place(p geom.Point) geom.Point {
	z := complex(p.X, p.Y) - f.center
	r := cmplx.Abs(z)
	if r == 0 {
		return geom.Point{}
	}
	w := complex(r, 0)
	if f.turns > 0 {
		w *= cmplx.Pow(z/complex(r, 0), complex(float64(f.turns), 0)) / f.phase
	}
	return geom.Point{X: real(w), Y: imag(w)}
}

// cutoutsFrom returns the centroid of all cutouts from the outline's, 0 without
// cutouts.
func cutoutsFrom(p *piece.Piece, center complex128) complex128 {
	var area float64
	var first geom.Point
	for _, c := range p.Cutouts {
		a, m := c.Loop.Moments()
		area, first = area+a, first.Add(m)
	}
	if area == 0 {
		return 0
	}
	return complex(first.X/area, first.Y/area) - center
}

func unit(z complex128) complex128 { return z / complex(cmplx.Abs(z), 0) }

// moments of the area of a loop about its centroid.
type moments struct {
	center             complex128
	area, c11          float64 // mm2, mm4
	c20, c21, c30, c40 complex128
}

// momentsOf integrates around the loop: by Green's theorem c(p,q) is the
// integral of z^p conj(z)^(q+1) dz over 2i(q+1).
func momentsOf(l geom.Loop) moments {
	area, first := l.Moments()
	if area == 0 {
		return moments{area: 1, c11: 1}
	}
	m := moments{area: math.Abs(area), center: complex(first.X/area, first.Y/area)}
	for _, c := range l {
		parts := []geom.Curve{c}
		if !c.IsLine() {
			parts = []geom.Curve{c.Part(0, 0.5), c.Part(0.5, 1)}
		}
		for _, part := range parts {
			m.add(part)
		}
	}
	m.c11 = math.Abs(m.c11)
	return m
}

// Abscissae and weights of Gauss-Legendre quadrature, Abramowitz and Stegun,
// Handbook of Mathematical Functions, table 25.4, for n = 3 and n = 8. Three
// points are exact for the fifth degree that the moments have along a line.
func gauss3() [][2]float64 {
	return [][2]float64{{0, 0.888888888888889}, {-0.774596669241483, 0.555555555555556}, {0.774596669241483, 0.555555555555556}}
}

func gauss8() [][2]float64 {
	return [][2]float64{
		{-0.183434642495650, 0.362683783378362}, {-0.525532409916329, 0.313706645877887},
		{-0.796666477413627, 0.222381034453374}, {-0.960289856497536, 0.101228536290376},
		{0.183434642495650, 0.362683783378362}, {0.525532409916329, 0.313706645877887},
		{0.796666477413627, 0.222381034453374}, {0.960289856497536, 0.101228536290376},
	}
}

// add integrates one line, exactly, or an arc up to a quarter turn: to ten
// digits of c20, to eight of c40.
func (m *moments) add(c geom.Curve) {
	points := gauss3()
	if !c.IsLine() {
		points = gauss8()
	}
	length := c.Length()
	for _, g := range points {
		t := (1 + g[0]) / 2
		p, d := c.At(t), c.Tangent(t)
		z := complex(p.X, p.Y) - m.center
		dz := complex(d.X, d.Y) * complex(length*g[1]/2, 0)
		bar := cmplx.Conj(z)
		zbar, barbar := z*bar*dz, bar*bar*dz
		m.c11 += imag(z*barbar) / 4
		m.c20 += z * zbar / 2i
		m.c21 += z * z * barbar / 4i
		m.c30 += z * z * zbar / 2i
		m.c40 += z * z * z * zbar / 2i
	}
}
