package report

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"trueup/dxfio/geom"
	"trueup/report/draw"
	"trueup/rules"
)

// dotRadius of a flag's place on paper, mm.
const dotRadius = 0.6

// dotWeight keeps names off a flag's dot nearly as much as off other labels: the
// dot and its number belong together, a name may stand anywhere in its piece.
const dotWeight = 9

// flagged works out where the flags are, and keeps all labels off these places.
func (d *templateWork) flagged() {
	for i, f := range d.result.Flags {
		if i >= mostMarks {
			d.notes = append(d.notes, fmt.Sprintf("flags after %s are not marked: see sheet Flags", d.result.Flags[mostMarks-1].ID))
			return
		}
		at := d.local(f.At)
		if at.Finite() {
			at = geom.Point{X: min(max(at.X, 1), d.canvas.Width-1), Y: min(max(at.Y, 1), d.canvas.Height-legendHeight-1)}
			d.placer.AvoidArea(boxAround(at, 4*dotRadius, 4*dotRadius), dotWeight)
		}
		d.places = append(d.places, at)
	}
}

// marks sets a numbered mark beside each flag's place, its shape telling the
// severity, with a line to the place.
func (d *templateWork) marks() {
	for i, at := range d.places {
		f := &d.result.Flags[i]
		if !at.Finite() {
			continue
		}
		middle := d.markPlace(at)
		ink := d.severityInk(f.Severity)
		d.canvas.Line(at, middle, draw.Pen{Color: ink, Width: 0.25})
		for _, q := range append([]geom.Point{at}, d.further(f)...) {
			d.canvas.Area([]geom.Loop{geom.Circle(q, dotRadius)}, draw.Fill{Color: ink})
			d.canvas.Curves(geom.Circle(q, dotRadius), draw.Pen{Color: ink, Width: 0.1})
		}
		d.mark(f.Severity, strings.TrimPrefix(f.ID, "F"), middle)
	}
}

// crossedCost is the cost of a millimetre of a mark's line in a label, in mm2 of
// label hidden: a line through a letter makes another letter of it.
const crossedCost = 10

// markPlace takes the place for the mark of a flag that hides least, itself and
// with the line that leads to it, and returns its middle.
func (d *templateWork) markPlace(at geom.Point) geom.Point {
	const room = 4.8
	best, least := at, math.Inf(1)
	for _, m := range around(at, room, room)[1:] {
		cost := d.placer.Cost(boxAround(m, room, room))
		if cost < least {
			cost += crossedCost * d.placer.Crossed(at, m)
		}
		if cost < least {
			best, least = m, cost
		}
		if least == 0 {
			break
		}
	}
	d.placer.Take(boxAround(best, room, room))
	d.placer.Avoid([]geom.Curve{geom.Line(at, best)}, 1)
	return best
}

// mostFurther bounds the dots of one flag.
const mostFurther = 100

// further returns the other places of a flag on paper, ringed so that a dot
// without a number is seen to belong to one.
func (d *templateWork) further(f *Flag) []geom.Point {
	var out []geom.Point
	for _, p := range f.Further {
		if q := d.local(p); q.Finite() && len(out) < mostFurther {
			d.canvas.Curves(geom.Circle(q, 1.4), draw.Pen{Color: d.severityInk(f.Severity), Width: 0.25})
			out = append(out, q)
		}
	}
	return out
}

func (p *picture) severityInk(severity string) color.RGBA {
	switch rules.Severity(severity) {
	case rules.Stop:
		return p.inks.stop
	case rules.Warn:
		return p.inks.warn
	}
	return p.inks.note
}

// mark draws a flag's mark: stop an octagon, warn a square on its corner, note a
// circle; the first filled, the others outlined.
func (p *picture) mark(severity, number string, at geom.Point) {
	const r = 2.2
	ink := p.severityInk(severity)
	shape, ground, text := geom.Circle(at, r), p.inks.paper, ink
	switch rules.Severity(severity) {
	case rules.Stop:
		shape, ground, text = corners(at, r*1.05, 8, math.Pi/8), ink, p.inks.paper
	case rules.Warn:
		shape = corners(at, r*1.25, 4, 0)
	}
	p.canvas.Area([]geom.Loop{shape}, draw.Fill{Color: ground})
	p.canvas.Curves(shape, draw.Pen{Color: ink, Width: 0.35})
	size := 2.5
	if len(number) > 2 {
		size = 1.9
	}
	p.canvas.Text(draw.Text{Value: number, At: at, Size: size, Bold: true, Color: text})
}

// corners returns a regular polygon around a point.
func corners(at geom.Point, radius float64, n int, turn float64) geom.Loop {
	points := make([]geom.Point, n)
	for i := range points {
		s, c := math.Sincos(turn + 2*math.Pi*float64(i)/float64(n))
		points[i] = geom.Point{X: at.X + radius*c, Y: at.Y + radius*s}
	}
	return geom.Polygon(points...)
}
