package main

import (
	"bytes"
	"math"
)

// The $INSUNITS codes used.
const (
	none       = 0
	inch       = 1
	millimetre = 4
)

// kitchen is an L of two runs with a seam between them: a sink with a tap hole, a
// dishwasher, a cooktop. The rail before the sink is 41 mm, too narrow: the
// office has to decide.
func kitchen() []byte {
	d := newDrawing(millimetre)
	b := -math.Tan(math.Pi / 8) // inside corner, radius 20, turning clockwise
	d.polyline("COUNTER", 0, 0, 0, 2900, 0, 0, 2900, 640, 0, 660, 640, b, 640, 660, 0, 640, 2400, 0, 0, 2400, 0)
	d.line("SEAM", 0, 660, 640, 660)
	d.box("SINK", 1300, 169, 2000, 599, 12)
	d.circle("TAP HOLE", 1650, 85, 17.5)
	d.box("COOKTOP", 70, 1300, 560, 1880, 10)
	d.text("COUNTER", 200, 250, 40, "SINK RUN")
	d.text("COUNTER", 100, 900, 40, "COOK RUN")
	d.text("NOTES", 1200, 900, 40, "12 Harbour Lane, ground floor")
	d.chain("FINISHED", 660, 640, 2900, 640)
	d.chain("FINISHED", 640, 660, 640, 2400)
	d.chain("WALL", 0, 2400, 0, 0, 2900, 0)
	d.box("CABINET", 0, 0, 2050, 600, 0)
	d.box("CABINET", 2650, 0, 2900, 600, 0)
	d.box("CABINET", 0, 600, 600, 2400, 0)
	d.line("WALL LEDGE", 2050, 10, 2650, 10)
	d.box("DISHWASHER", 2050, 20, 2650, 600, 0)
	return d.bytes()
}

// island has rounded corners and seating at its back: 320 mm of overhang, more
// than 3 cm stone carries by itself.
func island() []byte {
	d := newDrawing(millimetre)
	d.box("ISLAND", 5000, 3000, 7100, 4020, 80)
	d.box("CABINET", 5040, 3040, 7060, 3700, 0)
	d.box("COOKTOP", 5700, 3120, 6270, 3610, 10)
	d.line("FINISHED", 5080, 3000, 7020, 3000)
	d.line("FINISHED", 5080, 4020, 7020, 4020)
	d.text("ISLAND", 5200, 3800, 40, "ISLAND")
	return d.bytes()
}

// vanity has an oval basin and two splash pieces: nothing to object to.
func vanity() []byte {
	d := newDrawing(millimetre)
	d.box("VANITY", 0, 0, 1220, 560, 0)
	d.ellipse("BASIN", 610, 260, 210, 160)
	d.circle("TAP HOLE", 610, 482, 17.5)
	d.box("CABINET", 20, 20, 1200, 540, 0)
	d.box("SPLASH", 0, 700, 1220, 800, 0)
	d.box("SPLASH", 1400, 0, 1500, 560, 0)
	d.line("FINISHED", 0, 0, 1220, 0)
	d.line("WALL", 0, 560, 1220, 560)
	d.text("VANITY", 60, 60, 30, "VANITY")
	return d.bytes()
}

// laundry is drawn in inches, loose lines, by another device.
func laundry() []byte {
	d := newDrawing(inch)
	d.chain("COUNTERTOP", 0, 0, 72, 0, 72, 25.5, 0, 25.5, 0, 0)
	d.box("SINK CUTOUT", 40, 4.5, 62, 20.5, 0.5)
	d.circle("FAUCET", 51, 22.75, 0.6875)
	d.box("CABINET", 0, 1, 72, 25.5, 0)
	d.line("POLISH", 0, 0, 72, 0)
	d.text("COUNTERTOP", 4, 4, 1.5, "LAUNDRY")
	return d.bytes()
}

// smallGaps is a pantry top whose corners miss each other by 0.3 mm.
func smallGaps() []byte {
	d := newDrawing(millimetre)
	d.line("OUTLINE", 0, 0, 1799.7, 0)
	d.line("OUTLINE", 1800, 0, 1800, 449.7)
	d.line("OUTLINE", 1800, 450, 0.3, 450)
	d.line("OUTLINE", 0, 450, 0, 0.3)
	d.box("CABINET", 0, 0, 1800, 430, 0)
	d.line("FINISHED", 0, 0, 1800, 0)
	d.text("OUTLINE", 80, 80, 40, "PANTRY")
	return d.bytes()
}

// wideGap has a bar top whose outline gapes by 12 mm: no machine may guess it.
func wideGap() []byte {
	d := newDrawing(millimetre)
	d.chain("OUTLINE", 0, 0, 1500, 0, 1500, 400, 0, 400, 0, 12)
	d.box("OUTLINE", 0, 700, 900, 1100, 0)
	d.box("CABINET", 0, 0, 1500, 400, 0)
	d.box("CABINET", 0, 720, 900, 1100, 0)
	d.text("OUTLINE", 80, 80, 40, "BAR")
	d.text("OUTLINE", 80, 780, 40, "SHELF")
	return d.bytes()
}

// facets is a window seat with a bowed front that was written as short chords.
func facets() []byte {
	d := newDrawing(millimetre)
	d.chain("OUTLINE", 0, 0, 0, 300)
	d.chain("OUTLINE", 1600, 300, 1600, 0, 0, 0)
	// Through (0,300) and (1600,300) with 200 mm of bow: R = (800^2 + 200^2) / 400.
	r := 1700.0
	half := math.Asin(800/r) * 180 / math.Pi
	d.facetArc("OUTLINE", 800, 500-r, r, 90-half, 90+half, 40)
	d.box("CABINET", 0, 0, 1600, 280, 0)
	d.text("OUTLINE", 80, 80, 40, "WINDOW SEAT")
	return d.bytes()
}

// broken is the laundry cut off in the middle of a transfer.
func broken() []byte {
	whole := laundry()
	cut := bytes.Index(whole, []byte("SINK CUTOUT\n 90"))
	return whole[:cut+len("SINK CUTOUT\n 90")]
}

// steppedSeam is a counter of two lengths that meet in a stepped seam, drawn as
// a line across the outline. Its front steps back 38.1 mm at 876.3 mm; every
// inside corner has a radius that the router's bit can cut.
func steppedSeam() []byte {
	d := newDrawing(millimetre)
	b := math.Tan(math.Pi / 8) // a quarter turn
	d.polyline("COUNTER", 0, 0, 0, 3000, 0, 0, 3000, 601.9, 0, 888.3, 601.9, -b, 876.3, 613.9, 0, 876.3, 640, 0, 0, 640, 0)
	d.line("SEAM", 1800, 0, 1800, 388)
	d.arc("SEAM", 1812, 388, 12, 90, 180)
	d.line("SEAM", 1812, 400, 1826.1, 400)
	d.arc("SEAM", 1826.1, 412, 12, 270, 360)
	d.line("SEAM", 1838.1, 412, 1838.1, 601.9)
	d.box("CABINET", 0, 0, 3000, 580, 0)
	d.line("FINISHED", 0, 640, 876.3, 640)
	d.line("FINISHED", 888.3, 601.9, 3000, 601.9)
	d.line("WALL", 0, 0, 3000, 0)
	d.text("COUNTER", 100, 100, 40, "LEFT")
	d.text("COUNTER", 1900, 100, 40, "RIGHT")
	return d.bytes()
}

// apronSink runs its sink over the front edge, and leaves something on a layer
// that no role names.
func apronSink() []byte {
	d := newDrawing(millimetre)
	d.box("COUNTER", 0, 0, 2600, 640, 0)
	d.box("SINK", 900, -40, 1700, 540, 15)
	d.circle("TAP HOLE", 1300, 595, 17.5)
	d.box("CABINET", 0, 40, 2600, 640, 0)
	d.line("FINISHED", 0, 0, 900, 0)
	d.line("FINISHED", 1700, 0, 2600, 0)
	d.line("LASER 3", 0, 900, 400, 900)
	d.text("COUNTER", 100, 100, 40, "SCULLERY")
	return d.bytes()
}
