// Package draw is a small vector drawing: lines, arcs, filled areas and text on
// a sheet of paper, written as PNG for a workbook and as SVG for anything else.
//
// In go curves and texts in paper millimetres, origin at the top left, y down;
// out come bytes. The package knows paper and pens, never stone.
package draw

import (
	"image/color"

	"trueup/dxfio/geom"
)

// Canvas is a drawing. Things added later lie on top. The zero value with a
// size is ready for use.
type Canvas struct {
	Width, Height float64 // mm
	items         []item
}

// Pen is how a curve is drawn. Dash holds lengths of line and gap in turn, mm;
// none draws through.
type Pen struct {
	Color color.RGBA
	Width float64 // mm
	Dash  []float64
}

// Fill is how an area is filled: with a colour, or with parallel lines of that
// colour when Spacing is given.
type Fill struct {
	Color   color.RGBA
	Spacing float64 // between the lines of a hatch, mm; 0 fills through
	Rising  bool    // the hatch rises to the right instead of falling
}

// Anchor says which point of a text its place is.
type Anchor uint8

// The anchors of a text, all at half the height of its capitals.
const (
	Middle Anchor = iota
	Left
	Right
)

// Text is one line of text. Size is the em in mm.
type Text struct {
	Value  string
	At     geom.Point
	Size   float64
	Bold   bool
	Color  color.RGBA
	Anchor Anchor
}

type itemKind uint8

const (
	curvesItem itemKind = iota
	areaItem
	textItem
)

type item struct {
	kind   itemKind
	curves []geom.Curve
	loops  []geom.Loop
	pen    Pen
	fill   Fill
	text   Text
}

// Curves draws curves one after the other with the dashes running on.
func (c *Canvas) Curves(curves []geom.Curve, pen Pen) {
	if len(curves) > 0 && pen.Width > 0 {
		c.items = append(c.items, item{kind: curvesItem, curves: curves, pen: pen})
	}
}

// Line draws a straight line.
func (c *Canvas) Line(a, b geom.Point, pen Pen) {
	c.Curves([]geom.Curve{geom.Line(a, b)}, pen)
}

// Area fills what lies inside an odd number of the loops.
func (c *Canvas) Area(loops []geom.Loop, fill Fill) {
	if len(loops) > 0 {
		c.items = append(c.items, item{kind: areaItem, loops: loops, fill: fill})
	}
}

// Text sets one line of text.
func (c *Canvas) Text(t Text) {
	if t.Value != "" {
		c.items = append(c.items, item{kind: textItem, text: t})
	}
}

// Rectangle returns the loop around a box.
func Rectangle(b geom.Box) geom.Loop {
	return geom.Polygon(b.Min, geom.Point{X: b.Max.X, Y: b.Min.Y}, b.Max, geom.Point{X: b.Min.X, Y: b.Max.Y})
}
