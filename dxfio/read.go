package dxfio

import (
	"fmt"
	"io"
	"io/fs"
	"strings"
)

// Options says how to read. The zero value reads with the default limits and
// uses no filled areas.
type Options struct {
	File   string // as named in messages
	Limits Limits // fields of 0 take their default
	// AreaLayer tells on which layers the boundaries of SOLID, TRACE, 3DFACE and
	// HATCH are read as curves; nil: on none.
	AreaLayer func(layer string) bool
	// AssumedUnit is the unit of a drawing whose header names none. It only sets
	// how finely ellipses and splines are read: 0.01 mm when it is known, and
	// 0.01/25.4 of a unit, fine enough for inches, when it is not.
	AssumedUnit Unit
	// Size is the length of the file in bytes, 0 when not known. With it, memory
	// for the curves is taken once. Read finds it out for an *os.File and for
	// readers with a Len method.
	Size int64
}

// Read reads a DXF drawing of any version from R9 on, ASCII or binary. It reads
// r up to the end mark of the drawing at most. Every error is an *Error.
//
// A drawing may lack its HEADER, TABLES and BLOCKS. One that ends inside a
// section, or before its ENTITIES, is cut short and refused; one that only
// lacks the end mark behind a complete section is read.
//
// Lengths and places are in drawing units and in the drawing's own frame, seen
// along the z axis of the world.
func Read(r io.Reader, o Options) (*Drawing, error) {
	rd := newReader(r, o)
	rd.drawing()
	if rd.err != nil {
		return nil, rd.err
	}
	return rd.finish(), nil
}

// reader builds a Drawing from the pairs of one file.
type reader struct {
	scanner
	options      Options
	d            *Drawing
	text         textDecoder
	names        names
	modelSpace   placement
	paperBlock   bool   // the block being read is a layout
	source       Source // of the entity being shown, and its DXF name
	name         string
	layers       layerTable
	lineTypes    map[string]bool // by upper-case name: it has gaps
	unread       map[Unread]int
	factors      map[string]float64 // of dimension styles, by folded name
	blocks       map[string]*block  // by folded name
	block        *block             // the block being defined; nil in ENTITIES
	blocksRead   bool               // a BLOCKS section is behind us
	entitiesRead bool               // an ENTITIES section is behind us
	waiting      []insertShape      // INSERTs that came before any BLOCKS section

	section     string // name of the section being read, "" between sections
	opened      bool   // the mark of a section was passed, its name is the current pair
	hiding      bool   // what is being placed is not shown: kept aside, counted by whoever hides it
	entities    int    // entities begun in the file
	numbered    int32  // next Source.Entity
	expanded    int    // entities shown by INSERTs
	held, kept  int    // bytes of the entity being read, and of what is kept to the end
	attribPaper bool   // the ATTRIBs that follow belong to an INSERT in paper space

	tolerance  float64 // of arcs for ellipses and splines, drawing units
	flatness   float64 // height range that still counts as flat, drawing units
	shapes     shapeStore
	fitted     []fittedArc // scratch of one ellipse or spline
	entitiesAt int64       // offset where the ENTITIES section starts, for the reserve
}

func newReader(r io.Reader, o Options) *reader {
	o.Limits = o.Limits.orDefault()
	if o.Size <= 0 {
		o.Size = sizeOf(r)
	}
	buffer := bufferBytes
	if o.Size > 0 && o.Size < bufferBytes {
		buffer = int(o.Size) + sniffBytes
	}
	rd := &reader{
		scanner:    scanner{src: r, limits: o.Limits, file: o.File, buf: make([]byte, buffer)},
		options:    o,
		d:          &Drawing{},
		unread:     map[Unread]int{},
		blocks:     map[string]*block{},
		names:      names{},
		modelSpace: placement{matrix: identity, plain: true, layer: noLayer},
	}
	rd.layers.init()
	rd.setUnit(UnitNone)
	rd.text.guess = true
	return rd
}

// sizeOf returns the size of what r reads, 0 when it does not tell.
func sizeOf(r io.Reader) int64 {
	switch f := r.(type) {
	case interface{ Len() int }:
		return int64(f.Len())
	case interface{ Stat() (fs.FileInfo, error) }:
		if info, err := f.Stat(); err == nil && info.Mode().IsRegular() {
			return info.Size()
		}
	}
	return 0
}

// curveToleranceMM is how far arcs may run from the ellipse or spline they
// stand for.
const curveToleranceMM = 0.01

// setUnit takes the unit of the header and derives the lengths that depend on it.
func (r *reader) setUnit(u Unit) {
	r.d.Units = u
	if !u.Known() {
		u = r.options.AssumedUnit
	}
	if !u.Known() {
		u = UnitInch // the largest unit that tops are usually drawn in
	}
	r.tolerance = curveToleranceMM / u.Millimetres()
	r.flatness = r.tolerance
}

// drawing reads the sections.
func (r *reader) drawing() {
	bom := r.start()
	r.text.utf8 = bom
	if r.err != nil {
		return
	}
	if !r.next() {
		if r.err == nil {
			r.refuse("the file holds nothing but blanks", "export it again as DXF")
		}
		r.notDXF()
		return
	}
	if word := r.keyword(); r.code != 0 || word != "SECTION" && word != "EOF" {
		r.fail(fmt.Sprintf("not a DXF: it starts with group %d, %s, instead of a section", r.code, quoteStart(r.val)), "export the drawing as DXF")
		return
	}
	for !r.ended && r.err == nil {
		if r.opened {
			r.readSection()
			continue
		}
		switch word := r.keyword(); {
		case r.code == 0 && word == "EOF":
			r.insertWaiting()
			return
		case r.code == 0 && word == "SECTION":
			r.readSection()
		default:
			r.next() // stray groups between sections
		}
	}
	if r.err != nil {
		return
	}
	switch {
	case r.section != "":
		r.cutInside()
	case !r.entitiesRead:
		r.fail("the file ends before its ENTITIES section", "the file is cut short: copy or export it again")
	default:
		r.insertWaiting()
	}
}

// notDXF words the fault of a first line that is no group code.
func (r *reader) notDXF() {
	if r.line == 0 && r.codeSize == 0 && r.err != nil && strings.HasPrefix(r.err.Found, "group code expected") {
		r.err.Found = "not a DXF: " + r.err.Found
		r.err.Do = "export the drawing as DXF"
	}
}

// cutInside reports that the file ends inside a section.
func (r *reader) cutInside() {
	found := fmt.Sprintf("the file ends inside the %s section", r.section)
	if r.entities > 0 {
		found += fmt.Sprintf(", after %d entities", r.entities)
	}
	r.fail(found, "the file is cut short: copy or export it again")
}

// keyword returns the value of the current pair as an upper-case word. The words
// of the tables below come without an allocation.
func (r *reader) keyword() string {
	if r.codeSize != 0 && r.kind != textValue {
		return ""
	}
	b := r.val
	switch string(b) {
	case "LINE":
		return "LINE"
	case "LWPOLYLINE":
		return "LWPOLYLINE"
	case "ARC":
		return "ARC"
	case "CIRCLE":
		return "CIRCLE"
	case "VERTEX":
		return "VERTEX"
	case "POLYLINE":
		return "POLYLINE"
	case "SEQEND":
		return "SEQEND"
	case "INSERT":
		return "INSERT"
	case "POINT":
		return "POINT"
	case "TEXT":
		return "TEXT"
	case "ENDSEC":
		return "ENDSEC"
	}
	b = trimBlanks(b)
	if len(b) > quotedBytes {
		b = b[:quotedBytes] // no keyword is so long
	}
	return strings.ToUpper(string(b))
}

// sectionEnds reports whether the current pair ends a section. A section mark
// or end mark inside a section ends it too: some exporters forget ENDSEC.
func (r *reader) sectionEnds() bool {
	if r.code != 0 {
		return false
	}
	switch r.keyword() {
	case "ENDSEC", "SECTION", "EOF":
		return true
	}
	return false
}

// readSection reads one section; the current pair is its SECTION mark.
func (r *reader) readSection() {
	r.section = "unnamed"
	if !r.opened && !r.next() {
		return
	}
	r.opened = false
	if r.code == 2 {
		r.section = r.keyword()
		r.next()
	}
	switch r.section {
	case "HEADER":
		r.readHeader()
	case "TABLES":
		r.readTables()
	case "BLOCKS":
		r.readBlocks()
		r.blocksRead = true
	case "ENTITIES":
		r.entitiesAt = r.base + int64(r.pos)
		r.readEntities()
		r.entitiesRead = true
	}
	for !r.ended && r.err == nil && !r.opened && !r.sectionEnds() {
		r.next()
	}
	if r.ended || r.err != nil {
		return
	}
	r.section = ""
	if !r.opened && r.keyword() == "ENDSEC" {
		r.next()
	}
}
