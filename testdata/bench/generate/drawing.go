package main

import (
	"bufio"
	"math"
	"strconv"
)

// drawing streams entities as ASCII DXF. Errors surface when it is flushed.
type drawing struct {
	w      *bufio.Writer
	buf    []byte
	handle int64
	digits int // behind the point
}

// start begins an entity with the handle and subclass marks that AC1015 wants.
func (d *drawing) start(kind, layer, subclass string) {
	d.handle++
	d.text(0, kind)
	d.text(5, strconv.FormatInt(d.handle+0xff, 16))
	d.text(100, "AcDbEntity")
	d.text(8, layer)
	d.text(100, subclass)
}

func (d *drawing) text(code int, s string) {
	d.buf = strconv.AppendInt(d.buf[:0], int64(code), 10)
	d.buf = append(d.buf, '\n')
	d.buf = append(d.buf, s...)
	d.buf = append(d.buf, '\n')
	d.w.Write(d.buf)
}

func (d *drawing) number(code int, x float64) {
	d.buf = strconv.AppendInt(d.buf[:0], int64(code), 10)
	d.buf = append(d.buf, '\n')
	d.buf = strconv.AppendFloat(d.buf, x, 'f', d.digits, 64)
	d.buf = append(d.buf, '\n')
	d.w.Write(d.buf)
}

func (d *drawing) integer(code, n int) { d.text(code, strconv.Itoa(n)) }

func (d *drawing) head() {
	d.text(0, "SECTION")
	d.text(2, "HEADER")
	d.text(9, "$ACADVER")
	d.text(1, "AC1015")
	d.text(9, "$INSUNITS")
	d.integer(70, 4)
	d.text(0, "ENDSEC")
	d.text(0, "SECTION")
	d.text(2, "ENTITIES")
}

func (d *drawing) tail() {
	d.text(0, "ENDSEC")
	d.text(0, "EOF")
}

func (d *drawing) line(layer string, x1, y1, x2, y2 float64) {
	d.start("LINE", layer, "AcDbLine")
	d.number(10, x1)
	d.number(20, y1)
	d.number(11, x2)
	d.number(21, y2)
}

func (d *drawing) arc(layer string, x, y, r, start, end float64) {
	d.start("ARC", layer, "AcDbCircle")
	d.number(10, x)
	d.number(20, y)
	d.number(40, r)
	d.text(100, "AcDbArc")
	d.number(50, start)
	d.number(51, end)
}

func (d *drawing) circle(layer string, x, y, r float64) {
	d.start("CIRCLE", layer, "AcDbCircle")
	d.number(10, x)
	d.number(20, y)
	d.number(40, r)
}

// polyline writes a closed LWPOLYLINE of x, y, bulge triples.
func (d *drawing) polyline(layer string, xyb ...float64) {
	d.start("LWPOLYLINE", layer, "AcDbPolyline")
	d.integer(90, len(xyb)/3)
	d.integer(70, 1)
	for i := 0; i < len(xyb); i += 3 {
		d.number(10, xyb[i])
		d.number(20, xyb[i+1])
		if xyb[i+2] != 0 {
			d.number(42, xyb[i+2])
		}
	}
}

var quarter = math.Tan(math.Pi / 8) // bulge of a quarter turn

// box writes a rectangle with rounded corners.
func (d *drawing) box(layer string, x1, y1, x2, y2, r float64) {
	if r == 0 {
		d.polyline(layer, x1, y1, 0, x2, y1, 0, x2, y2, 0, x1, y2, 0)
		return
	}
	d.polyline(layer, x1+r, y1, 0, x2-r, y1, quarter, x2, y1+r, 0, x2, y2-r, quarter,
		x2-r, y2, 0, x1+r, y2, quarter, x1, y2-r, 0, x1, y1+r, quarter)
}

// looseBox writes the same rectangle as loose LINEs and ARCs.
func (d *drawing) looseBox(layer string, x1, y1, x2, y2, r float64) {
	d.line(layer, x1+r, y1, x2-r, y1)
	d.line(layer, x2, y1+r, x2, y2-r)
	d.line(layer, x2-r, y2, x1+r, y2)
	d.line(layer, x1, y2-r, x1, y1+r)
	d.arc(layer, x1+r, y1+r, r, 180, 270)
	d.arc(layer, x2-r, y1+r, r, 270, 360)
	d.arc(layer, x2-r, y2-r, r, 0, 90)
	d.arc(layer, x1+r, y2-r, r, 90, 180)
}

func (d *drawing) label(layer string, x, y float64, s string) {
	d.start("TEXT", layer, "AcDbText")
	d.number(10, x)
	d.number(20, y)
	d.number(40, 40)
	d.text(1, s)
	d.text(100, "AcDbText")
}
