package dxfio

import (
	"math"
	"slices"
)

// hatchShape is the boundary of a HATCH: its parts are polylines, arcs,
// parts of ellipses and splines.
type hatchShape struct {
	origin
	parts []shape
}

func (s *hatchShape) from() *origin { return &s.origin }

// clone keeps the parts: they were made for this hatch alone.
func (s *hatchShape) clone() shape { c := *s; return &c }

func (s *hatchShape) place(r *reader, at *placement) {
	switch {
	case len(s.parts) == 0:
		r.notUsed(WhyEmptyHatch)
	case !r.areaUsed(r.source.Layer):
		r.setAside(s, at)
	default:
		s.boundary(r, at)
	}
}

// boundary draws the boundary.
func (s *hatchShape) boundary(r *reader, at *placement) {
	for _, part := range s.parts {
		if r.err != nil {
			return
		}
		part.from().normal = s.normal
		part.place(r, at)
	}
}

// Flags of a boundary path (group 92; DXF Reference, HATCH).
const (
	pathPolyline = 2
	pathTextBox  = 8
)

// Kinds of boundary edge (group 72; DXF Reference, HATCH).
const (
	edgeLine    = 1
	edgeArc     = 2
	edgeEllipse = 3
	edgeSpline  = 4
)

// hatchReader follows the groups of a HATCH, whose meaning depends on what came
// before.
type hatchReader struct {
	r         *reader
	shape     *hatchShape
	elevation float64
	state     hatchState
	skip      bool // a text box: its frame is no boundary
	poly      *polyShape
	edge      hatchEdge
}

type hatchState uint8

const (
	hatchHead     hatchState = iota // before the first path: 10/20/30 is the elevation
	hatchPolyline                   // vertices of a polyline path
	hatchEdges                      // edges of a path
	hatchRest                       // behind a path: pattern and seed points
)

// hatchEdge is the edge being read.
type hatchEdge struct {
	kind             int64
	a, b             vec3 // 10 and 11
	radius           float64
	start, end       float64
	counterclockwise bool
	spline           splineGroups
}

func (r *reader) readHatch() {
	h := hatchReader{r: r, shape: &hatchShape{origin: r.begin(EntityHatch, "HATCH")}}
	for r.group() {
		switch {
		case r.code == 92:
			h.finish()
			flags := r.int()
			h.skip = flags&pathTextBox != 0
			h.state = hatchEdges
			if flags&pathPolyline != 0 {
				h.state = hatchPolyline
				h.poly = &polyShape{origin: h.shape.origin, closed: true}
			}
		case r.code == 97 && h.state != hatchEdges || r.code == 97 && h.edge.kind != edgeSpline || r.code == 75:
			h.finish()
			h.state = hatchRest
		case h.state == hatchPolyline:
			h.polylineGroup()
		case h.state == hatchEdges:
			h.edgeGroup()
		case h.state == hatchHead && r.code == 30:
			h.elevation = r.float()
		default:
			r.common(&h.shape.origin)
		}
	}
	h.finish()
	if r.err == nil && !r.ended {
		h.lift()
		r.put(h.shape)
	}
}

// finish ends the edge or polyline being read.
func (h *hatchReader) finish() {
	h.endEdge()
	if h.poly != nil && !h.skip && len(h.poly.vertices) > 0 {
		h.r.hold(shapeBytes)
		h.shape.parts = append(h.shape.parts, h.poly)
	}
	h.poly = nil
}

func (h *hatchReader) polylineGroup() {
	r, p := h.r, h.poly
	switch r.code {
	case 73:
		p.closed = r.int() != 0
	case 10:
		r.hold(vertexBytes)
		p.vertices = append(p.vertices, vertex{vec3: vec3{x: r.float()}})
	case 20:
		if n := len(p.vertices); n > 0 {
			p.vertices[n-1].y = r.float()
		}
	case 42:
		if n := len(p.vertices); n > 0 {
			p.vertices[n-1].bulge = r.float()
		}
	}
}

func (h *hatchReader) edgeGroup() {
	r, e := h.r, &h.edge
	if r.code == 72 {
		h.endEdge()
		e.kind = r.int()
		return
	}
	if e.kind == edgeSpline {
		h.splineGroup()
		return
	}
	switch r.code {
	case 10:
		e.a.x = r.float()
	case 20:
		e.a.y = r.float()
	case 11:
		e.b.x = r.float()
	case 21:
		e.b.y = r.float()
	case 40:
		e.radius = r.float()
	case 50:
		e.start = r.float()
	case 51:
		e.end = r.float()
	case 73:
		e.counterclockwise = r.int() != 0
	}
}

// splineGroup takes a group of a spline edge, whose codes differ from those of
// SPLINE: 94 is the degree, 42 a weight.
func (h *hatchReader) splineGroup() {
	r, g := h.r, &h.edge.spline
	switch r.code {
	case 94:
		g.degree = int(min(max(r.int(), -1), maxDegree+1))
	case 42:
		r.hold(numberBytes)
		g.weights = append(g.weights, r.float())
	case 10, 20, 11, 21, 40, 12, 22, 13, 23:
		g.take(r)
	}
}

// endEdge turns the edge that was read into a shape.
func (h *hatchReader) endEdge() {
	e := h.edge
	h.edge = hatchEdge{}
	if h.skip || h.r.err != nil {
		return
	}
	o := h.shape.origin
	var part shape
	switch e.kind {
	case edgeLine:
		part = &polyShape{origin: o, vertices: []vertex{{vec3: e.a}, {vec3: e.b}}}
	case edgeArc:
		part = e.arc(o)
	case edgeEllipse:
		part = &flatEllipseShape{origin: o, center: e.a, major: e.b, ratio: e.radius, start: e.start, end: e.end, clockwise: !e.counterclockwise}
	case edgeSpline:
		part = &flatSplineShape{*e.spline.shape(o)}
	default:
		return
	}
	h.r.hold(shapeBytes)
	h.shape.parts = append(h.shape.parts, part)
}

// arc returns a circular edge. The angles of a clockwise one are mirrored: it
// runs from -start to -end.
func (e *hatchEdge) arc(o origin) shape {
	s := &arcShape{origin: o, center: e.a, radius: e.radius, start: e.start, end: e.end}
	if math.Abs(s.end-s.start) >= 360*(1-sameRatio) {
		s.closed = true
	}
	if !e.counterclockwise {
		s.start, s.end = -s.end, -s.start
	}
	return s
}

// lift sets the height of all parts to the hatch's elevation.
func (h *hatchReader) lift() {
	if h.elevation == 0 {
		return
	}
	for _, part := range h.shape.parts {
		switch p := part.(type) {
		case *polyShape:
			for i := range p.vertices {
				p.vertices[i].z = h.elevation
			}
		case *arcShape:
			p.center.z = h.elevation
		case *flatEllipseShape:
			p.center.z = h.elevation
		case *flatSplineShape:
			for i := range p.points {
				p.points[i].z = h.elevation
			}
		}
	}
}

// flatEllipseShape is an elliptical edge in the object coordinate system. Its
// ends are given by the angles in degrees at which they are seen from the
// centre, against the major axis, not by parameters as in an ELLIPSE (common
// practice, no source: the DXF Reference says angle).
type flatEllipseShape struct {
	origin
	center, major vec3
	ratio         float64
	start, end    float64
	clockwise     bool
}

func (s *flatEllipseShape) from() *origin { return &s.origin }
func (s *flatEllipseShape) clone() shape  { c := *s; return &c }

func (s *flatEllipseShape) place(r *reader, at *placement) {
	closed := math.Abs(s.end-s.start) >= 360*(1-sameRatio)
	start := parameterOf(s.start, s.ratio)
	sweep := 2 * math.Pi
	if !closed {
		sweep = math.Mod(parameterOf(s.end, s.ratio)-start, 2*math.Pi)
		if sweep <= 0 && s.start != s.end {
			sweep += 2 * math.Pi
		}
	}
	minor := vec3{-s.major.y, s.major.x, 0}.mul(s.ratio)
	if s.clockwise {
		minor = minor.mul(-1)
	}
	if s.major == (vec3{}) || minor == (vec3{}) || sweep == 0 {
		r.notUsed(WhyEllipse)
		return
	}
	m, _ := at.frame(s.normal)
	center, u, v := m.point(s.center), m.vector(s.major), m.vector(minor)
	r.addEllipse(center.flat(), u.flat(), v.flat(), start, sweep)
	height, lost := ringLost(u, v)
	r.flattened(center.flat(), height, lost)
}

// flatSplineShape is a spline edge, in the object coordinate system.
type flatSplineShape struct{ splineShape }

func (s *flatSplineShape) clone() shape { c := *s; c.points = slices.Clone(s.points); return &c }

func (s *flatSplineShape) place(r *reader, at *placement) {
	m, plain := at.frame(s.normal)
	inner := *at
	inner.matrix, inner.plain = m, plain
	s.splineShape.place(r, &inner)
}

// parameterOf returns the parameter of the point of an ellipse with the given
// axis ratio that is seen at an angle in degrees.
func parameterOf(angle, ratio float64) float64 {
	sin, cos := sincosDegrees(angle)
	return math.Atan2(sin, cos*ratio)
}
