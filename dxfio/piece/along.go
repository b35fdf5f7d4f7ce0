package piece

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// parallelDeg is the angle in degrees up to which a curve runs along another
// one: it tells a mark drawn along an edge from one that crosses it.
const parallelDeg = 3

// span is a stretch of a curve by fractions of its length.
type span struct{ from, to float64 }

// alongSamples is the number of places at which the distance of an arc from its
// mark is looked at first: the distance of two curves rises and falls at most a
// few times.
const alongSamples = 32

// along returns the stretches of c that lie within reach of m while both run in
// the same or in opposite directions, in order.
func along(c, m geom.Curve, reach float64) []span {
	_, t := geom.NearestPoint(c, m.A)
	_, u := geom.NearestPoint(c, m.B)
	if u < t {
		t, u = u, t
	}
	length := c.Length()
	if (u-t)*length <= geom.Tolerance {
		return nil
	}
	near := func(t float64) bool { return m.Distance(c.At(t)) <= reach+geom.Tolerance }
	var found []span
	var open *span
	last := t
	for _, v := range samples(c, m, t, u) {
		switch is := near(v); {
		case is && open == nil:
			open = &span{from: v}
			if v > t {
				open.from = border(near, v, last)
			}
		case !is && open != nil:
			open.to = border(near, last, v)
			found, open = append(found, *open), nil
		}
		last = v
	}
	if open != nil {
		open.to = u
		found = append(found, *open)
	}
	return slices.DeleteFunc(found, func(s span) bool { return (s.to-s.from)*length <= geom.Tolerance || !parallel(c, m, s) })
}

// samples returns the fractions from t to u at which the distance is looked at:
// of lines the ends and the nearest place, from which it only grows, of others
// also where they meet and some in between.
func samples(c, m geom.Curve, t, u float64) []float64 {
	_, nearest := geom.NearestPoint(c, geom.Nearest(c, m).From)
	at := []float64{t, min(max(nearest, t), u), u}
	if !c.IsLine() || !m.IsLine() {
		for _, h := range geom.Intersect(c, m) {
			at = append(at, min(max(h.T, t), u))
		}
		for k := 1; k < alongSamples; k++ {
			at = append(at, t+(u-t)*float64(k)/alongSamples)
		}
		slices.Sort(at)
	}
	return at
}

// parallel reports whether the curves run alike in the middle of a stretch.
func parallel(c, m geom.Curve, s span) bool {
	at := (s.from + s.to) / 2
	_, v := geom.NearestPoint(m, c.At(at))
	return math.Abs(c.Tangent(at).Cross(m.Tangent(v))) <= math.Sin(parallelDeg*math.Pi/180)
}

// border returns the point between in, where the condition holds, and out,
// where it does not, up to which it holds.
func border(holds func(float64) bool, in, out float64) float64 {
	for range 50 { // to the last bits of a fraction
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
