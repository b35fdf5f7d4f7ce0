package report

import (
	"image/color"
	"math"

	"trueup/dxfio/geom"
	"trueup/report/draw"
)

// The inks of all drawings and sheets. Nothing is told by colour alone: lines
// differ in pattern, marks in shape, and words say the same.
type inks struct{ ink, dim, stone, void, support, wall, stop, warn, note, paper color.RGBA }

func drawingInks() inks {
	return inks{
		ink: rgb(0x1c2126), dim: rgb(0x3d4a57), stone: rgb(0xf1ede4), void: rgb(0x9aa3ab), support: rgb(0x7d8f86),
		wall: rgb(0x6b7178), stop: rgb(0xa3201d), warn: rgb(0x8a5a00), note: rgb(0x2f5d7c), paper: rgb(0xffffff),
	}
}

func rgb(v uint32) color.RGBA {
	return color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}
}

// Sizes on paper, mm.
const (
	textSize   = 2.7 // em of a label: about 7.5 points
	thinLine   = 0.18
	edgeLine   = 0.35
	heavyLine  = 0.9
	arrowLong  = 2.2
	arrowHalf  = 0.4
	textMargin = 0.5 // around a label
)

// picture is a drawing under work: where things are on paper and what is taken.
type picture struct {
	canvas   draw.Canvas
	fonts    *draw.Fonts
	placer   *draw.Placer
	settings Settings
	frame    frame
	inks     inks
	labels   []geom.Box // written
}

func newPicture(width, height float64, fonts *draw.Fonts, settings Settings) *picture {
	free := geom.Box{Max: geom.Point{X: width, Y: height - legendHeight}} // for labels
	return &picture{
		canvas: draw.Canvas{Width: width, Height: height}, fonts: fonts, settings: settings, inks: drawingInks(),
		placer: draw.NewPlacer(free.Grow(-0.5)),
	}
}

// frame takes local millimetres to paper millimetres: turned, scaled, and with
// y pointing down.
type frame struct {
	turn   float64    // radians, counter-clockwise
	scale  float64    // paper mm for a mm
	middle geom.Point // of the turned things
	at     geom.Point // where that is on paper
}

func (f frame) point(p geom.Point) geom.Point {
	q := p.Rotate(f.turn).Sub(f.middle).Mul(f.scale)
	return geom.Point{X: f.at.X + q.X, Y: f.at.Y - q.Y}
}

// back takes a point of the paper to local millimetres.
func (f frame) back(p geom.Point) geom.Point {
	q := geom.Point{X: p.X - f.at.X, Y: f.at.Y - p.Y}
	return q.Mul(1 / f.scale).Add(f.middle).Rotate(-f.turn)
}

func (f frame) curve(c geom.Curve) geom.Curve {
	return geom.Curve{A: f.point(c.A), B: f.point(c.B), Bulge: -c.Bulge}
}

func (f frame) curves(cs []geom.Curve) []geom.Curve {
	out := make([]geom.Curve, len(cs))
	for i, c := range cs {
		out[i] = f.curve(c)
	}
	return out
}

// ratios are the scales a drawing may have, 1 to so many.
func ratios() []float64 {
	return []float64{1, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 18, 20, 22, 25, 28, 30, 33, 36, 40, 45, 50, 60, 70, 80, 90, 100, 120, 150, 200, 250, 300, 400, 500, 750, 1000}
}

// fit returns the frame that shows a box of turned things in the middle of the
// area at the largest of the usual scales that leaves it inside, and 1 to what.
func fit(things geom.Box, turn float64, area geom.Box) (frame, float64) {
	need := max(things.Width()/area.Width(), things.Height()/area.Height())
	ratio := math.Ceil(need/1000) * 1000 // beyond the usual ones: whole thousands
	for _, r := range ratios() {
		if r >= need {
			ratio = r
			break
		}
	}
	return frame{turn: turn, scale: 1 / ratio, middle: things.Center(), at: area.Center()}, ratio
}

// label is one or more lines of text in a box.
type label struct {
	lines []string
	bold  bool
	size  float64
	color color.RGBA
}

func (p *picture) size(l label) (width, height float64) {
	for _, s := range l.lines {
		width = max(width, p.fonts.Width(s, l.bold)*l.size)
	}
	return width + 2*textMargin, float64(len(l.lines))*l.size*1.2 + 0.4*textMargin
}

// box returns the label's box with its middle at a point.
func (p *picture) box(l label, at geom.Point) geom.Box {
	w, h := p.size(l)
	return boxAround(at, w, h)
}

// boxes returns the label's boxes with their middles at the points.
func (p *picture) boxes(l label, middles []geom.Point) []geom.Box {
	w, h := p.size(l)
	out := make([]geom.Box, len(middles))
	for i, m := range middles {
		out[i] = boxAround(m, w, h)
	}
	return out
}

func boxAround(at geom.Point, width, height float64) geom.Box {
	half := geom.Point{X: width / 2, Y: height / 2}
	return geom.Box{Min: at.Sub(half), Max: at.Add(half)}
}

// write sets the lines of a label in a box; the ground hides what lies below,
// unless it has no colour.
func (p *picture) write(l label, b geom.Box, ground color.RGBA) {
	p.labels = append(p.labels, b)
	if ground.A != 0 {
		p.canvas.Area([]geom.Loop{draw.Rectangle(b)}, draw.Fill{Color: ground})
	}
	c := b.Center()
	for i, s := range l.lines {
		y := c.Y + (float64(i)-float64(len(l.lines)-1)/2)*l.size*1.2
		p.canvas.Text(draw.Text{Value: s, At: geom.Point{X: c.X, Y: y}, Size: l.size, Bold: l.bold, Color: l.color})
	}
}

// put writes a label at the best of several middles and returns its box. When
// the place chosen is not the first, a line leads to the target.
func (p *picture) put(l label, target geom.Point, middles []geom.Point, ground color.RGBA) geom.Box {
	boxes := p.boxes(l, middles)
	i := p.placer.Place(boxes, math.Inf(1))
	b := boxes[i]
	if i > 0 && b.Distance(target) > 1 {
		end := nearestOf(b, target)
		p.canvas.Line(target, end, p.thin())
		p.placer.Avoid([]geom.Curve{geom.Line(target, end)}, 1)
		p.dot(target)
	}
	p.write(l, b, ground)
	return b
}

func nearestOf(b geom.Box, p geom.Point) geom.Point {
	return geom.Point{X: min(max(p.X, b.Min.X), b.Max.X), Y: min(max(p.Y, b.Min.Y), b.Max.Y)}
}

// within returns places in a box for the middle of a label of the size, the
// middle of the box first, then outward.
func within(room geom.Box, width, height float64) []geom.Point {
	c := room.Center()
	dx, dy := max(0, (room.Width()-width)/2-1), max(0, (room.Height()-height)/2-1)
	out := []geom.Point{c}
	for _, k := range [...]float64{0.35, 0.7, 1} {
		for _, d := range [...]geom.Point{{Y: -1}, {Y: 1}, {X: -1}, {X: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}, {X: -1, Y: 1}, {X: 1, Y: 1}} {
			out = append(out, geom.Point{X: c.X + k*d.X*dx, Y: c.Y + k*d.Y*dy})
		}
	}
	return out
}

// around returns the point and places about it at growing distances, for a label
// of the size.
func around(at geom.Point, width, height float64) []geom.Point {
	out := []geom.Point{at}
	for _, gap := range [...]float64{2, 5, 9, 14, 20, 28, 38} {
		for _, d := range [...]geom.Point{{X: 1}, {X: -1}, {Y: -1}, {Y: 1}, {X: 1, Y: -1}, {X: -1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}} {
			out = append(out, geom.Point{X: at.X + d.X*(width/2+gap), Y: at.Y + d.Y*(height/2+gap)})
		}
	}
	return out
}

func (p *picture) thin() draw.Pen { return draw.Pen{Color: p.inks.dim, Width: thinLine} }

func (p *picture) dot(at geom.Point) {
	c := geom.Circle(at, 0.35)
	p.canvas.Area([]geom.Loop{c}, draw.Fill{Color: p.inks.dim})
	p.canvas.Curves(c, draw.Pen{Color: p.inks.dim, Width: 0.1})
}

// arrow draws an arrow head with its tip at a point, pointing along a unit direction.
func (p *picture) arrow(tip, along geom.Point) {
	back := tip.Sub(along.Mul(arrowLong))
	side := along.Left().Mul(arrowHalf)
	head := geom.Polygon(tip, back.Add(side), back.Sub(side))
	p.canvas.Area([]geom.Loop{head}, draw.Fill{Color: p.inks.dim})
	p.canvas.Curves(head, draw.Pen{Color: p.inks.dim, Width: 0.1})
}
