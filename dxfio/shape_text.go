package dxfio

import (
	"fmt"
	"strings"

	"trueup/dxfio/geom"
)

// textShape is a TEXT, ATTRIB or MTEXT.
type textShape struct {
	origin
	at     vec3 // object coordinates; of MTEXT the world's
	height float64
	value  string
	world  bool
	turned bool   // generated as in a mirror (group 71)
	raw    []byte // scratch while reading
}

func (s *textShape) from() *origin { return &s.origin }

func (s *textShape) clone() shape {
	c := *s
	c.raw = nil
	return &c
}

func (r *reader) beginText(t EntityType, name string) *textShape {
	s := &r.shapes.text
	*s = textShape{origin: r.begin(t, name), raw: s.raw[:0]}
	return s
}

// Horizontal justifications of TEXT that keep the first point as the place
// (group 72; DXF Reference): aligned and fitted between two points.
const (
	justifyAligned = 3
	justifyFit     = 5
)

// hiddenAttribute is the flag of an ATTRIB that is not shown, constantAttribute
// that of an ATTDEF that is shown itself (group 70; DXF Reference).
const (
	hiddenAttribute   = 1
	constantAttribute = 2
)

// Generation of TEXT and ATTRIB (group 71; DXF Reference): mirrored in x, mirrored in y.
// Both together turn the text by 180 degrees.
const (
	generatedBackward   = 2
	generatedUpsideDown = 4
)

// readText reads a TEXT or ATTRIB. Its place is the first point, or the second
// one when the justification hangs the text from it.
func (r *reader) readText(t EntityType, name string) {
	s := r.beginText(t, name)
	if t == EntityAttrib {
		s.paper = r.attribPaper
	}
	if flags := r.readTextGroups(s); t == EntityAttrib && flags&hiddenAttribute != 0 {
		s.invisible = true
	}
	s.value = decodeText(r.text.text(s.raw))
	r.put(s)
}

// readAttdef reads an ATTDEF: the pattern of an attribute, shown only when it
// is constant.
func (r *reader) readAttdef() {
	s := r.beginText(EntityAttrib, "ATTDEF")
	if flags := r.readTextGroups(s); flags&constantAttribute != 0 {
		s.invisible = flags&hiddenAttribute != 0
		s.value = decodeText(r.text.text(s.raw))
		r.put(s)
		return
	}
	s.Type = EntityOther
	r.shapes.other = otherShape{origin: s.origin, why: WhyAttdef}
	r.put(&r.shapes.other)
}

// readTextGroups reads the groups of TEXT, ATTRIB and ATTDEF and returns the
// flags of attributes.
func (r *reader) readTextGroups(s *textShape) (flags int64) {
	var second vec3
	hasSecond := false
	across, up, generation := int64(0), int64(0), int64(0)
	for r.group() {
		switch r.code {
		case 1:
			s.raw = r.appendText(s.raw[:0])
		case 10:
			s.at.x = r.float()
		case 20:
			s.at.y = r.float()
		case 30:
			s.at.z = r.float()
		case 11:
			second.x, hasSecond = r.float(), true
		case 21:
			second.y = r.float()
		case 31:
			second.z = r.float()
		case 40:
			s.height = r.float()
		case 70:
			flags = r.int()
		case 71:
			generation = r.int()
		case 72:
			across = r.int()
		case 73:
			if s.Type == EntityText {
				up = r.int()
			}
		case 74:
			if s.Type == EntityAttrib {
				up = r.int()
			}
		default:
			r.common(&s.origin)
		}
	}
	s.turned = generation&generatedBackward != 0 != (generation&generatedUpsideDown != 0)
	if hasSecond && (across != 0 || up != 0) && across != justifyAligned && across != justifyFit {
		s.at = second
	}
	return flags
}

// readMText reads an MTEXT: its text comes in parts, all but the last in group 3.
func (r *reader) readMText() {
	s := r.beginText(EntityMText, "MTEXT")
	s.world = true
	for r.group() {
		switch r.code {
		case 1, 3:
			s.raw = r.appendText(s.raw)
		case 10:
			s.at.x = r.float()
		case 20:
			s.at.y = r.float()
		case 30:
			s.at.z = r.float()
		case 40:
			s.height = r.float()
		default:
			r.common(&s.origin)
		}
	}
	s.value = decodeMText(r.text.text(s.raw))
	r.put(s)
}

// appendText appends the current value to a text within the limit.
func (r *reader) appendText(to []byte) []byte {
	if len(to)+len(r.val) > r.limits.TextBytes {
		r.fail(fmt.Sprintf("text of more than %d bytes", r.limits.TextBytes), raise(keyTextBytes, r.limits.TextBytes))
		return to
	}
	return append(to, r.val...)
}

func (s *textShape) place(r *reader, at *placement) {
	if s.value == "" {
		r.notUsed(WhyEmptyText)
		return
	}
	m := at.matrix
	if !s.world {
		m, _ = at.frame(s.normal)
	}
	p := m.point(s.at).flat()
	height := m.vector(vec3{0, s.height, 0}).flat().Norm()
	if !r.inRange(p) || !r.inRange(geom.Point{X: height}) {
		r.tooFar()
		return
	}
	if len(r.d.Texts) >= r.limits.Curves {
		r.tooMany()
		return
	}
	// A text of many lines, or a long one, counts as so many more.
	if at.depth > 0 && !r.expandsWithin(strings.Count(s.value, "\n")+len(s.value)/expandedText) {
		return
	}
	plane, _ := at.frame(s.normal) // in which the text is written, of MTEXT too
	r.d.Texts = append(r.d.Texts, Text{Value: s.value, At: p, Height: height, Backwards: turnsOver(&plane) != s.turned, Source: r.source})
}

// markShape is a POINT, in world coordinates.
type markShape struct {
	origin
	at vec3
}

func (s *markShape) from() *origin { return &s.origin }
func (s *markShape) clone() shape  { c := *s; return &c }

func (r *reader) readPoint() {
	s := &r.shapes.mark
	*s = markShape{origin: r.begin(EntityPoint, "POINT")}
	for r.group() {
		switch r.code {
		case 10:
			s.at.x = r.float()
		case 20:
			s.at.y = r.float()
		case 30:
			s.at.z = r.float()
		default:
			r.common(&s.origin)
		}
	}
	r.put(s)
}

func (s *markShape) place(r *reader, at *placement) {
	p := at.point(s.at).flat()
	if !r.inRange(p) {
		r.tooFar()
		return
	}
	if len(r.d.Marks) >= r.limits.Curves {
		r.tooMany()
		return
	}
	r.d.Marks = append(r.d.Marks, Mark{At: p, Source: r.source})
}
