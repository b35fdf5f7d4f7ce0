package dxfio

import (
	"fmt"
	"strings"

	"trueup/dxfio/geom"
)

// block is a block definition.
type block struct {
	name     string
	base     vec3
	shapes   []shape
	defined  bool
	external bool // its drawing is another file
}

// Flags of BLOCK (group 70; DXF Reference).
const (
	blockExternal = 4
	blockOverlay  = 8
)

// blockNamed returns the block of a name; names are compared without case. A
// block that nothing has defined yet is there to be referred to.
func (r *reader) blockNamed(name string) *block {
	folded := strings.ToLower(name)
	b, ok := r.blocks[folded]
	if !ok {
		r.hold(shapeBytes)
		r.keep()
		b = &block{name: name}
		r.blocks[folded] = b
	}
	return b
}

// readBlocks reads the BLOCKS section.
func (r *reader) readBlocks() {
	for r.err == nil && !r.ended && !r.opened && !r.sectionEnds() {
		if r.code == 0 && r.keyword() == "BLOCK" {
			r.readBlock()
			continue
		}
		r.next()
	}
}

// readBlock reads one block. The blocks of model and paper space are not
// inserted anywhere: what some exporters put there belongs to the space itself.
func (r *reader) readBlock() {
	name, base, flags := "", vec3{}, int64(0)
	for r.group() {
		switch r.code {
		case 2:
			name = decodeName(r.text.text(r.val))
		case 10:
			base.x = r.float()
		case 20:
			base.y = r.float()
		case 30:
			base.z = r.float()
		case 70:
			flags = r.int()
		}
	}
	upper := strings.ToUpper(name)
	switch {
	case strings.HasPrefix(upper, "*MODEL_SPACE"), strings.HasPrefix(upper, "$MODEL_SPACE"):
	case strings.HasPrefix(upper, "*PAPER_SPACE"), strings.HasPrefix(upper, "$PAPER_SPACE"):
		r.paperBlock = true
	default:
		r.block = r.blockNamed(name)
		*r.block = block{name: r.block.name, base: base, defined: true, external: flags&(blockExternal|blockOverlay) != 0}
	}
	r.readEntities()
	r.block, r.paperBlock = nil, false
	if r.err == nil && !r.ended && r.code == 0 && r.keyword() == "ENDBLK" {
		for r.group() { // its handle and layer
		}
	}
}

// insertShape is an INSERT, in its object coordinate system.
type insertShape struct {
	origin
	block      *block
	at         vec3
	scale      vec3
	rotation   float64 // degrees
	cols, rows int64
	dx, dy     float64
}

func (s *insertShape) from() *origin { return &s.origin }
func (s *insertShape) clone() shape  { c := *s; return &c }

func (r *reader) readInsert() {
	s := &r.shapes.insert
	*s = insertShape{origin: r.begin(EntityInsert, "INSERT"), scale: vec3{1, 1, 1}, cols: 1, rows: 1}
	for r.group() {
		switch r.code {
		case 2:
			s.block = r.blockNamed(decodeName(r.text.text(r.val)))
		case 10:
			s.at.x = r.float()
		case 20:
			s.at.y = r.float()
		case 30:
			s.at.z = r.float()
		case 41:
			s.scale.x = r.float()
		case 42:
			s.scale.y = r.float()
		case 43:
			s.scale.z = r.float()
		case 50:
			s.rotation = r.float()
		case 70:
			s.cols = r.int()
		case 71:
			s.rows = r.int()
		case 44:
			s.dx = r.float()
		case 45:
			s.dy = r.float()
		default:
			r.common(&s.origin)
		}
	}
	r.attribPaper = s.paper
	r.put(s)
}

func (s *insertShape) place(r *reader, at *placement) {
	switch {
	case s.block == nil || !s.block.defined:
		if at.up == nil && !r.blocksRead && r.section != "" {
			r.keep() // its block may follow
			r.waiting = append(r.waiting, *s)
			return
		}
		r.notRead(WhyNoBlock, s.point(at))
		return
	case s.block.external:
		r.notRead(WhyExternal, s.point(at))
		return
	case strings.HasPrefix(s.block.name, "*X"):
		r.notUsed(WhyPattern) // how drawings before R13 store the lines that fill a hatch
		return
	case s.scale.x == 0 || s.scale.y == 0:
		r.notUsed(WhyZeroScale)
		return
	}
	if !r.mayExpand(s.block, at) {
		return
	}
	if len(s.block.shapes) == 0 {
		r.notRead(WhyEmptyBlock, s.point(at))
	}
	r.expand(s, at, r.source.Layer)
}

// point is where the block is inserted, in the drawing.
func (s *insertShape) point(at *placement) geom.Box {
	frame, _ := at.frame(s.normal)
	p := frame.point(s.at).flat()
	return geom.Box{Min: p, Max: p}
}

// mayExpand refuses blocks that contain themselves and too deep nesting.
func (r *reader) mayExpand(b *block, at *placement) bool {
	for p := at; p != nil; p = p.up {
		if p.block == b {
			r.entityFault(fmt.Sprintf("block %s contains itself", b.name), "mend the block in CAD")
			return false
		}
	}
	if at.depth >= r.limits.NestingDepth {
		r.entityFault(fmt.Sprintf("block references are nested more than %d deep", r.limits.NestingDepth),
			raise(keyNestingDepth, r.limits.NestingDepth))
		return false
	}
	return true
}

// expand shows the block once for every row and column. A point p of the block
// goes to insert + R(rotation) * (offset + scale*(p - base)) in the object
// coordinate system: the offsets of an array turn with it, but are not scaled.
func (r *reader) expand(s *insertShape, at *placement, layer int32) {
	frame, _ := at.frame(s.normal)
	sin, cos := sincosDegrees(s.rotation)
	turned := matrix{x: vec3{cos, sin, 0}, y: vec3{-sin, cos, 0}, z: zAxis, o: s.at}
	frame = frame.after(&turned)
	base := s.block.base
	p := placement{layer: layer, dash: r.dashed(&s.origin, layer, at), depth: at.depth + 1, block: s.block, up: at}
	for row := range max(s.rows, 1) {
		for col := range max(s.cols, 1) {
			scaled := matrix{
				x: vec3{s.scale.x, 0, 0}, y: vec3{0, s.scale.y, 0}, z: vec3{0, 0, s.scale.z},
				o: vec3{float64(col)*s.dx - base.x*s.scale.x, float64(row)*s.dy - base.y*s.scale.y, -base.z * s.scale.z},
			}
			p.matrix = frame.after(&scaled)
			p.plain = p.matrix == identity
			p.over = turnsOver(&p.matrix)
			if !r.expandsWithin(1 + len(s.block.shapes)) {
				return
			}
			for _, inner := range s.block.shapes {
				r.show(inner, &p)
				if r.err != nil {
					return
				}
			}
		}
	}
}

// expandedText is how many bytes of text count as a further one where block
// references show them: that of a long note on a plan.
const expandedText = 64

// expandsWithin counts what block references show, and reports false past the
// limit. An array of an empty block costs a count a cell.
func (r *reader) expandsWithin(n int) bool {
	r.expanded += n
	switch {
	case r.expanded > r.limits.Curves:
		r.tooMany()
		return false
	case r.expanded > r.limits.Expanded:
		r.entityFault(fmt.Sprintf("block references show more than %d curves, texts and points", r.limits.Expanded),
			raise(keyExpanded, r.limits.Expanded))
		return false
	}
	return true
}

// insertWaiting places the INSERTs that came before their blocks.
func (r *reader) insertWaiting() {
	waiting := r.waiting
	r.waiting = nil
	r.blocksRead = true
	for i := range waiting {
		if r.err != nil {
			return
		}
		r.show(&waiting[i], &r.modelSpace)
	}
}
