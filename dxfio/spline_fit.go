package dxfio

// interpolate makes the cubic spline through the fit points: twice continuously
// differentiable, its parameter the chord length (the method that DXF gives
// splines by fit points). Given tangents set its direction at the ends; without
// them its curvature there is 0 (natural ends: as remembered, the DXF Reference
// lets groups 12 and 13 be omitted and gives no rule for that; this is the
// definition of cubic spline interpolation). Other programs estimate directions
// there from the points; how far that leads away is noted as a doubt. A closed
// one runs smoothly through its start.
func (s *splineShape) interpolate(g *splineGroups) {
	s.degree, s.weights = 3, nil
	points := distinct(g.fit)
	if s.closed && len(points) > 2 && points[0] == points[len(points)-1] {
		points = points[:len(points)-1]
	}
	if len(points) < 2 {
		s.fault = WhyZeroLength
		return
	}
	if s.closed && len(points) > 2 {
		points = append(points, points[0])
	} else {
		s.closed = false
	}
	lengths := make([]float64, len(points)-1)
	for i := range lengths {
		lengths[i] = points[i+1].sub(points[i]).norm()
	}
	var slopes []vec3
	if s.closed {
		slopes = closedSlopes(points, lengths)
	} else {
		slopes = openSlopes(points, lengths, g.start.unit(), g.end.unit())
		s.doubt = endDoubt(points, lengths, slopes, g.start.unit(), g.end.unit())
	}
	s.fromHermite(points, slopes, lengths)
}

// distinct returns the points without those that repeat the one before.
func distinct(points []vec3) []vec3 {
	var out []vec3
	for _, p := range points {
		if len(out) == 0 || p != out[len(out)-1] {
			out = append(out, p)
		}
	}
	return out
}

// openSlopes returns the derivatives at the points of an open spline. Equal
// second derivatives on both sides of each inner point give one equation a
// point (de Boor, A Practical Guide to Splines, chapter IV); the ends give the
// two that are missing: a slope that is given, or no curvature where it is zero.
func openSlopes(p []vec3, h []float64, start, end vec3) []vec3 {
	n := len(p)
	t := newTridiagonal(n)
	for i := 1; i < n-1; i++ {
		t.below[i], t.diagonal[i], t.above[i] = h[i], 2*(h[i-1]+h[i]), h[i-1]
		t.right[i] = innerSlope(p[i-1], p[i], p[i+1], h[i-1], h[i])
	}
	if start != (vec3{}) {
		t.diagonal[0], t.right[0] = 1, start
	} else {
		t.diagonal[0], t.above[0], t.right[0] = 2, 1, p[1].sub(p[0]).mul(3/h[0])
	}
	if end != (vec3{}) {
		t.diagonal[n-1], t.right[n-1] = 1, end
	} else {
		t.below[n-1], t.diagonal[n-1] = 1, 2
		t.right[n-1] = p[n-1].sub(p[n-2]).mul(3 / h[n-2])
	}
	return t.solve()
}

// endDoubt returns the places that lie farthest apart of a spline with the given
// slopes and of one that leaves its ends, where they have none given, as the
// parabola through the first or last three points does (the simplest of the
// estimates that programs make). Both are zero where there is no doubt.
func endDoubt(p []vec3, h []float64, slopes []vec3, start, end vec3) (farthest [2]vec3) {
	n := len(p)
	if n < 3 || start != (vec3{}) && end != (vec3{}) {
		return farthest
	}
	if start == (vec3{}) {
		start = parabolaSlope(p[0], p[1], p[2], h[0], h[1])
	}
	if end == (vec3{}) {
		end = parabolaSlope(p[n-1], p[n-2], p[n-3], h[n-2], h[n-3]).mul(-1)
	}
	other := openSlopes(p, h, start, end)
	most := 0.0
	for i, length := range h {
		a, b := other[i].sub(slopes[i]), other[i+1].sub(slopes[i+1])
		for k := 1; k < doubtSamples; k++ {
			t := float64(k) / doubtSamples // the two differ by a cubic with these slopes at its ends
			off := a.mul(length * t * (1 - t) * (1 - t)).sub(b.mul(length * t * t * (1 - t)))
			if d := off.norm(); d > most {
				at := p[i].mul(1 - t).add(p[i+1].mul(t))
				most, farthest = d, [2]vec3{at, at.add(off)}
			}
		}
	}
	return farthest
}

// doubtSamples is in how many parts each stretch is compared; a third is where a
// change of one end's slope moves it most.
const doubtSamples = 12

// parabolaSlope is the slope at the first of three points, over chords of the
// given lengths, of the parabola through them.
func parabolaSlope(p, q, r vec3, h0, h1 float64) vec3 {
	return q.sub(p).mul((2*h0 + h1) / (h0 * (h0 + h1))).sub(r.sub(q).mul(h0 / (h1 * (h0 + h1))))
}

// innerSlope is the right side of the equation of one inner point.
func innerSlope(before, at, after vec3, h0, h1 float64) vec3 {
	return at.sub(before).mul(3 * h1 / h0).add(after.sub(at).mul(3 * h0 / h1))
}

// closedSlopes returns the derivatives at the points of a closed spline, whose
// last point is its first. The two corners of the cyclic system are taken off
// by the formula of Sherman and Morrison.
func closedSlopes(p []vec3, h []float64) []vec3 {
	n := len(p) - 1
	t, u := newTridiagonal(n), newTridiagonal(n)
	for i := range n {
		before, h0 := (i+n-1)%n, h[(i+n-1)%n]
		t.below[i], t.diagonal[i], t.above[i] = h[i], 2*(h0+h[i]), h0
		t.right[i] = innerSlope(p[before], p[i], p[i+1], h0, h[i])
	}
	lower, upper := t.above[n-1], t.below[0] // corners (n-1, 0) and (0, n-1)
	gamma := -t.diagonal[0]
	t.diagonal[0] -= gamma
	t.diagonal[n-1] -= lower * upper / gamma
	t.below[0], t.above[n-1] = 0, 0
	copy(u.below, t.below)
	copy(u.diagonal, t.diagonal)
	copy(u.above, t.above)
	u.right[0], u.right[n-1] = vec3{x: gamma}, vec3{x: lower}
	x, z := t.solve(), u.solve()
	k := 1 + z[0].x + upper/gamma*z[n-1].x
	shift := x[0].add(x[n-1].mul(upper / gamma)).mul(1 / k)
	for i := range x {
		x[i] = x[i].sub(shift.mul(z[i].x))
	}
	return append(x, x[0])
}

// tridiagonal is a system of equations that only couple neighbours. Its rows
// are diagonally dominant, so elimination needs no pivoting.
type tridiagonal struct {
	below, diagonal, above []float64
	right                  []vec3
}

func newTridiagonal(n int) *tridiagonal {
	return &tridiagonal{make([]float64, n), make([]float64, n), make([]float64, n), make([]vec3, n)}
}

func (t *tridiagonal) solve() []vec3 {
	n := len(t.diagonal)
	for i := 1; i < n; i++ {
		k := t.below[i] / t.diagonal[i-1]
		t.diagonal[i] -= k * t.above[i-1]
		t.right[i] = t.right[i].sub(t.right[i-1].mul(k))
	}
	for i := n - 1; i >= 0; i-- {
		if i < n-1 {
			t.right[i] = t.right[i].sub(t.right[i+1].mul(t.above[i]))
		}
		t.right[i] = t.right[i].mul(1 / t.diagonal[i])
	}
	return t.right
}

// fromHermite sets the spline that passes the points with the given slopes, its
// pieces as long in the parameter as given: cubic Bezier pieces on double knots.
func (s *splineShape) fromHermite(p, slopes []vec3, h []float64) {
	s.knots = []float64{0, 0, 0, 0}
	s.points = []vec3{p[0]}
	t := 0.0
	for i, length := range h {
		t += length
		s.points = append(s.points,
			p[i].add(slopes[i].mul(length/3)),
			p[i+1].sub(slopes[i+1].mul(length/3)),
			p[i+1])
		s.knots = append(s.knots, t, t, t)
	}
	s.knots = append(s.knots, t)
}
