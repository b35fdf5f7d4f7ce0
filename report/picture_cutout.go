package report

import (
	"image/color"
	"strings"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/report/draw"
)

func rgbNone() color.RGBA { return color.RGBA{} }

// cutoutLabel is a cutout's label that waits for a place outside it.
type cutoutLabel struct {
	cutout *piece.Cutout
	at     geom.Point
}

// insideCutouts names each opening inside it, with as much as there is room for,
// and returns those that have no room even for their name.
func (d *pieceWork) insideCutouts() []cutoutLabel {
	var outside []cutoutLabel
	for i := range d.piece.Cutouts {
		c := &d.piece.Cutouts[i]
		if i >= mostCutouts {
			d.notes = append(d.notes, "further cutouts are without labels: see sheet Cutouts")
			break
		}
		room := geom.Loop(d.frame.curves(d.open(c).Loop)).Box()
		if c.Diameter > 0 && d.parts[c.ID] == nil {
			d.centreMark(room.Center(), c.Diameter/2*d.frame.scale)
		}
		if !d.insideCutout(c, room) {
			outside = append(outside, cutoutLabel{c, room.Center()})
		}
	}
	return outside
}

func (d *pieceWork) insideCutout(c *piece.Cutout, room geom.Box) bool {
	for _, lines := range d.cutoutLines(c) {
		l := label{lines: lines, size: textSize, color: d.inks.ink}
		w, h := d.size(l)
		if w > room.Width()-2 || h > room.Height()-2 {
			continue
		}
		boxes := d.boxes(l, within(room, w, h))
		if n := d.placer.Place(boxes, mostHidden); n >= 0 {
			d.write(l, boxes[n], d.inks.paper)
			return true
		}
	}
	return false
}

// mostHidden is the cost up to which a label still stands inside its cutout.
const mostHidden = 5

// outsideCutouts names openings beside them, with a line to each.
func (d *pieceWork) outsideCutouts(labels []cutoutLabel) {
	for _, o := range labels {
		lines := d.cutoutLines(o.cutout)
		l := label{lines: lines[len(lines)-1], size: textSize, color: d.inks.ink}
		w, h := d.size(l)
		middles := around(o.at, w, h)[1:]
		b := d.box(l, middles[d.place(l, middles)])
		d.canvas.Line(o.at, nearestOf(b, o.at), d.thin())
		d.write(l, b, rgbNone())
	}
}

// cutID shortens the id of a cutout to a width in ems so that its number stays, which
// tells it from the others of its piece: SINK RUN LEFT…-2.
func cutID(fonts *draw.Fonts, id string, bold bool, width float64) string {
	at := strings.LastIndexByte(id, '-')
	if at < 0 || fonts.Width(id, bold) <= width {
		return fonts.Cut(id, bold, width)
	}
	return fonts.Cut(id[:at], bold, width-fonts.Width(id[at:], bold)) + id[at:]
}

// cutoutLines returns what a cutout's label may say, the fullest first.
func (d *pieceWork) cutoutLines(c *piece.Cutout) [][]string {
	id := cutID(d.fonts, c.ID, false, 14)
	name := id + " " + string(c.Kind)
	if part := d.parts[c.ID]; part != nil {
		return d.partLines(id, c, part)
	}
	if c.Diameter > 0 {
		return [][]string{{name + " Ø " + d.settings.label(c.Diameter)}}
	}
	r := geom.SmallestRectangle(c.Loop)
	size, corners := d.sizeLines(r.Length, r.Width), d.cornersLine(c)
	full := append([]string{name}, size...)
	return [][]string{
		append(append([]string{}, full...), corners), full, append([]string{id, string(c.Kind)}, size...), {name}, {id, string(c.Kind)}, {id},
	}
}

// partLines is cutoutLines for a cutout that a seam divides: the size of what is
// cut from this piece, and that it is a part.
func (d *pieceWork) partLines(id string, c *piece.Cutout, part *cutoutPart) [][]string {
	size := d.sizeLines(part.length, part.width)
	full := append([]string{id + " " + string(c.Kind) + ", part,", "divided by", dividedBy(part.seams)}, size...)
	short := append([]string{id, string(c.Kind) + ", part"}, size...)
	return [][]string{append(append([]string{}, full...), d.cornersLine(c)), full, short, {id, "part"}, {id}}
}

func (d *pieceWork) sizeLines(length, width float64) []string {
	if d.settings.Units == UnitsBoth {
		return []string{mmText(length) + " × " + mmText(width), "[" + inchText(length) + " × " + inchText(width) + "]"}
	}
	return []string{d.settings.label(length) + " × " + d.settings.label(width)}
}

func (d *pieceWork) cornersLine(c *piece.Cutout) string {
	if radius := c.MinRadius(); radius > 0 {
		return "least R " + d.settings.label(radius)
	}
	return "sharp corners"
}

// open is the opening of a cutout in this piece: of a divided one its part here.
func (d *pieceWork) open(c *piece.Cutout) *piece.Cutout {
	if part := d.parts[c.ID]; part != nil {
		return part.asCutout(c)
	}
	return c
}

// centreMark draws the cross of a drilled hole.
func (p *picture) centreMark(at geom.Point, radius float64) {
	r := max(radius, 0.8) + 0.8
	p.canvas.Line(geom.Point{X: at.X - r, Y: at.Y}, geom.Point{X: at.X + r, Y: at.Y}, p.thin())
	p.canvas.Line(geom.Point{X: at.X, Y: at.Y - r}, geom.Point{X: at.X, Y: at.Y + r}, p.thin())
}

// cutoutOffsets dimensions each cutout from two edges.
func (d *pieceWork) cutoutOffsets() {
	for i := range d.piece.Cutouts {
		if i >= mostCutouts {
			return
		}
		c := &d.piece.Cutouts[i]
		for _, o := range offsets(d.template, d.piece, c) {
			if o.distance*d.frame.scale < leastShown {
				continue
			}
			a, b := d.frame.point(o.from), d.frame.point(o.to)
			along := b.Sub(a).Unit()
			out := along.Left()
			d.dimension(dimension{
				a: a, b: b, along: along, outward: out, mm: o.distance, ground: d.ground,
				offsets: d.slides(d.open(c), out),
			})
		}
	}
}

// leastShown is the length on paper below which a dimension shows nothing, mm;
// the figures beside the drawing have it.
const leastShown = 0.5

// slides returns by how much the dimension of a cutout may stand aside: along
// its straight side, or a little beside the centre of a hole.
func (d *pieceWork) slides(c *piece.Cutout, out geom.Point) []float64 {
	const step, most = 3.5, 9
	reach := 10.5
	if c.Diameter == 0 {
		low, high := geom.Loop(d.frame.curves(c.Loop)).Extent(out)
		reach = 0.4 * (high - low)
	}
	slides := []float64{0}
	for i := 1; i <= most && float64(i)*step <= reach; i++ {
		slides = append(slides, float64(i)*step, -float64(i)*step)
	}
	return slides
}
