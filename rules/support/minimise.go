package support

import "math"

// samples is how many places of a turn are looked at before the best of them is
// refined; over one turn an arc's reach is monotone, so a sum of two has few
// valleys.
const samples = 8

// minimise returns the least value of f between a and b and where it is. A
// convex f is minimised to rounding, unless it is certain not to fall under the
// bound; any other from the best of its samples.
func minimise(f func(float64) float64, a, b, bound float64, convex bool) (at, value float64) {
	n := samples
	if convex {
		n = 2
	}
	best, least := 0, math.Inf(1)
	var values [samples + 1]float64
	step := (b - a) / float64(n)
	for i := 0; i <= n; i++ {
		t := a + step*float64(i)
		if i == n {
			t = b
		}
		values[i] = f(t)
		if values[i] < least {
			best, least, at = i, values[i], t
		}
	}
	if convex && 2*values[1]-math.Max(values[0], values[2]) >= bound {
		// A convex curve lies above the line through its middle and one end on
		// the other half.
		return at, least
	}
	if convex && rises(f, a, b, best, least) {
		return at, least
	}
	lo, hi := math.Max(a, a+step*float64(best-1)), math.Min(b, a+step*float64(best+1))
	if x, fx := valley(f, lo, hi); fx < least {
		least, at = fx, x
	}
	return at, least
}

// valley returns the least value of an f with one valley between lo and hi and
// where it is: Brent's method, golden sections sped up by parabolas through the
// three best points (Brent, Algorithms for Minimization without Derivatives, 1973,
// ch. 5).
func valley(f func(float64) float64, lo, hi float64) (at, value float64) {
	const golden = 0.3819660112501051 // (3-sqrt(5))/2
	x := lo + golden*(hi-lo)
	w, v := x, x
	fx := f(x)
	fw, fv := fx, fx
	var step, last float64
	for {
		mid := (lo + hi) / 2
		if math.Abs(x-mid)+(hi-lo)/2 <= 2*angleAccuracy {
			return x, fx
		}
		// The parabola through (x, fx), (w, fw), (v, fv) is least at x + p/q.
		r, q := (x-w)*(fx-fv), (x-v)*(fx-fw)
		p := (x-v)*q - (x-w)*r
		if q = 2 * (q - r); q > 0 {
			p = -p
		}
		q = math.Abs(q)
		if math.Abs(p) < math.Abs(q*last/2) && p > q*(lo-x) && p < q*(hi-x) {
			step, last = p/q, step
			if u := x + step; u-lo < 2*angleAccuracy || hi-u < 2*angleAccuracy {
				step = math.Copysign(angleAccuracy, mid-x)
			}
		} else {
			last = hi - x
			if x >= mid {
				last = lo - x
			}
			step = golden * last
		}
		u := x + step
		if math.Abs(step) < angleAccuracy {
			u = x + math.Copysign(angleAccuracy, step)
		}
		fu := f(u)
		if fu <= fx {
			if u >= x {
				lo = x
			} else {
				hi = x
			}
			v, fv, w, fw, x, fx = w, fw, x, fx, u, fu
			continue
		}
		if u < x {
			lo = u
		} else {
			hi = u
		}
		switch {
		case fu <= fw || w == x:
			v, fv, w, fw = w, fw, u, fu
		case fu <= fv || v == x || v == w:
			v, fv = u, fu
		}
	}
}

// angleAccuracy is how exactly in radians the best direction is found; a chord of
// ten metres is then exact to 1e-8 mm, for its length is stationary there.
const angleAccuracy = 1e-6

// rises reports whether a convex f is least at the end its best sample lies at:
// it rises from there.
func rises(f func(float64) float64, a, b float64, best int, least float64) bool {
	const step = 1e-6
	switch best {
	case 0:
		return f(a+(b-a)*step) >= least
	case 2:
		return f(b-(b-a)*step) >= least
	}
	return false
}
