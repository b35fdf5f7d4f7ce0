package report

import (
	"image/color"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

func rgbNone() color.RGBA { return color.RGBA{} }

// cutouts names each opening with its size.
func (d *pieceWork) cutouts() {
	for i := range d.piece.Cutouts {
		c := &d.piece.Cutouts[i]
		if i >= mostCutouts {
			d.notes = append(d.notes, "further cutouts are without labels: see sheet Cutouts")
			return
		}
		at := d.frame.point(c.Loop.Centroid())
		l := label{lines: d.cutoutLines(c), size: textSize, color: d.inks.ink}
		w, h := d.size(l)
		room := geom.Loop(d.frame.curves(c.Loop)).Box()
		inside, middles, ground := w < room.Width()-2 && h < room.Height()-2, around(at, w, h)[1:], rgbNone()
		if inside {
			middles, ground = within(room, w, h), d.inks.paper
		}
		b := d.box(l, middles[d.place(l, middles)])
		if !inside {
			d.canvas.Line(at, nearestOf(b, at), d.thin())
		}
		d.write(l, b, ground)
		if c.Diameter > 0 {
			d.centreMark(d.frame.point(c.Loop.Centroid()), c.Diameter/2*d.frame.scale)
		}
	}
}

func (d *pieceWork) cutoutLines(c *piece.Cutout) []string {
	name := d.fonts.Cut(c.ID+" "+string(c.Kind), false, 18)
	if c.Diameter > 0 {
		return []string{name + " Ø " + d.settings.label(c.Diameter)}
	}
	r := geom.SmallestRectangle(c.Loop)
	lines := []string{name}
	switch d.settings.Units {
	case UnitsBoth:
		lines = append(lines, mmText(r.Length)+" × "+mmText(r.Width), "["+inchText(r.Length)+" × "+inchText(r.Width)+"]")
	default:
		lines = append(lines, d.settings.label(r.Length)+" × "+d.settings.label(r.Width))
	}
	if radius := smallestRadius(c.Loop); radius > 0 {
		return append(lines, "least R "+d.settings.label(radius))
	}
	return append(lines, "sharp corners")
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
		for _, o := range offsets(d.piece, c) {
			if o.distance*d.frame.scale < 0.5 {
				continue // shown on the sheet; on paper there is nothing to see
			}
			a, b := d.frame.point(o.from), d.frame.point(o.to)
			along := b.Sub(a).Unit()
			out := along.Left()
			d.dimension(dimension{
				a: a, b: b, along: along, outward: out, mm: o.distance, ground: d.ground,
				offsets: d.slides(c, out),
			})
		}
	}
}

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
