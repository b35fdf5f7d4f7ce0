package dxfio

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// vertex is a corner of a polyline and the bulge of the segment that starts
// there.
type vertex struct {
	vec3
	bulge  float64
	hidden bool // the segment that starts here is not drawn (3DFACE)
}

// polyShape is a chain of lines and arcs: LWPOLYLINE, POLYLINE, and the
// boundaries of SOLID, TRACE, 3DFACE and HATCH.
type polyShape struct {
	origin
	vertices []vertex // in the object coordinate system, or the world's when spatial
	closed   bool
	spatial  bool
	area     bool // a filled area: used only where its layer says so
}

func (s *polyShape) from() *origin { return &s.origin }

func (s *polyShape) clone() shape {
	c := *s
	c.vertices = slices.Clone(s.vertices)
	return &c
}

// beginPoly starts the scratch polyline and keeps its vertices' memory.
func (r *reader) beginPoly(t EntityType, name string) *polyShape {
	s := &r.shapes.poly
	*s = polyShape{origin: r.begin(t, name), vertices: s.vertices[:0]}
	return s
}

// readPolyline reads an LWPOLYLINE. Its vertex count (90) is not trusted: the
// vertices are those that are there.
func (r *reader) readPolyline() {
	s := r.beginPoly(EntityPolyline, "LWPOLYLINE")
	elevation := 0.0
	for r.group() {
		switch r.code {
		case 10:
			r.hold(vertexBytes)
			s.vertices = append(s.vertices, vertex{vec3: vec3{x: r.float()}})
		case 20:
			if n := len(s.vertices); n > 0 {
				s.vertices[n-1].y = r.float()
			}
		case 42:
			if n := len(s.vertices); n > 0 {
				s.vertices[n-1].bulge = r.float()
			}
		case 38:
			elevation = r.float()
		case 40, 41, 43: // 43 holds for all segments, 40 and 41 for one
			s.width = max(s.width, r.float())
		case 70:
			s.closed = r.int()&1 != 0
		default:
			r.common(&s.origin)
		}
	}
	if elevation != 0 {
		for i := range s.vertices {
			s.vertices[i].z = elevation
		}
	}
	r.put(s)
}

func (s *polyShape) place(r *reader, at *placement) {
	if s.area && !r.areaUsed(r.source.Layer) {
		r.setAside(s, at)
		return
	}
	s.boundary(r, at)
}

// boundary draws the polyline.
func (s *polyShape) boundary(r *reader, at *placement) {
	if len(s.vertices) == 0 {
		r.notUsed(WhyNoVertices)
		return
	}
	if !s.draw(r, at) {
		r.notUsed(WhyZeroLength)
	}
}

// draw adds the segments and reports whether there were any.
func (s *polyShape) draw(r *reader, at *placement) bool {
	m, plain := at.matrix, at.plain
	if !s.spatial {
		m, plain = at.frame(s.normal)
	}
	n := len(s.vertices)
	segments := n
	if !s.closed {
		segments--
	}
	if plain && !s.spatial {
		drawn := false
		for i := range segments {
			a, b := &s.vertices[i], &s.vertices[(i+1)%n]
			if r.addBulge(a.flat(), b.flat(), a.bulge) {
				drawn = true
			}
		}
		return drawn
	}
	return s.drawMapped(r, &m, segments)
}

// drawMapped adds the segments mapped by m. Arcs stay arcs where the map keeps
// circles round, and become parts of ellipses where it does not.
func (s *polyShape) drawMapped(r *reader, m *matrix, segments int) bool {
	u, v := m.x.flat(), m.y.flat()
	round := circular(u, v)
	turn := 1.0
	if u.Cross(v) < 0 {
		turn = -1
	}
	var rise slope
	drawn := false
	for i := range segments {
		if r.err != nil {
			return true
		}
		p, q := s.vertices[i], s.vertices[(i+1)%len(s.vertices)]
		if p.hidden {
			continue
		}
		a, b := m.point(p.vec3), m.point(q.vec3)
		rise.add(a)
		switch {
		case p.bulge == 0 || p.vec3 == q.vec3:
			drawn = r.addBulge(a.flat(), b.flat(), 0) || drawn
		case round:
			drawn = r.addBulge(a.flat(), b.flat(), turn*p.bulge) || drawn
			rise.add(m.point(arcMiddle(p, q)))
		default:
			s.addStretched(r, m, p, q)
			drawn = true
			rise.add(m.point(arcMiddle(p, q)))
		}
		rise.add(b)
	}
	r.flattened(m.point(s.vertices[0].vec3).flat(), rise.height(), rise.lost(s.closed || rise.first == rise.last))
	return drawn
}

// arcMiddle returns the middle of the arc from p to q in its own system.
func arcMiddle(p, q vertex) vec3 {
	d := q.sub(p.vec3)
	m := p.add(q.vec3).mul(0.5)
	return vec3{m.x + d.y*p.bulge/2, m.y - d.x*p.bulge/2, m.z}
}

// addStretched adds the arc from p to q, which m turns into a part of an ellipse.
func (s *polyShape) addStretched(r *reader, m *matrix, p, q vertex) {
	arc := geom.Curve{A: p.flat(), B: q.flat(), Bulge: p.bulge}
	c, radius := arc.Center(), arc.Radius()
	start := math.Atan2(arc.A.Y-c.Y, arc.A.X-c.X)
	center := m.point(vec3{c.X, c.Y, p.z})
	u, v := m.vector(vec3{radius, 0, 0}), m.vector(vec3{0, radius, 0})
	sweep := arc.Sweep()
	if sweep < 0 { // run the ellipse forward in t by mirroring its second axis
		start, sweep, v = -start, -sweep, v.mul(-1)
	}
	first := len(r.d.Curves)
	r.addEllipse(center.flat(), u.flat(), v.flat(), start, sweep)
	if r.err != nil || first == len(r.d.Curves) {
		return
	}
	// The ends are those of the neighbours, to the last bit.
	r.d.Curves[first].A = m.point(p.vec3).flat()
	r.d.Curves[len(r.d.Curves)-1].B = m.point(q.vec3).flat()
}

// areaUsed reports whether the boundaries of filled areas on a layer are read.
func (r *reader) areaUsed(layer int32) bool {
	s := &r.layers.state[layer]
	if s.area == areaUnasked {
		s.area = areaUnused
		if r.options.AreaLayer != nil && r.options.AreaLayer(r.d.Layers[layer].Name) {
			s.area = areaUsed
		}
	}
	return s.area == areaUsed
}

// readCorners reads a SOLID, TRACE (object coordinates, corners in the order
// 1 2 4 3) or 3DFACE (world coordinates, in order; 70 hides edges).
func (r *reader) readCorners(t EntityType, name string) {
	s := r.beginPoly(t, name)
	s.closed, s.area = true, true
	s.spatial = t == EntityFace
	var corners [4]vec3
	have, hidden := 0, int64(0)
	for r.group() {
		i := r.code % 10
		switch {
		case r.code >= 10 && r.code <= 13:
			corners[i].x = r.float()
			have = max(have, i+1)
		case r.code >= 20 && r.code <= 23:
			corners[i].y = r.float()
		case r.code >= 30 && r.code <= 33:
			corners[i].z = r.float()
		case r.code == 70:
			hidden = r.int()
		default:
			r.common(&s.origin)
		}
	}
	if have == 3 {
		corners[3] = corners[2]
	}
	order := [4]int{0, 1, 3, 2}
	if s.spatial {
		order = [4]int{0, 1, 2, 3}
	}
	if have > 0 {
		for i, k := range order {
			s.vertices = append(s.vertices, vertex{vec3: corners[k], hidden: s.spatial && hidden>>i&1 != 0})
		}
	}
	r.put(s)
}
