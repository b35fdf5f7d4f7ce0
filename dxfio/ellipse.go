package dxfio

import (
	"math"

	"trueup/dxfio/geom"
)

// ellipse is center + u*cos(t) + v*sin(t), with u and v at right angles.
type ellipse struct{ center, u, v geom.Point }

func (e *ellipse) at(t float64, _ int) (p, d geom.Point) {
	sin, cos := math.Sincos(t)
	return e.center.Add(e.u.Mul(cos)).Add(e.v.Mul(sin)), e.v.Mul(cos).Sub(e.u.Mul(sin))
}

// flatEllipse is the ratio of the axes below which an ellipse is a line walked
// to and fro: a circle seen from its edge. It is far below what a drawing can
// mean and far above rounding.
const flatEllipse = 1e-9

// addEllipse adds center + u*cos(t) + v*sin(t) from t = start through
// 0 < sweep <= 2 pi: exactly where it is a circle, else as arcs within the
// tolerance, joined at its vertices so that they have its symmetry.
func (r *reader) addEllipse(center, u, v geom.Point, start, sweep float64) {
	if !r.inRange(center) || !r.inRange(u) || !r.inRange(v) {
		r.tooFar()
		return
	}
	full := sweep >= 2*math.Pi*(1-sameRatio)
	start = math.Mod(start, 2*math.Pi)
	if circular(u, v) {
		turn := sweep * (180 / math.Pi)
		if full {
			turn = 360
		}
		r.addArc(center, u, v, start*(180/math.Pi), turn)
		return
	}
	// Conjugate half axes become the principal ones by a shift of t.
	shift := math.Atan2(2*u.Dot(v), u.Dot(u)-v.Dot(v)) / 2
	sin, cos := math.Sincos(shift)
	e := &ellipse{center, u.Mul(cos).Add(v.Mul(sin)), v.Mul(cos).Sub(u.Mul(sin))}
	start -= shift
	if e.v.Norm() <= flatEllipse*e.u.Norm() {
		r.addEdgewise(e, start, sweep)
		return
	}
	r.addFitted(full, quarters(e, start, sweep))
}

// quarters cuts the parameters of an ellipse at its vertices.
func quarters(e *ellipse, start, sweep float64) []stretch {
	const quarter = math.Pi / 2
	end := start + sweep
	var out []stretch
	for t := start; t < end; {
		next := (math.Floor(t/quarter) + 1) * quarter
		if next-t < sameRatio { // start is a vertex, to rounding
			next += quarter
		}
		if end-next < sameRatio {
			next = end
		}
		out = append(out, stretch{curve: e, knots: []float64{t, next}})
		t = next
	}
	return out
}

// addEdgewise adds the lines that an ellipse without width covers.
func (r *reader) addEdgewise(e *ellipse, start, sweep float64) {
	end := start + sweep
	a, _ := e.at(start, 0)
	drawn := false
	for t := start; t < end; {
		next := math.Min(end, (math.Floor(t/math.Pi)+1)*math.Pi)
		b, _ := e.at(next, 0)
		drawn = r.addBulge(a, b, 0) || drawn
		a, t = b, next
	}
	if !drawn {
		r.notUsed(WhyZeroLength)
	}
}

// addFitted adds the arcs for the stretches of one entity and records the error
// reached. Of a closed curve the last arc ends exactly where the first starts.
func (r *reader) addFitted(closed bool, stretches []stretch) {
	r.fitted = r.fitted[:0]
	room := r.limits.Curves - len(r.d.Curves)
	full := func(n int) bool { return n > room }
	var f fit
	if len(stretches) == 0 {
		r.notUsed(WhyZeroLength) // a sweep that vanishes beside its start
		return
	}
	f.at = stretches[0].start()
	tolerance := r.fitTolerance(stretches)
	if tolerance == 0 {
		r.notUsed(WhyZeroLength)
		return
	}
	for i := range stretches {
		r.fitted = stretches[i].fitArcs(tolerance, r.fitted, &f, full)
	}
	n := len(r.fitted)
	switch {
	case n == 0:
		r.notUsed(WhyZeroLength)
		return
	case n > room:
		r.tooMany()
		return
	}
	// The first piece of a spline that jumps may have vanished: then there is
	// nothing to close.
	if last := &r.fitted[n-1]; closed && last.B.Distance(r.fitted[0].A) <= tolerance {
		last.B = r.fitted[0].A
	}
	arcs, before := false, len(r.d.Curves)
	for _, c := range r.fitted {
		if c.A != c.B { // but for rounding where the curve stands still
			arcs = arcs || c.Bulge != 0
			r.addCurve(c)
		}
	}
	if len(r.d.Curves) == before {
		r.notUsed(WhyZeroLength)
		return
	}
	if arcs || f.err > 0 {
		r.change(CurveToArcs, f.at, f.err)
	}
}

// fitTolerance is the tolerance of the drawing: finer for small curves, so that
// their length is right too, but never so fine that it drowns in the rounding
// of large coordinates. It is 0 for a curve without size.
func (r *reader) fitTolerance(of []stretch) float64 {
	box := geom.EmptyBox()
	for i := range of {
		s := &of[i]
		for k := range len(s.knots) - 1 {
			for _, share := range [...]float64{0, 0.5, 1} {
				p, _ := s.curve.at(s.knots[k]+share*(s.knots[k+1]-s.knots[k]), s.first+k)
				box = box.Extend(p)
			}
		}
	}
	far := math.Max(box.Min.Norm(), box.Max.Norm())
	size := math.Hypot(box.Width(), box.Height())
	if size <= far*fitRounding {
		return 0
	}
	return math.Max(math.Min(r.tolerance, size*fitShare), far*fitRounding)
}

const (
	// fitShare of its size is how far arcs may leave a small curve. Their length
	// is then right to better than 0.01 %.
	fitShare = 1e-4
	// fitRounding is how fine, relative to the coordinates, arcs can follow a
	// curve whose places and tangents are rounded to 1e-16.
	fitRounding = 1e-11
)

func (s *stretch) start() geom.Point {
	p, _ := s.curve.at(s.knots[0], s.first)
	return p
}

// ellipseShape is an ELLIPSE, in world coordinates.
type ellipseShape struct {
	origin
	center, major vec3
	ratio         float64 // of the minor to the major axis
	start, end    float64 // parameters, radians
}

func (s *ellipseShape) from() *origin { return &s.origin }
func (s *ellipseShape) clone() shape  { c := *s; return &c }

func (r *reader) readEllipse() {
	s := &r.shapes.ellipse
	*s = ellipseShape{origin: r.begin(EntityEllipse, "ELLIPSE"), ratio: 1, end: 2 * math.Pi}
	for r.group() {
		switch r.code {
		case 10:
			s.center.x = r.float()
		case 20:
			s.center.y = r.float()
		case 30:
			s.center.z = r.float()
		case 11:
			s.major.x = r.float()
		case 21:
			s.major.y = r.float()
		case 31:
			s.major.z = r.float()
		case 40:
			s.ratio = r.float()
		case 41:
			s.start = r.float()
		case 42:
			s.end = r.float()
		default:
			r.common(&s.origin)
		}
	}
	r.put(s)
}

func (s *ellipseShape) place(r *reader, at *placement) {
	normal := objectSystem(s.normal).z
	minor := normal.cross(s.major).mul(s.ratio)
	if s.major == (vec3{}) || minor == (vec3{}) {
		r.notUsed(WhyEllipse)
		return
	}
	sweep := s.end - s.start
	if sweep == 0 {
		r.notUsed(WhyZeroLength)
		return
	}
	if sweep = math.Mod(sweep, 2*math.Pi); sweep <= 0 {
		sweep += 2 * math.Pi
	}
	if sweep < sameRatio { // 2 pi, rounded up
		sweep = 2 * math.Pi
	}
	center, u, v := at.point(s.center), at.vector(s.major), at.vector(minor)
	r.addEllipse(center.flat(), u.flat(), v.flat(), s.start, sweep)
	height, lost := ringLost(u, v)
	r.flattened(center.flat(), height, lost)
}
