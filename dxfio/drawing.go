// Package dxfio reads and writes DXF drawings.
//
// In goes a byte stream from a stranger; out comes a Drawing: the exact lines
// and arcs of its model space with block references expanded, its texts, units
// and layers, and a count of everything that was not used and why. The other
// way, closed loops and texts become a drawing that CAD and machine programs
// open. Package dxfio knows nothing of roles, pieces or rules; what it reads
// stays in the drawing's own units and frame until Drawing.Millimetres.
package dxfio

import (
	"fmt"

	"trueup/dxfio/geom"
)

// Drawing is what was read from one file.
type Drawing struct {
	Version string  // $ACADVER, such as AC1015; empty when the header lacks it
	Units   Unit    // $INSUNITS; UnitNone when absent or 0
	Layers  []Layer // in order of first appearance
	Curves  []Curve // model space, blocks expanded
	Texts   []Text  // model space, blocks expanded, formatting stripped
	Marks   []Mark  // POINT entities
	// Hidden is what would be drawn on layers frozen or switched off, of invisible entities,
	// and the boundaries of filled areas on layers that do not cut: it is used for nothing and counted in Unread, but somebody may ask where it lies.
	Hidden Hidden
	Styles []Style // of entities that are not drawn as thin continuous lines, in their order
	// Dimensions are the linear, aligned, radius and diameter DIMENSION entities.
	Dimensions []Dimension
	Unread     []Unread // sorted by type, layer, why
	// Unplaced says where entities lie that may hold curves and could not be read, as
	// far as the file tells without reading them.
	Unplaced []Unplaced
	Changes  []Change // what reading itself altered: curves to arcs, 3D flattened
}

// Hidden is what a drawing holds and does not show.
type Hidden struct {
	Curves []HiddenCurve
	Marks  []HiddenMark
}

// HiddenCurve is a curve that is not shown, and why: WhyFrozen, WhyOff, WhyInvisible or WhyArea.
type HiddenCurve struct {
	Curve
	Why string
}

// HiddenMark is a point that is not shown, and why.
type HiddenMark struct {
	Mark
	Why string
}

// Layer is a layer of the drawing and what lies on it.
type Layer struct {
	Name     string
	Hidden   bool           // frozen or switched off: nothing on it is used
	Entities map[string]int // entity type to number of entities as drawn, blocks expanded
	Length   float64        // of its curves, drawing units
}

// EntityType says what kind of entity a curve, text or mark was drawn as.
type EntityType uint8

// The entity types that are used.
const (
	EntityLine EntityType = iota
	EntityArc
	EntityCircle
	EntityPolyline // LWPOLYLINE
	EntityPolylineOld
	EntityEllipse
	EntitySpline
	EntitySolid
	EntityHatch
	EntityTrace
	EntityFace // 3DFACE
	EntityText
	EntityMText
	EntityAttrib
	EntityPoint
	EntityInsert
	EntityOther // anything that gives neither curve, text nor mark
	entityTypes = iota
)

// Filled reports whether the entity is an area whose boundary was read as curves.
func (t EntityType) Filled() bool {
	return t == EntitySolid || t == EntityHatch || t == EntityTrace || t == EntityFace
}

// String returns the DXF name of the entity.
func (t EntityType) String() string {
	names := [...]string{
		"LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "ELLIPSE", "SPLINE", "SOLID", "HATCH",
		"TRACE", "3DFACE", "TEXT", "MTEXT", "ATTRIB", "POINT", "INSERT",
	}
	if int(t) < len(names) {
		return names[t]
	}
	return fmt.Sprintf("entity type %d", t)
}

// Source says where in the file something was drawn.
type Source struct {
	Layer  int32      // index into Drawing.Layers
	Entity int32      // running number of the entity, blocks expanded; curves of one entity share it
	Line   int32      // line of the file (ASCII) or byte offset (binary) where the entity starts, capped at MaxInt32
	Type   EntityType // what it was drawn as
	// Mirrored is true of what a block reference shows turned over.
	Mirrored bool
	Handle   uint64 // group 5; 0 when the file gives none
}

// Curve is a line or arc of the drawing and where it came from. Arcs never turn
// more than a half circle: longer ones are split.
type Curve struct {
	geom.Curve
	Source
}

// Text is a TEXT, MTEXT or ATTRIB with its formatting stripped.
type Text struct {
	Value  string // lines separated by \n; control characters removed
	At     geom.Point
	Height float64
	// Backwards is true when the text reads backwards, as in a mirror.
	Backwards bool
	Source
}

// Mark is a POINT entity.
type Mark struct {
	At geom.Point
	Source
}

// Unread counts entities that were not used, or not as surely as drawn
// (WhySplineEnds).
type Unread struct {
	Type  string // DXF entity name
	Layer string
	Why   string // such as "not geometry", "paper space", "layer frozen", "unknown type"
	Count int
}

// Unplaced is an entity that may hold curves and could not be read: the corner of the
// box round the points that the file gives for it, and its size. A block reference has its
// point of insertion alone; a solid model has no place and is counted in Unread only.
type Unplaced struct {
	Type  string
	Layer int32
	Why   string
	Box   geom.Box
}

// ChangeKind says what reading altered.
type ChangeKind string

// The kinds of Change.
const (
	CurveToArcs ChangeKind = "curve-to-arcs" // ellipse or spline; Size is the error reached
	Flattened   ChangeKind = "flattened"     // off the drawing plane; Size is the largest height dropped
)

// Change is an alteration made while reading.
type Change struct {
	Kind   ChangeKind
	At     geom.Point
	Size   float64 // drawing units
	Lost   float64 // of Flattened: by how much it is shorter or narrower from above than drawn, drawing units
	Source Source
}

// Error is a file that cannot be read: what was found, where, what to do.
type Error struct {
	File  string // as given to the reader; may be empty
	Line  int64  // 1-based line of an ASCII file; 0 when not known
	Byte  int64  // 0-based offset in a binary file; -1 when not known
	Found string // "DWG file", "group code 'abc' is not a number"
	Do    string // "export it as DXF"
	Err   error  // the cause, or nil
}

// Error implements error: "kitchen.dxf, line 4812: found; do".
func (e *Error) Error() string {
	s := e.File
	if s == "" {
		s = "drawing"
	}
	switch {
	case e.Line > 0:
		s += fmt.Sprintf(", line %d", e.Line)
	case e.Byte > 0:
		s += fmt.Sprintf(", byte %d", e.Byte)
	}
	s += ": " + e.Found
	if e.Do != "" {
		s += "; " + e.Do
	}
	return s
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// Millimetres returns the drawing scaled from unit u to millimetres and moved
// so that its curves lie near the origin, and the shift in millimetres that
// takes a point of the result back to the drawing's own frame (add it). Layer
// lengths keep drawing units. The receiver is not changed.
func (d *Drawing) Millimetres(u Unit) (*Drawing, geom.Point) {
	box := geom.EmptyBox()
	for _, c := range d.Curves {
		box = box.Extend(c.A)
	}
	var origin geom.Point
	if !box.Empty() {
		origin = box.Min
	}
	k := u.Millimetres()
	move := func(p geom.Point) geom.Point { return p.Sub(origin).Mul(k) }
	out := *d
	out.Curves = make([]Curve, len(d.Curves))
	for i, c := range d.Curves {
		c.A, c.B = move(c.A), move(c.B)
		out.Curves[i] = c
	}
	out.Texts = make([]Text, len(d.Texts))
	for i, t := range d.Texts {
		t.At, t.Height = move(t.At), t.Height*k
		out.Texts[i] = t
	}
	out.Marks = make([]Mark, len(d.Marks))
	for i, m := range d.Marks {
		m.At = move(m.At)
		out.Marks[i] = m
	}
	out.Styles = make([]Style, len(d.Styles))
	for i, s := range d.Styles {
		s.Width *= k
		out.Styles[i] = s
	}
	out.Dimensions = make([]Dimension, len(d.Dimensions))
	for i, m := range d.Dimensions {
		m.From, m.To, m.Shown = move(m.From), move(m.To), m.Shown*k
		out.Dimensions[i] = m
	}
	out.Hidden.Curves = make([]HiddenCurve, len(d.Hidden.Curves))
	for i, c := range d.Hidden.Curves {
		c.A, c.B = move(c.A), move(c.B)
		out.Hidden.Curves[i] = c
	}
	out.Hidden.Marks = make([]HiddenMark, len(d.Hidden.Marks))
	for i, m := range d.Hidden.Marks {
		m.At = move(m.At)
		out.Hidden.Marks[i] = m
	}
	out.Unplaced = make([]Unplaced, len(d.Unplaced))
	for i, u := range d.Unplaced {
		u.Box = geom.Box{Min: move(u.Box.Min), Max: move(u.Box.Max)}
		out.Unplaced[i] = u
	}
	out.Changes = make([]Change, len(d.Changes))
	for i, c := range d.Changes {
		c.At, c.Size, c.Lost = move(c.At), c.Size*k, c.Lost*k
		out.Changes[i] = c
	}
	return &out, origin.Mul(k)
}
