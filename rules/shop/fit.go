package shop

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// Whether a piece fits a rectangle in some rotation is decided exactly.
//
// The piece's width w(a) is its extent along the direction a. It fits L x W when
// for some a, with the slab's length laid along a, w(a) <= L and w(a + 90) <= W.
// Between the directions where the convex hull changes its supporters, w(a) is
// D cos(a - p) + R: D and p from the corners or arc centres it rests on, R the
// sum of their radii. The set of fitting directions is closed, so that if it is
// not empty one of these is in it: an end of such a range of w(a) or w(a + 90),
// a root of w(a) = L, or a root of w(a + 90) = W. They are all tried.

// widths is a loop's width in every direction.
type widths struct {
	parts []width // directions 0 to pi without a gap
}

// width is D cos(a - p) + R for directions a between from and to.
type width struct {
	from, to float64
	d        geom.Point // D along the direction p
	r        float64
}

func (w width) at(angle float64) float64 {
	s, c := math.Sincos(angle)
	return w.d.X*c + w.d.Y*s + w.r
}

func newWidths(l geom.Loop) widths {
	reaches := l.Reaches()
	var cuts []float64
	for _, r := range reaches {
		cuts = append(cuts, math.Mod(r.From, math.Pi))
	}
	cuts = append(cuts, 0, math.Pi)
	slices.Sort(cuts)
	var out widths
	at := func(angle float64) geom.Reach {
		i, _ := slices.BinarySearchFunc(reaches, angle, func(r geom.Reach, a float64) int { return cmp.Compare(r.To, a) })
		return reaches[min(i, len(reaches)-1)]
	}
	for i := 1; i < len(cuts); i++ {
		if cuts[i] <= cuts[i-1] {
			continue
		}
		mid := (cuts[i] + cuts[i-1]) / 2
		p, q := at(mid), at(mid+math.Pi)
		out.parts = append(out.parts, width{cuts[i-1], cuts[i], p.Center.Sub(q.Center), p.Radius + q.Radius})
	}
	return out
}

// at returns the width along the direction angle.
func (w widths) at(angle float64) float64 {
	a := halfTurn(angle)
	i, _ := slices.BinarySearchFunc(w.parts, a, func(p width, a float64) int { return cmp.Compare(p.to, a) })
	return w.parts[min(i, len(w.parts)-1)].at(a)
}

// halfTurn brings a direction to 0 <= a < pi: a width is the same both ways.
func halfTurn(angle float64) float64 {
	a := math.Mod(angle, math.Pi)
	if a < 0 {
		a += math.Pi
	}
	if a >= math.Pi { // a hair under 0 rounds to a whole half turn
		return 0
	}
	return a
}

// critical returns the directions at which the width may start or stop to be at
// most the limit.
func (w widths) critical(limit float64) []float64 {
	var out []float64
	for _, p := range w.parts {
		out = append(out, p.from)
		d := p.d.Norm()
		if d == 0 || math.Abs(limit-p.r) > d {
			continue
		}
		middle, half := math.Atan2(p.d.Y, p.d.X), math.Acos((limit-p.r)/d)
		for _, a := range [2]float64{middle - half, middle + half} {
			for _, a := range [3]float64{a - 2*math.Pi, a, a + 2*math.Pi} {
				if a > p.from && a < p.to {
					out = append(out, a)
				}
			}
		}
	}
	return out
}

// fit returns a direction along which the length of a rectangle holds the loop,
// the one in 0 <= a < pi that leaves most room in the tighter way.
func (w widths) fit(length, breadth float64) (angle float64, ok bool) {
	candidates := w.critical(length)
	for _, a := range w.critical(breadth) {
		candidates = append(candidates, a-math.Pi/2)
	}
	room := math.Inf(-1)
	for _, a := range candidates {
		a = halfTurn(a)
		if r := math.Min(length-w.at(a), breadth-w.at(a+math.Pi/2)); r > room || r == room && a < angle {
			angle, room = a, r
		}
	}
	return angle, room >= -geom.Tolerance
}

// excess returns how much larger in both ways the rectangle would have to be to
// hold the loop in some rotation, 0 when it does.
func (w widths) excess(length, breadth float64) float64 {
	if _, ok := w.fit(length, breadth); ok {
		return 0
	}
	// w(0) and w(90) are enough in any case.
	low, high := 0.0, math.Max(w.at(0), w.at(math.Pi/2))
	for high-low > geom.Tolerance {
		mid := (low + high) / 2
		if _, ok := w.fit(length+mid, breadth+mid); ok {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}
