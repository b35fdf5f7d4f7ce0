package dxfio

import (
	"slices"

	"trueup/dxfio/geom"
)

// Flags of SPLINE (group 70; DXF Reference).
const splineClosed = 1

// splineShape is a SPLINE, in world coordinates, by control points.
type splineShape struct {
	origin
	degree  int
	knots   []float64
	weights []float64 // none: all equal
	points  []vec3
	closed  bool
	fault   string  // why it cannot be read
	doubt   [2]vec3 // places that programs may take for one, equal where there is no doubt
}

func (s *splineShape) from() *origin { return &s.origin }

func (s *splineShape) clone() shape {
	c := *s
	c.knots, c.weights, c.points = slices.Clone(s.knots), slices.Clone(s.weights), slices.Clone(s.points)
	return &c
}

// splineGroups is a spline as the file gives it.
type splineGroups struct {
	control, fit   []vec3
	start, end     vec3 // tangents; zero when not given
	knots, weights []float64
	degree         int
	flags          int64
}

// take takes a group of a spline and reports whether it was one. Counts (72,
// 73, 74) are not trusted.
func (g *splineGroups) take(r *reader) bool {
	switch r.code {
	case 70:
		g.flags = r.int()
	case 71:
		g.degree = int(min(max(r.int(), -1), maxDegree+1))
	case 40:
		r.hold(numberBytes)
		g.knots = append(g.knots, r.float())
	case 41:
		r.hold(numberBytes)
		g.weights = append(g.weights, r.float())
	case 10:
		r.hold(vertexBytes)
		g.control = append(g.control, vec3{x: r.float()})
	case 11:
		r.hold(vertexBytes)
		g.fit = append(g.fit, vec3{x: r.float()})
	case 20, 30:
		setLast(g.control, r.code, r.float())
	case 21, 31:
		setLast(g.fit, r.code, r.float())
	case 12:
		g.start.x = r.float()
	case 22:
		g.start.y = r.float()
	case 32:
		g.start.z = r.float()
	case 13:
		g.end.x = r.float()
	case 23:
		g.end.y = r.float()
	case 33:
		g.end.z = r.float()
	default:
		return false
	}
	return true
}

// setLast sets y or z of the last point.
func setLast(points []vec3, code int, f float64) {
	if len(points) == 0 {
		return
	}
	if p := &points[len(points)-1]; code < 30 {
		p.y = f
	} else {
		p.z = f
	}
}

// shape turns the groups into a spline by control points. Fit points only count
// where there are no control points.
func (g *splineGroups) shape(o origin) *splineShape {
	s := &splineShape{
		origin: o, degree: g.degree, knots: g.knots, weights: g.weights, points: g.control,
		closed: g.flags&splineClosed != 0,
	}
	if len(g.control) == 0 && len(g.fit) > 0 {
		s.interpolate(g)
	}
	if s.fault == "" {
		s.fault = s.valid()
	}
	return s
}

func (r *reader) readSpline() {
	o := r.begin(EntitySpline, "SPLINE")
	var g splineGroups
	for r.group() {
		if !g.take(r) {
			r.common(&o)
		}
	}
	if r.err == nil && !r.ended {
		r.put(g.shape(o))
	}
}

func (s *splineShape) place(r *reader, at *placement) {
	if s.fault != "" {
		r.notUsed(s.fault)
		return
	}
	c := &nurbs{degree: s.degree, knots: s.knots, points: make([]weighted, len(s.points))}
	var rise slope
	for i, p := range s.points {
		w := 1.0
		if len(s.weights) > 0 {
			w = s.weights[i]
		}
		q := at.point(p)
		if !r.inRange(q.flat()) {
			r.tooFar()
			return
		}
		rise.add(q)
		c.points[i] = weighted{q.x * w, q.y * w, w}
	}
	if s.degree == 1 && len(s.weights) == 0 {
		s.addLines(r, c)
	} else if of := c.stretches(); len(of) > 0 {
		r.addFitted(s.meets(c, of), of)
	} else {
		r.notUsed(WhySplineKnots)
		return
	}
	if at.point(s.doubt[0]).sub(at.point(s.doubt[1])).norm() > doubtfulEnds*r.tolerance {
		r.notUsed(WhySplineEnds)
	}
	r.flattened(at.point(s.points[0]).flat(), rise.height(), rise.lost(rise.first == rise.last))
}

// doubtfulEnds is how many tolerances of fitted arcs programs may differ in the
// shape of a spline before that is told: a tenth of a millimetre.
const doubtfulEnds = 10

// addLines adds a spline of degree 1: exactly the lines between its points.
func (s *splineShape) addLines(r *reader, c *nurbs) {
	drawn := false
	for i := 1; i < len(c.points) && r.err == nil; i++ {
		a, b := c.points[i-1], c.points[i]
		if r.addBulge(geom.Point{X: a.x, Y: a.y}, geom.Point{X: b.x, Y: b.y}, 0) {
			drawn = true
		}
	}
	if !drawn {
		r.notUsed(WhyZeroLength)
	}
}

// meets reports whether a spline drawn as closed ends where it starts, but for
// rounding.
func (s *splineShape) meets(c *nurbs, of []stretch) bool {
	a := of[0].start()
	last := of[len(of)-1]
	n := len(last.knots)
	b, _ := c.at(last.knots[n-1], last.first+n-2)
	return a.Distance(b) <= sameRatio*(1+a.Norm())
}
