package dxfio

// Flags of POLYLINE (group 70; DXF Reference).
const (
	polyClosed   = 1
	polySpatial  = 8
	polyMesh     = 16
	polyPolyface = 64
)

// frameVertex marks a VERTEX that only controls a fitted spline and does not
// lie on the curve (group 70; DXF Reference).
const frameVertex = 16

// readOldPolyline reads a POLYLINE with its VERTEX list. Of fitted ones the
// fitted vertices are used, not the frame they were fitted to.
func (r *reader) readOldPolyline() {
	s := r.beginPoly(EntityPolylineOld, "POLYLINE")
	flags, elevation := int64(0), 0.0
	for r.group() {
		switch r.code {
		case 70:
			flags = r.int()
		case 30:
			elevation = r.float()
		case 40, 41: // of segments whose vertices say nothing else
			s.width = max(s.width, r.float())
		default:
			r.common(&s.origin)
		}
	}
	s.closed = flags&polyClosed != 0
	s.spatial = flags&polySpatial != 0
	mesh := flags&(polyMesh|polyPolyface) != 0
	for r.err == nil && !r.ended && r.keyword() == "VERTEX" {
		v, flags := r.readVertex(&s.width)
		if mesh || flags&frameVertex != 0 {
			continue
		}
		if !s.spatial {
			v.z = elevation
		} else {
			v.bulge = 0 // 3D polylines have none
		}
		r.hold(vertexBytes)
		s.vertices = append(s.vertices, v)
	}
	if r.err == nil && !r.ended && r.keyword() == "SEQEND" {
		for r.group() {
		}
	}
	if !mesh {
		r.put(s)
		return
	}
	r.shapes.other = otherShape{origin: s.origin, why: WhyMesh}
	r.put(&r.shapes.other)
}

// readVertex reads one VERTEX; its group 0 is the current pair. width grows to the
// width of the segment that starts there.
func (r *reader) readVertex(width *float64) (v vertex, flags int64) {
	for r.group() {
		switch r.code {
		case 10:
			v.x = r.float()
		case 20:
			v.y = r.float()
		case 30:
			v.z = r.float()
		case 40, 41:
			*width = max(*width, r.float())
		case 42:
			v.bulge = r.float()
		case 70:
			flags = r.int()
		}
	}
	return v, flags
}
