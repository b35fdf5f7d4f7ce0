package report

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/report/draw"
)

// Most that is labelled in the drawing of a whole template.
const (
	mostMarks  = 150
	mostPieces = 200
)

// templateDrawing draws everything a template holds with the numbered flags.
// It returns the drawing and its scale (1 to so many).
func templateDrawing(t *piece.Template, r *Result, fonts *draw.Fonts, s Settings, width, height float64) (*draw.Canvas, float64) {
	d, ratio := newTemplateWork(t, r, fonts, s, width, height)
	for i := range t.Pieces {
		d.canvas.Area([]geom.Loop{d.frame.curves(t.Pieces[i].Outline)}, draw.Fill{Color: d.inks.stone})
	}
	d.supports()
	d.pieces()
	d.seams()
	d.witnesses()
	d.names()
	d.marks()
	entries := []legendEntry{stopEntry, warnEntry, noteEntry, finishedEntry, seamEntry}
	if t.HasSupport {
		entries = append(entries, supportEntry)
	}
	if len(t.Openings) > 0 {
		entries = append(entries, openingEntry)
	}
	d.legend(ratio, d.notes, entries)
	return &d.canvas, ratio
}

// newTemplateWork starts the drawing: its frame, and where the flags are.
func newTemplateWork(t *piece.Template, r *Result, fonts *draw.Fonts, s Settings, width, height float64) (*templateWork, float64) {
	pic := newPicture(width, height, fonts, s)
	area := geom.Box{Min: geom.Point{X: 9, Y: 8}, Max: geom.Point{X: width - 9, Y: height - legendHeight - 8}}
	things := geom.EmptyBox()
	for i := range t.Pieces {
		things = things.Union(t.Pieces[i].Outline.Box())
	}
	if things.Empty() {
		things = geom.Box{Max: geom.Point{X: 1000, Y: 1000}}
	}
	var ratio float64
	pic.frame, ratio = fit(things, 0, area)
	d := &templateWork{picture: pic, template: t, result: r}
	d.flagged()
	return d, ratio
}

// templateWork is the drawing of a template under work.
type templateWork struct {
	*picture
	template *piece.Template
	result   *Result
	notes    []string
	places   []geom.Point // of the flags that are marked, on paper; in order of the flags
}

func (d *templateWork) supports() {
	for _, s := range d.template.Supports {
		if len(s.Area) == 0 {
			d.canvas.Curves(d.frame.curves(s.Line), draw.Pen{Color: d.inks.support, Width: 0.5, Dash: []float64{2, 1}})
			continue
		}
		loops := []geom.Loop{d.frame.curves(s.Area)}
		for _, h := range s.Holes {
			loops = append(loops, d.frame.curves(h))
		}
		d.supportArea(loops)
	}
	for _, o := range d.template.Openings {
		d.openingArea(d.frame.curves(o.Area))
	}
	d.canvas.Curves(d.frame.curves(d.template.Walls), draw.Pen{Color: d.inks.wall, Width: 0.7})
}

func (p *picture) supportArea(loops []geom.Loop) {
	p.canvas.Area(loops, draw.Fill{Color: p.inks.support, Spacing: 1.5, Rising: true})
	for _, l := range loops {
		p.canvas.Curves(l, draw.Pen{Color: p.inks.support, Width: thinLine, Dash: []float64{2, 1}})
	}
}

// openingArea draws a place without support: blank, dashed, crossed out.
func (p *picture) openingArea(l geom.Loop) {
	pen := draw.Pen{Color: p.inks.wall, Width: thinLine, Dash: []float64{1, 0.8}}
	p.canvas.Curves(l, pen)
	b := l.Box()
	p.canvas.Line(b.Min, b.Max, pen)
	p.canvas.Line(geom.Point{X: b.Min.X, Y: b.Max.Y}, geom.Point{X: b.Max.X, Y: b.Min.Y}, pen)
}

func (d *templateWork) pieces() {
	for i := range d.template.Pieces {
		p := &d.template.Pieces[i]
		for _, c := range p.Cutouts {
			if c.OverEdge {
				continue
			}
			l := d.frame.curves(c.Loop)
			d.canvas.Area([]geom.Loop{l}, draw.Fill{Color: d.inks.paper})
			d.canvas.Area([]geom.Loop{l}, draw.Fill{Color: d.inks.void, Spacing: 1.2})
			d.canvas.Curves(l, draw.Pen{Color: d.inks.ink, Width: 0.25})
			d.placer.AvoidArea(geom.Loop(l).Box(), 0.3)
		}
		for _, e := range p.Edges {
			curves := d.frame.curves(e.Curves)
			pen := draw.Pen{Color: d.inks.ink, Width: 0.3}
			switch e.Finish {
			case piece.Finished:
				pen.Width = 0.7
			case piece.SeamEdge:
				pen = draw.Pen{Color: d.inks.ink, Width: 0.4, Dash: []float64{3, 0.9, 0.6, 0.9}}
			}
			d.canvas.Curves(curves, pen)
			d.placer.Avoid(curves, 1)
		}
	}
}

func (d *templateWork) seams() {
	for _, s := range d.template.Seams {
		chain := d.frame.curves(s.Chains[0])
		if len(chain) == 0 {
			continue
		}
		at := chain[len(chain)/2].At(0.5)
		l := label{lines: []string{d.fonts.Cut(s.ID, true, 8)}, size: 2.4, bold: true, color: d.inks.ink}
		w, h := d.size(l)
		d.put(l, at, around(at, w, h)[1:], d.inks.paper)
	}
}

// witnesses draws the lines that show what was measured, below all labels.
func (d *templateWork) witnesses() {
	for i, f := range d.result.Flags {
		if i >= mostMarks || len(f.Witness) != 2 {
			continue
		}
		pen := draw.Pen{Color: d.severityInk(f.Severity), Width: 0.6}
		a, b := d.local(f.Witness[0]), d.local(f.Witness[1])
		d.canvas.Line(a, b, pen)
		if a.Distance(b) > 1.5 { // ends square to the line
			side := b.Sub(a).Unit().Left().Mul(0.8)
			d.canvas.Line(a.Add(side), a.Sub(side), pen)
			d.canvas.Line(b.Add(side), b.Sub(side), pen)
		}
		d.placer.Avoid([]geom.Curve{geom.Line(a, b)}, 2)
	}
}

// local takes a place of the result to paper.
func (d *templateWork) local(at XY) geom.Point {
	return d.frame.point(geom.Point{X: at[0], Y: at[1]}.Sub(d.template.Shift))
}

// names writes each piece's id and size where it is free.
func (d *templateWork) names() {
	for i := range d.template.Pieces {
		if i >= mostPieces || i >= len(d.result.Pieces) {
			d.notes = append(d.notes, "further pieces are without names")
			return
		}
		p, r := &d.template.Pieces[i], &d.result.Pieces[i]
		id := label{lines: []string{d.fonts.Cut(p.ID, true, 14)}, size: 4, bold: true, color: d.inks.ink}
		size := label{lines: []string{mmText(r.Length) + " × " + mmText(r.Width)}, size: 2.3, color: d.inks.ink}
		if !d.settings.metric() {
			size.lines[0] = inchText(r.Length) + " × " + inchText(r.Width)
		}
		iw, ih := d.size(id)
		sw, sh := d.size(size)
		// Both stand together: the box of the two is placed, then divided.
		w, h := max(iw, sw), ih+sh
		var boxes []geom.Box
		for _, m := range d.middles(p, w, h) {
			boxes = append(boxes, geom.Box{Min: geom.Point{X: m.X - w/2, Y: m.Y - h/2}, Max: geom.Point{X: m.X + w/2, Y: m.Y + h/2}})
		}
		b := boxes[d.placer.Place(boxes, math.Inf(1))]
		mid := b.Center()
		d.write(id, d.box(id, geom.Point{X: mid.X, Y: b.Min.Y + ih/2}), rgbNone())
		d.write(size, d.box(size, geom.Point{X: mid.X, Y: b.Max.Y - sh/2}), rgbNone())
	}
}

// middles returns places for a piece's name: inside it, the middle first, then
// around it.
func (d *templateWork) middles(p *piece.Piece, width, height float64) []geom.Point {
	box := p.Outline.Box()
	paper := geom.Loop(d.frame.curves(p.Outline)).Box()
	var out []geom.Point
	const parts = 6
	for i := 1; i < parts; i++ {
		for j := 1; j < parts; j++ {
			q := geom.Point{X: box.Min.X + box.Width()*float64(i)/parts, Y: box.Min.Y + box.Height()*float64(j)/parts}
			if p.Outline.Locate(q) == geom.Inside {
				out = append(out, d.frame.point(q))
			}
		}
	}
	middle := paper.Center()
	slices.SortStableFunc(out, func(a, b geom.Point) int { return cmp.Compare(a.Distance(middle), b.Distance(middle)) })
	for _, gap := range [...]float64{1.5, 4, 8} {
		out = append(out,
			geom.Point{X: middle.X, Y: paper.Min.Y - height/2 - gap}, geom.Point{X: middle.X, Y: paper.Max.Y + height/2 + gap},
			geom.Point{X: paper.Min.X - width/2 - gap, Y: middle.Y}, geom.Point{X: paper.Max.X + width/2 + gap, Y: middle.Y})
	}
	return out
}
