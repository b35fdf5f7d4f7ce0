package report

import (
	"image/color"
	"math"

	"trueup/dxfio/geom"
)

// dimension is a distance shown between two points on paper.
type dimension struct {
	a, b    geom.Point                  // what it is measured between, paper
	along   geom.Point                  // unit direction it is measured in
	outward geom.Point                  // unit direction its line lies in, square to along
	mm      float64                     // what it says
	ground  func(geom.Point) color.RGBA // below a text there
	offsets []float64                   // distances of the line from a and b to try, mm
	thickly bool                        // overall: bold
	aside   bool                        // the line keeps its text clear of a and b
}

// ends returns the ends of the dimension line at a distance.
func (d dimension) ends(distance float64) (geom.Point, geom.Point) {
	base := max(d.a.Dot(d.outward), d.b.Dot(d.outward)) + distance
	return d.a.Add(d.outward.Mul(base - d.a.Dot(d.outward))), d.b.Add(d.outward.Mul(base - d.b.Dot(d.outward)))
}

// besideLine is the room between a dimension's line and a text beside it, mm.
const besideLine = 0.9

// crossingCost is what a millimetre of dimension line through a label costs.
const crossingCost = 6

// middles returns where the text may stand for a line: in it, or beside its ends.
func (p *picture) middles(l label, a, b, along, outward geom.Point) []geom.Point {
	w, h := p.size(l)
	half := (math.Abs(along.X)*w + math.Abs(along.Y)*h) / 2
	rise := (math.Abs(outward.X)*w+math.Abs(outward.Y)*h)/2 + besideLine
	mid := a.Lerp(b, 0.5)
	var out []geom.Point
	if a.Distance(b) > 2*half+2*arrowLong+1 {
		out = append(out, mid, a.Lerp(b, 0.35), a.Lerp(b, 0.65))
	}
	out = append(out, mid.Add(outward.Mul(rise)))
	beyond := half + arrowLong + 2
	return append(out, b.Add(along.Mul(beyond)), a.Sub(along.Mul(beyond)))
}

// dimension draws a dimension at the offset and text place that hide least.
func (p *picture) dimension(d dimension) {
	l := label{lines: []string{p.settings.label(d.mm)}, size: textSize, color: p.inks.ink, bold: d.thickly}
	if p.settings.Units == UnitsBoth && math.Abs(d.along.Y) > math.Sqrt2/2 {
		l.lines = []string{mmText(d.mm), "[" + inchText(d.mm) + "]"} // an upright line has room for two
	}
	w, h := p.size(l)
	clear := (math.Abs(d.outward.X)*w+math.Abs(d.outward.Y)*h)/2 + 1
	best, at, offset := math.Inf(1), geom.Box{}, 0.0
	for i, o := range d.offsets {
		if d.aside {
			o = max(o, clear)
		}
		a, b := d.ends(o)
		along := b.Sub(a).Unit()
		line := p.placer.Crossed(a, b) * crossingCost
		for _, m := range p.middles(l, a, b, along, d.outward) {
			box := p.box(l, m)
			cost := p.placer.Cost(box) + line + 0.5*float64(i)
			if cost < best {
				best, at, offset = cost, box, o
			}
		}
	}
	a, b := d.ends(offset)
	p.dimensionLine(d, a, b, at)
	p.write(l, at, d.ground(at.Center()))
	p.placer.Take(at)
	p.placer.Avoid([]geom.Curve{geom.Line(a, b)}, 0.6)
}

// dimensionLine draws extension lines, the line itself and its arrows; too short
// a line has its arrows outside, pointing in.
func (p *picture) dimensionLine(d dimension, a, b geom.Point, text geom.Box) {
	pen := p.thin()
	for _, e := range [2][2]geom.Point{{d.a, a}, {d.b, b}} {
		if e[0].Distance(e[1]) > 0.8 {
			from, to := e[0].Add(d.outward.Mul(0.7)), e[1].Add(d.outward.Mul(1.2))
			p.canvas.Line(from, to, pen)
			p.placer.Avoid([]geom.Curve{geom.Line(from, to)}, 0.6)
		}
	}
	along := b.Sub(a).Unit()
	tail := along.Mul(arrowLong + 1.5)
	if a.Distance(b) >= 3*arrowLong {
		p.canvas.Line(a, b, pen)
		p.arrow(b, along)
		p.arrow(a, along.Mul(-1))
	} else {
		p.canvas.Line(a.Sub(tail), b.Add(tail), pen)
		p.arrow(a, along)
		p.arrow(b, along.Mul(-1))
	}
	// A text beyond an end stands on the lengthened line.
	c := text.Center()
	if t := c.Sub(b).Dot(along); t > arrowLong {
		p.canvas.Line(b, nearestOf(text, b), pen)
	} else if t := a.Sub(c).Dot(along); t > arrowLong {
		p.canvas.Line(a, nearestOf(text, a), pen)
	}
}
