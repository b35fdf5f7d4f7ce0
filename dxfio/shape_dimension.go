package dxfio

import (
	"math"

	"trueup/dxfio/geom"
)

// Dimension is a DIMENSION that tells a length: linear, aligned, radius or
// diameter. Only what it says and what it spans are taken up: its lines, arrows
// and text are no geometry, and it stays among the entities that were not read.
type Dimension struct {
	Kind DimensionKind
	// From and To are what it spans: the ends of the two extension lines, the
	// centre and a point of a radius, two opposite points of a diameter.
	From, To geom.Point
	// Along is the unit direction in which a linear one measures; zero for the
	// others, which measure from From to To.
	Along geom.Point
	// Text is what somebody wrote instead of the measured length, codes resolved;
	// "<>" in it stands for the measured length, and so does an empty text.
	Text string
	// Shown is the length, in drawing units, that the drawing says was measured
	// (group 42); 0 when it says nothing.
	Shown float64
	// Factor is what the measured length is multiplied by before it is shown, of
	// the dimension or its style (DIMLFAC); 1 when nothing says so.
	Factor float64
	Source
}

// DimensionKind says what a dimension spans.
type DimensionKind uint8

// The kinds of Dimension.
const (
	LinearDimension DimensionKind = iota
	AlignedDimension
	DiameterDimension
	RadiusDimension
)

// Length returns the length that the dimension spans, in the unit of its points.
func (d *Dimension) Length() float64 {
	if d.Kind == LinearDimension {
		return math.Abs(d.To.Sub(d.From).Dot(d.Along))
	}
	return d.From.Distance(d.To)
}

// dimensionShape is a DIMENSION. Its points are world coordinates, its angle is
// in the object coordinate system (DXF Reference, DIMENSION).
type dimensionShape struct {
	origin
	kind   DimensionKind
	points [6]vec3 // 10, 11 ... 15, by the last digit of their group
	angle  float64 // degrees
	text   string
	shown  float64
	factor float64 // 0 while nothing gave one
	raw    []byte  // scratch while reading
}

func (s *dimensionShape) from() *origin { return &s.origin }

func (s *dimensionShape) clone() shape {
	c := *s
	c.raw = nil
	return &c
}

// Types of DIMENSION (group 70, lowest three bits; DXF Reference).
const (
	dimensionRotated  = 0
	dimensionAligned  = 1
	dimensionDiameter = 3
	dimensionRadius   = 4
	dimensionTypeBits = 7
)

// readDimension reads a DIMENSION. Angles and ordinates tell no length between two
// points, and broken ones nothing: they are as any other entity that is no geometry.
func (r *reader) readDimension() {
	s := &r.shapes.dimension
	*s = dimensionShape{origin: r.begin(EntityOther, "DIMENSION"), raw: s.raw[:0]}
	kind, broken := 0, false
	number := func() float64 {
		v, ok := r.note()
		broken = broken || !ok
		return v
	}
	var style styleNotes
	for r.group() {
		switch r.code {
		case 3:
			if len(r.factors) > 0 {
				s.factor = r.factors[r.factorKey()]
			}
		case 1000, 1001, 1040, 1070:
			style.take(r)
		case 1:
			s.raw = r.appendText(s.raw[:0])
		case 10, 13, 14, 15:
			s.points[r.code-10].x = number()
		case 20, 23, 24, 25:
			s.points[r.code-20].y = number()
		case 30, 33, 34, 35:
			s.points[r.code-30].z = number()
		case 42:
			s.shown = number()
		case 50:
			s.angle = number()
		case 70:
			kind = int(number()) & dimensionTypeBits
		default:
			r.common(&s.origin)
		}
	}
	s.text = decodeMText(r.text.text(s.raw))
	if style.factor > 0 {
		s.factor = style.factor
	}
	if broken {
		kind = dimensionTypeBits
	}
	switch kind {
	case dimensionRotated:
		s.kind = LinearDimension
	case dimensionAligned:
		s.kind = AlignedDimension
	case dimensionDiameter:
		s.kind = DiameterDimension
	case dimensionRadius:
		s.kind = RadiusDimension
	default:
		r.shapes.other = otherShape{origin: s.origin, why: WhyNotGeometry}
		r.put(&r.shapes.other)
		return
	}
	r.put(s)
}

// note returns a number of an entity that bounds nothing, and false when it is none:
// a note that is broken is no reason to refuse the drawing.
func (r *reader) note() (float64, bool) {
	before := r.err
	v := r.float()
	if r.err != before {
		r.err = before
		return 0, false
	}
	return v, true
}

// ends returns the points between which it measures.
func (s *dimensionShape) ends() (from, to vec3) {
	switch s.kind {
	case DiameterDimension, RadiusDimension:
		return s.points[0], s.points[5]
	}
	return s.points[3], s.points[4]
}

func (s *dimensionShape) place(r *reader, at *placement) {
	r.notUsed(WhyDimension)
	from, to := s.ends()
	local := Dimension{Kind: s.kind, From: from.flat(), To: to.flat()}
	d := Dimension{Kind: s.kind, From: at.point(from).flat(), To: at.point(to).flat(), Text: s.text, Shown: s.shown, Factor: 1, Source: r.source}
	if s.factor > 0 {
		d.Factor = s.factor
	}
	if s.kind == LinearDimension {
		sin, cos := sincosDegrees(s.angle)
		system := objectSystem(s.normal)
		way := system.vector(vec3{cos, sin, 0})
		local.Along, d.Along = way.flat().Unit(), at.vector(way).flat().Unit()
	}
	if !r.inRange(d.From) || !r.inRange(d.To) {
		return // a block was scaled beyond all measure; curves there end the drawing
	}
	if span := local.Length(); span > 0 {
		d.Shown *= d.Length() / span // of a block that was scaled
	}
	if len(r.d.Dimensions) >= r.limits.Curves {
		r.tooMany()
		return
	}
	r.d.Dimensions = append(r.d.Dimensions, d)
}
