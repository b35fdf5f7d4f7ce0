package dxfio

import "fmt"

// origin is what every entity has in common.
type origin struct {
	Source
	name      string // DXF name
	normal    vec3   // extrusion direction
	paper     bool   // on a layout, not in model space
	invisible bool   // group 60
	stroke    stroke // group 6
	width     float64
}

// begin starts an entity at the current pair, its group 0.
func (r *reader) begin(t EntityType, name string) origin {
	r.entities++
	r.held = 0
	return origin{Source: Source{Layer: noLayer, Line: r.mark(), Type: t}, name: name, normal: zAxis}
}

// group moves to the next group of the entity being read and reports false at
// its end. Groups between 102 "{..." and 102 "}" belong to applications; those
// behind 101 describe an object embedded in the entity.
func (r *reader) group() bool {
	for r.next() {
		switch r.code {
		case 0:
			return false
		case 101:
			for r.next() && r.code != 0 {
			}
			return false
		case 102:
			if !r.skipApplication() {
				return false
			}
		default:
			return true
		}
	}
	return false
}

// skipApplication passes a 102 group list, and reports false when the entity
// ends inside it.
func (r *reader) skipApplication() bool {
	if v := trimBlanks(r.val); len(v) == 0 || v[0] != '{' {
		return true
	}
	for r.next() {
		if r.code == 0 {
			return false
		}
		if v := trimBlanks(r.val); r.code == 102 && len(v) > 0 && v[0] == '}' {
			return true
		}
	}
	return false
}

// common takes a group that any entity may have.
func (r *reader) common(o *origin) {
	switch r.code {
	case 5:
		o.Handle = parseHandle(r.val)
	case 6:
		o.stroke = r.strokeNamed()
	case 8:
		o.Layer = r.layer()
	case 60:
		o.invisible = r.int() != 0
	case 67:
		o.paper = o.paper || r.int() != 0
	case 410:
		o.paper = o.paper || !equalWord(r.val, "MODEL")
	case 210:
		o.normal.x = r.float()
	case 220:
		o.normal.y = r.float()
	case 230:
		o.normal.z = r.float()
	}
}

// equalWord compares a value with an upper-case word, without case. An empty
// value counts as equal: it says nothing.
func equalWord(b []byte, word string) bool {
	b = trimBlanks(b)
	if len(b) != len(word) {
		return len(b) == 0
	}
	for i, c := range b {
		if c >= 'a' && c <= 'z' {
			c -= 'a' - 'A'
		}
		if c != word[i] {
			return false
		}
	}
	return true
}

// readEntities reads entities up to the end of the section or block.
func (r *reader) readEntities() {
	for !r.ended && r.err == nil {
		if r.code != 0 {
			r.next() // stray groups between entities
			continue
		}
		word := r.keyword()
		switch word {
		case "ENDSEC", "EOF", "ENDBLK", "BLOCK":
			return
		case "SECTION":
			if !r.readSectionEntity() {
				return
			}
		default:
			r.readEntity(word)
		}
	}
}

// readSectionEntity tells the mark of a section, which a name in group 2
// follows, from the section planes that some CAD programs store as an entity of
// the same name, and reads the latter. It reports false for the former.
func (r *reader) readSectionEntity() bool {
	o := r.begin(EntityOther, "SECTION")
	if !r.next() {
		return false
	}
	if r.code == 2 {
		r.entities--
		r.opened = true
		return false
	}
	if r.code != 0 {
		r.common(&o)
		for r.group() {
			r.common(&o)
		}
	}
	r.shapes.other = otherShape{origin: o, why: WhyNotGeometry}
	r.put(&r.shapes.other)
	return true
}

// readEntity reads the entity of the given name; its group 0 is the current pair.
func (r *reader) readEntity(name string) {
	if name != "ATTRIB" && name != "SEQEND" {
		r.attribPaper = false
	}
	switch name {
	case "LINE", "3DLINE": // the latter in drawings of R9 and R10
		r.readLine()
	case "LWPOLYLINE":
		r.readPolyline()
	case "ARC":
		r.readArc()
	case "CIRCLE":
		r.readCircle()
	case "POLYLINE":
		r.readOldPolyline()
	case "ELLIPSE":
		r.readEllipse()
	case "SPLINE":
		r.readSpline()
	case "INSERT":
		r.readInsert()
	case "TEXT":
		r.readText(EntityText, "TEXT")
	case "ATTRIB":
		r.readText(EntityAttrib, "ATTRIB")
	case "ATTDEF":
		r.readAttdef()
	case "MTEXT":
		r.readMText()
	case "POINT":
		r.readPoint()
	case "DIMENSION":
		r.readDimension()
	case "SOLID":
		r.readCorners(EntitySolid, "SOLID")
	case "TRACE":
		r.readCorners(EntityTrace, "TRACE")
	case "3DFACE":
		r.readCorners(EntityFace, "3DFACE")
	case "HATCH":
		r.readHatch()
	case "SEQEND":
		for r.group() { // closes a list of VERTEX or ATTRIB; nothing by itself
		}
	default:
		r.readOther(name)
	}
}

// names keeps one copy of each entity name that is not known to the code.
type names map[string]string

// mostNames is how many such names are told apart: no drawing has as many, and
// a hostile one must not fill the memory with them.
const mostNames = 200

func (n names) intern(s string) string {
	if known, ok := n[s]; ok {
		return known
	}
	if len(n) >= mostNames {
		return "OTHER"
	}
	s = clean(s)
	n[s] = s
	return s
}

// About what the parts of an entity take in memory, and a curve of the result.
const (
	numberBytes = 8
	vertexBytes = 48
	shapeBytes  = 200
	curveBytes  = 64
)

// hold counts memory that the entity being read takes. What one entity, and
// what the blocks take together, is bounded by what the curves of the largest
// drawing would take.
func (r *reader) hold(bytes int) {
	r.held += bytes
	if r.held > r.limits.Curves*curveBytes {
		r.fail(fmt.Sprintf("an entity as large as %d curves", r.limits.Curves), raise(keyCurves, r.limits.Curves))
	}
}

// keep counts the entity being read as kept to the end of the file.
func (r *reader) keep() {
	r.kept += r.held + shapeBytes
	r.held = 0
	if r.kept > r.limits.Curves*curveBytes {
		r.fail(fmt.Sprintf("blocks as large as %d curves", r.limits.Curves), raise(keyCurves, r.limits.Curves))
	}
}

// shape is an entity that can be put into the drawing, once or, from a block,
// many times.
type shape interface {
	from() *origin
	// clone returns a copy that shares nothing with the reader's scratch.
	clone() shape
	// place puts the entity into the drawing, mapped by at.
	place(r *reader, at *placement)
}

// shapeStore holds one scratch shape of each kind, so that an entity of model
// space costs no allocation.
type shapeStore struct {
	line      lineShape
	arc       arcShape
	poly      polyShape
	ellipse   ellipseShape
	text      textShape
	mark      markShape
	dimension dimensionShape
	insert    insertShape
	other     otherShape
}

// put puts an entity that was read where it belongs: into the block being
// defined, or into the drawing.
func (r *reader) put(s shape) {
	if r.err != nil || r.ended {
		return // a file cut inside an entity is refused
	}
	o := s.from()
	if o.Layer == noLayer {
		o.Layer = r.layerZero()
	}
	o.paper = o.paper || r.paperBlock
	if r.block != nil {
		r.keep()
		r.block.shapes = append(r.block.shapes, s.clone())
		return
	}
	r.show(s, &r.modelSpace)
}

// show puts an entity into the drawing where it can be seen, and counts it as
// unread where it cannot.
func (r *reader) show(s shape, at *placement) {
	o := s.from()
	layer := o.Layer
	if layer == r.layers.zero && at.layer != noLayer {
		layer = at.layer // entities on layer 0 of a block lie on the layer of its INSERT
	}
	r.source = o.Source
	r.source.Mirrored = at.over
	r.source.Layer = layer
	r.name = o.name
	if o.paper {
		r.notUsed(WhyPaper)
		return
	}
	if r.hiding { // inside a block that is hidden as a whole
		s.place(r, at)
		return
	}
	state := &r.layers.state[layer]
	insert := o.Type == EntityInsert
	if !insert {
		r.source.Entity = r.numbered
		r.numbered++
		r.count(state)
		r.keepStyle(o, at)
	}
	switch {
	case o.invisible:
		r.hide(s, at, WhyInvisible)
	case state.frozen:
		r.hide(s, at, WhyFrozen)
	case state.off && !insert: // what lies on other layers of the block stays visible
		r.hide(s, at, WhyOff)
	default:
		s.place(r, at)
	}
}

// count counts the entity being shown on its layer.
func (r *reader) count(state *layerState) {
	if r.source.Type != EntityOther {
		state.counts[r.source.Type]++
		return
	}
	if state.others == nil {
		state.others = map[string]int{}
	}
	state.others[r.name]++
}

// notUsed counts the entity being shown as unread.
func (r *reader) notUsed(why string) { r.countUnread(r.name, r.source.Layer, why) }
