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

// along returns the stretches of c that lie within reach of m and beside it, not
// past its ends, while both run in the same or in opposite directions. In order.
func along(c, m geom.Curve, reach float64) []span {
	if c.IsLine() && m.IsLine() && !parallel(c, m, span{0, 1}) {
		return nil
	}
	// Beside an end that is a little askew the foot falls a little outside.
	slack := reach*math.Sin(parallelDeg*math.Pi/180) + geom.Tolerance
	near := func(t float64) bool {
		p := c.At(t)
		q, v := geom.NearestPoint(m, p)
		return p.Distance(q) <= reach+geom.Tolerance &&
			(v > 0 || m.Tangent(0).Dot(p.Sub(q)) >= -slack) && (v < 1 || m.Tangent(1).Dot(p.Sub(q)) <= slack)
	}
	if s, settled := alongLine(c, m, reach+geom.Tolerance, slack); settled {
		return besideEnds(c, m, s)
	}
	if aside(c, m, reach+geom.Tolerance) {
		return nil
	}
	var found []span
	var open *span
	last := 0.0
	for _, t := range samples(c, m) {
		switch is := near(t); {
		case is && open == nil:
			open = &span{from: t}
			if t > 0 {
				open.from = border(near, t, last)
			}
		case !is && open != nil:
			open.to = border(near, last, t)
			found, open = append(found, *open), nil
		}
		last = t
	}
	if open != nil {
		open.to = 1
		found = append(found, *open)
	}
	return besideEnds(c, m, found)
}

// besideEnds moves the ends of stretches beside the ends of m, and keeps the
// stretches that have a length and run like m.
func besideEnds(c, m geom.Curve, found []span) []span {
	length := c.Length()
	for i := range found {
		found[i] = span{besideEnd(c, m, found[i].from), besideEnd(c, m, found[i].to)}
	}
	return slices.DeleteFunc(found, func(s span) bool { return (s.to-s.from)*length <= geom.Tolerance || !parallel(c, m, s) })
}

// aside is a quick test for a line and an arc: true when they surely run along
// each other nowhere, because the arc lies past an end of the line, like the
// rounded corner behind an edge, or too far to its side.
func aside(c, m geom.Curve, reach float64) bool {
	line, arc := c, m
	if !line.IsLine() {
		line, arc = m, c
	}
	if !line.IsLine() || arc.IsLine() {
		return false
	}
	u := line.B.Sub(line.A)
	length := u.Norm()
	u = u.Mul(1 / length)
	from := line.A.Dot(u)
	least, most := arc.Extent(u)
	if most-from <= geom.Tolerance || least-from >= length-geom.Tolerance {
		return true
	}
	off := line.A.Cross(u) // the distance along u.Left, negated
	least, most = arc.Extent(u.Left())
	return least+off > reach || most+off < -reach
}

// surelyNear is the share of reach within which a line that passes an end of its
// mark is within reach of that end too.
const surelyNear = 0.99

// alongLine is along for two lines, as far as it can tell: it is settled when
// all of c beside m lies within reach, or nothing of it. slack is how far past
// m's ends c still lies beside it.
func alongLine(c, m geom.Curve, reach, slack float64) (found []span, settled bool) {
	if !c.IsLine() || !m.IsLine() {
		return nil, false
	}
	u := m.B.Sub(m.A)
	length := u.Norm()
	u = u.Mul(1 / length)
	a, b := c.A.Sub(m.A), c.B.Sub(m.A)
	// Along m and to its left, at both ends of c.
	x0, x1, y0, y1 := u.Dot(a), u.Dot(b), u.Cross(a), u.Cross(b)
	from, to := 0.0, 1.0
	if x0 == x1 {
		return nil, false
	}
	low, high := (-slack-x0)/(x1-x0), (length+slack-x0)/(x1-x0)
	from, to = max(from, min(low, high)), min(to, max(low, high))
	if from >= to {
		return nil, true
	}
	p, q := y0+from*(y1-y0), y0+to*(y1-y0)
	switch {
	case min(p, q) > reach || max(p, q) < -reach:
		return nil, true
	case max(math.Abs(p), math.Abs(q)) <= surelyNear*reach:
		return []span{{from, to}}, true
	}
	return nil, false
}

// chordOf returns the stretch of the arc c under the line m when m is one of the
// chords that the arc was exported as: both its ends lie within reach of the arc
// and it turns by at most turn. Its middle may lie farther off than reach.
func chordOf(c, m geom.Curve, reach, turn float64) (span, bool) {
	if c.IsLine() || !m.IsLine() {
		return span{}, false
	}
	p, t := geom.NearestPoint(c, m.A)
	q, u := geom.NearestPoint(c, m.B)
	if t > u {
		t, u = u, t
	}
	sweep := 4 * math.Atan(math.Abs(c.Bulge)) * (u - t)
	slack := parallelDeg * math.Pi / 180
	ok := m.A.Distance(p) <= reach && m.B.Distance(q) <= reach && sweep <= turn+slack && (u-t)*c.Length() > geom.Tolerance
	return span{t, u}, ok && parallel(c, m, span{t, u})
}

// besideEnd returns t, or the place on c beside m's end when t lies past it.
func besideEnd(c, m geom.Curve, t float64) float64 {
	_, v := geom.NearestPoint(m, c.At(t))
	if v == 0 || v == 1 {
		if _, u := geom.NearestPoint(c, m.At(v)); t != 0 && t != 1 || u > 0 && u < 1 {
			return u
		}
	}
	return t
}

// samples returns the fractions of c at which the distance is looked at: its
// ends, where m comes nearest, begins and ends, and of arcs some in between.
func samples(c, m geom.Curve) []float64 {
	_, nearest := geom.NearestPoint(c, geom.Nearest(c, m).From)
	_, t := geom.NearestPoint(c, m.A)
	_, u := geom.NearestPoint(c, m.B)
	at := []float64{0, nearest, t, u, (t + u) / 2, 1}
	if !c.IsLine() || !m.IsLine() {
		for _, h := range geom.Intersect(c, m) {
			at = append(at, h.T)
		}
		for k := 1; k < alongSamples; k++ {
			at = append(at, float64(k)/alongSamples)
		}
	}
	slices.Sort(at)
	return at
}

// parallel reports whether the curves run alike in the middle of a stretch.
func parallel(c, m geom.Curve, s span) bool {
	at := (s.from + s.to) / 2
	v := 0.0
	if !m.IsLine() { // a line runs alike everywhere
		_, v = geom.NearestPoint(m, c.At(at))
	}
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
