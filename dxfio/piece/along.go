package piece

import (
	"math"

	"trueup/dxfio/geom"
)

// parallelSin is the sine of the angle, 10 degrees, up to which a curve runs
// along another one: it tells a mark drawn along an edge from one that crosses.
var parallelSin = math.Sin(10 * math.Pi / 180)

// span is a stretch of a curve by fractions of its length.
type span struct{ from, to float64 }

// along returns the stretch of c that lies within reach of m while both run in
// the same or in opposite directions. It reports false when there is none.
func along(c, m geom.Curve, reach float64) (span, bool) {
	_, t := geom.NearestPoint(c, m.A)
	_, u := geom.NearestPoint(c, m.B)
	if u < t {
		t, u = u, t
	}
	if (u-t)*c.Length() <= geom.Tolerance {
		return span{}, false
	}
	near := func(t float64) bool { return m.Distance(c.At(t)) <= reach }
	mid, found := 0.0, false
	for _, k := range [5]float64{0.5, 0.25, 0.75, 0, 1} {
		if near(t + k*(u-t)) {
			mid, found = t+k*(u-t), true
			break
		}
	}
	if !found {
		return span{}, false
	}
	s := span{edgeOf(near, mid, t), edgeOf(near, mid, u)}
	at := (s.from + s.to) / 2
	_, v := geom.NearestPoint(m, c.At(at))
	if math.Abs(c.Tangent(at).Cross(m.Tangent(v))) > parallelSin {
		return span{}, false
	}
	return s, (s.to-s.from)*c.Length() > geom.Tolerance
}

// edgeOf returns the point nearest to out, coming from in, up to which the
// condition holds; it holds at in.
func edgeOf(holds func(float64) bool, in, out float64) float64 {
	if holds(out) {
		return out
	}
	for range 50 {
		mid := (in + out) / 2
		if holds(mid) {
			in = mid
		} else {
			out = mid
		}
	}
	return in
}

// cut returns the stretch of a chain between two lengths along it.
func cut(chain []geom.Curve, from, to float64) []geom.Curve {
	var out []geom.Curve
	for _, c := range chain {
		l := c.Length()
		t, u := from/l, to/l
		from, to = from-l, to-l
		if t*l < geom.Tolerance {
			t = 0
		}
		if (1-u)*l < geom.Tolerance {
			u = 1
		}
		if t >= 1 || u <= 0 || (u-t)*l <= geom.Tolerance {
			continue
		}
		if t == 0 && u == 1 {
			out = append(out, c)
		} else {
			out = append(out, c.Part(t, u))
		}
	}
	return out
}

// chainLength returns the length along a chain in mm.
func chainLength(chain []geom.Curve) float64 { return geom.Loop(chain).Length() }

// chainBox returns the box around a chain.
func chainBox(chain []geom.Curve) geom.Box { return geom.Loop(chain).Box() }
