package main

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
)

// drawing collects entities and writes them as a small ASCII DXF.
type drawing struct {
	units    int // $INSUNITS
	layers   []string
	entities bytes.Buffer
}

func newDrawing(units int) *drawing { return &drawing{units: units} }

func (d *drawing) pair(code int, value any) {
	s := fmt.Sprint(value)
	if f, ok := value.(float64); ok {
		s = strconv.FormatFloat(math.Round(f*1e6)/1e6, 'f', -1, 64)
	}
	fmt.Fprintf(&d.entities, "%3d\n%s\n", code, s)
}

func (d *drawing) start(kind, layer string) {
	known := false
	for _, l := range d.layers {
		known = known || l == layer
	}
	if !known {
		d.layers = append(d.layers, layer)
	}
	d.pair(0, kind)
	d.pair(8, layer)
}

// line draws a LINE.
func (d *drawing) line(layer string, x1, y1, x2, y2 float64) {
	d.start("LINE", layer)
	d.pair(10, x1)
	d.pair(20, y1)
	d.pair(11, x2)
	d.pair(21, y2)
}

// chain draws LINEs from point to point: x, y, x, y ...
func (d *drawing) chain(layer string, xy ...float64) {
	for i := 0; i+3 < len(xy); i += 2 {
		d.line(layer, xy[i], xy[i+1], xy[i+2], xy[i+3])
	}
}

// arc draws an ARC, counter-clockwise from start to end, in degrees.
func (d *drawing) arc(layer string, x, y, r, start, end float64) {
	d.start("ARC", layer)
	d.pair(10, x)
	d.pair(20, y)
	d.pair(40, r)
	d.pair(50, start)
	d.pair(51, end)
}

// circle draws a CIRCLE.
func (d *drawing) circle(layer string, x, y, r float64) {
	d.start("CIRCLE", layer)
	d.pair(10, x)
	d.pair(20, y)
	d.pair(40, r)
}

// ellipse draws a full ELLIPSE with its long half-axis along x.
func (d *drawing) ellipse(layer string, x, y, a, b float64) {
	d.start("ELLIPSE", layer)
	d.pair(10, x)
	d.pair(20, y)
	d.pair(11, a)
	d.pair(21, 0)
	d.pair(40, b/a)
	d.pair(41, 0)
	d.pair(42, 2*math.Pi)
}

// polyline draws a closed LWPOLYLINE of x, y, bulge triples.
func (d *drawing) polyline(layer string, xyb ...float64) {
	d.start("LWPOLYLINE", layer)
	d.pair(90, len(xyb)/3)
	d.pair(70, 1)
	for i := 0; i < len(xyb); i += 3 {
		d.pair(10, xyb[i])
		d.pair(20, xyb[i+1])
		if xyb[i+2] != 0 {
			d.pair(42, xyb[i+2])
		}
	}
}

// box draws a closed rectangle with corner radius r.
func (d *drawing) box(layer string, x1, y1, x2, y2, r float64) {
	if r == 0 {
		d.polyline(layer, x1, y1, 0, x2, y1, 0, x2, y2, 0, x1, y2, 0)
		return
	}
	b := math.Tan(math.Pi / 8) // a quarter turn
	d.polyline(layer,
		x1+r, y1, 0, x2-r, y1, b, x2, y1+r, 0, x2, y2-r, b,
		x2-r, y2, 0, x1+r, y2, b, x1, y2-r, 0, x1, y1+r, b)
}

// facetArc draws an arc as n short LINEs, as some devices write curves.
func (d *drawing) facetArc(layer string, x, y, r, start, end float64, n int) {
	at := func(i int) (float64, float64) {
		s, c := math.Sincos((start + (end-start)*float64(i)/float64(n)) * math.Pi / 180)
		return x + r*c, y + r*s
	}
	for i := range n {
		x1, y1 := at(i)
		x2, y2 := at(i + 1)
		d.line(layer, x1, y1, x2, y2)
	}
}

// text draws a TEXT.
func (d *drawing) text(layer string, x, y, height float64, value string) {
	d.start("TEXT", layer)
	d.pair(10, x)
	d.pair(20, y)
	d.pair(40, height)
	d.pair(1, value)
}

// bytes returns the whole file.
func (d *drawing) bytes() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "  0\nSECTION\n  2\nHEADER\n  9\n$ACADVER\n  1\nAC1015\n")
	if d.units != 0 {
		fmt.Fprintf(&b, "  9\n$INSUNITS\n 70\n%d\n", d.units)
	}
	fmt.Fprintf(&b, "  0\nENDSEC\n  0\nSECTION\n  2\nTABLES\n  0\nTABLE\n  2\nLAYER\n 70\n%d\n", len(d.layers))
	for _, l := range d.layers {
		fmt.Fprintf(&b, "  0\nLAYER\n  2\n%s\n 70\n0\n 62\n7\n  6\nCONTINUOUS\n", l)
	}
	fmt.Fprintf(&b, "  0\nENDTAB\n  0\nENDSEC\n  0\nSECTION\n  2\nENTITIES\n")
	b.Write(d.entities.Bytes())
	fmt.Fprintf(&b, "  0\nENDSEC\n  0\nEOF\n")
	return b.Bytes()
}
