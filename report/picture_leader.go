package report

import (
	"math"
	"strconv"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// radii writes the radius of each size of arc once, with how many there are.
func (d *pieceWork) radii() {
	type group struct {
		edge  piece.Edge
		count int
	}
	var order []string
	groups := map[string]*group{}
	for _, e := range d.piece.Edges {
		if e.Kind != piece.ArcEdge {
			continue
		}
		key := mmText(e.Curves[0].Radius())
		if groups[key] == nil {
			groups[key] = &group{edge: e}
			order = append(order, key)
		}
		groups[key].count++
	}
	for _, key := range order {
		if len(order) > mostDimensions {
			d.notes = append(d.notes, "radii are left out: see sheet Edges")
			return
		}
		g := groups[key]
		text := "R " + d.settings.label(g.edge.Curves[0].Radius())
		if g.count > 1 {
			text = strconv.Itoa(g.count) + "× " + text
		}
		c := d.frame.curve(g.edge.Curves[0])
		d.leader(text, c.At(0.5), outward(c, 0.5))
	}
}

// leader writes a text beside a curve with an arrow to it, outside if it can be.
func (d *pieceWork) leader(text string, at, out geom.Point) {
	l := label{lines: []string{text}, size: textSize, color: d.inks.ink}
	w, h := d.size(l)
	var middles []geom.Point
	for _, side := range [...]float64{1, -1} {
		for _, gap := range [...]float64{4, 7, 11, 16, 22} {
			for _, turn := range [...]float64{0, 0.5, -0.5, 0.9, -0.9, 1.3, -1.3} {
				dir := out.Rotate(turn).Mul(side)
				reach := (math.Abs(dir.X)*w+math.Abs(dir.Y)*h)/2 + gap
				middles = append(middles, at.Add(dir.Mul(reach)))
			}
		}
	}
	b := d.placeLed(l, middles, at)
	end := nearestOf(b, at)
	d.canvas.Line(end, at, d.thin())
	d.arrow(at, at.Sub(end).Unit())
	d.placer.Avoid([]geom.Curve{geom.Line(end, at)}, 1)
	d.write(l, b, rgbNone())
}

// steps marks the steps of the piece's seams.
func (d *pieceWork) steps(t *piece.Template) {
	for _, s := range t.Seams {
		for _, step := range s.Steps {
			if step.Piece != d.piece.ID || len(d.notes) > mostDimensions {
				continue
			}
			at := d.frame.point(step.Place)
			d.leader(d.fonts.Cut(s.ID, false, 8)+" step "+d.settings.label(step.Depth)+" at "+d.settings.label(step.At), at, at.Sub(d.frame.at).Unit())
		}
	}
}

// placeLed takes the box for a label with a line from it to a place, so that
// neither hides another label.
func (p *picture) placeLed(l label, middles []geom.Point, at geom.Point) geom.Box {
	best, least := geom.Box{}, math.Inf(1)
	for _, m := range middles {
		b := p.box(l, m)
		cost := p.placer.Cost(b) + crossingCost*p.placer.Crossed(nearestOf(b, at), at)
		if cost < least {
			best, least = b, cost
		}
		if cost == 0 {
			break
		}
	}
	p.placer.Take(best)
	return best
}
