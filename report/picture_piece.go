package report

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/report/draw"
)

// Most that is labelled in a piece's drawing; the rest stands in the tables, and
// a note below the drawing says so.
const (
	mostLabelledEdges = 80
	mostDimensions    = 40
	mostCutouts       = 40
	legendHeight      = 14.0 // mm, below the drawing
	dimensionRoom     = 21.0 // mm, on each side of the piece
	numberSize        = 2.5  // em of an edge number, mm
)

// pieceDrawing draws one piece to scale for the shop: edges with number and
// finish, dimensions, cutouts set out from two edges, steps of its seams and the
// centre of gravity. It returns the drawing, its scale (1 to so many) and the
// turn against the template in degrees.
func pieceDrawing(t *piece.Template, p *piece.Piece, centroid geom.Point, fonts *draw.Fonts, s Settings, width, height float64) (*draw.Canvas, float64, float64) {
	d, ratio, turn := newPieceWork(t, p, centroid, fonts, s, width, height)
	return &d.canvas, ratio, turn * 180 / math.Pi
}

func newPieceWork(t *piece.Template, p *piece.Piece, centroid geom.Point, fonts *draw.Fonts, s Settings, width, height float64) (*pieceWork, float64, float64) {
	pic := newPicture(width, height, fonts, s)
	area := geom.Box{
		Min: geom.Point{X: dimensionRoom, Y: dimensionRoom * 0.8},
		Max: geom.Point{X: width - dimensionRoom, Y: height - legendHeight - dimensionRoom*0.8},
	}
	turn := bestTurn(p.Outline, area)
	var ratio float64
	pic.frame, ratio = fit(p.Outline.Rotate(turn).Box(), turn, area)
	d := &pieceWork{picture: pic, piece: p, template: t, parts: map[string]*cutoutPart{}}
	for i := range p.Cutouts {
		if part := partOf(t, p, &p.Cutouts[i]); part != nil {
			d.parts[p.Cutouts[i].ID] = part
		}
	}
	d.stone()
	pic.placer.Take(geom.EmptyBox().Extend(pic.frame.point(centroid)).Grow(2.2))
	// What has few places comes first; what a line can lead to comes last.
	outside := d.insideCutouts()
	d.edges()
	d.overall()
	d.edgeDimensions()
	d.cutoutOffsets()
	d.outsideCutouts(outside)
	d.radii()
	d.steps(t)
	d.gravity(centroid)
	pic.legend(ratio, d.notes, []legendEntry{finishedEntry, wallEntry, seamEntry, plainEntry, gravityEntry})
	return d, ratio, turn
}

// uprightTurn is the angle within which a piece counts as drawn upright.
const uprightTurn = 0.01 * math.Pi / 180

// bestTurn lays the piece's long side along or across the paper: as near to how
// it is drawn as possible, unless the other way shows it larger.
func bestTurn(l geom.Loop, area geom.Box) float64 {
	angle := geom.SmallestRectangle(l).AngleDeg * math.Pi / 180
	turns := make([]float64, 0, 2)
	for _, a := range [2]float64{-angle, math.Pi/2 - angle} {
		a = math.Mod(a+2*math.Pi, math.Pi)
		if a > math.Pi/2 {
			a -= math.Pi
		}
		if math.Abs(a) < uprightTurn {
			a = 0
		}
		turns = append(turns, a)
	}
	if math.Abs(turns[1]) < math.Abs(turns[0]) {
		turns[0], turns[1] = turns[1], turns[0]
	}
	need := func(turn float64) float64 {
		b := l.Rotate(turn).Box()
		return max(b.Width()/area.Width(), b.Height()/area.Height())
	}
	const worthTurning = 1.25 // times larger
	if need(turns[0]) > worthTurning*need(turns[1]) {
		return turns[1]
	}
	return turns[0]
}

// pieceWork is a piece's drawing under work.
type pieceWork struct {
	*picture
	piece    *piece.Piece
	template *piece.Template
	parts    map[string]*cutoutPart // of the cutouts that a seam divides, by id
	notes    []string
	shown    map[string]bool // dimensions drawn, by direction and ends
}

func (d *pieceWork) stone() {
	loops := []geom.Loop{d.frame.curves(d.piece.Outline)}
	d.canvas.Area(loops, draw.Fill{Color: d.inks.stone})
	for _, c := range d.piece.Cutouts {
		if c.OverEdge {
			continue
		}
		l := []geom.Loop{d.frame.curves(c.Loop)}
		d.canvas.Area(l, draw.Fill{Color: d.inks.paper})
		d.canvas.Area(l, draw.Fill{Color: d.inks.void, Spacing: 1.6})
		d.canvas.Curves(l[0], draw.Pen{Color: d.inks.ink, Width: edgeLine})
		d.placer.Avoid(l[0], 1)
	}
	for _, e := range d.piece.Edges {
		d.edgeLine(d.frame.curves(e.Curves), e.Finish)
		d.placer.Avoid(d.frame.curves(e.Curves), 3)
	}
}

// edgeLine draws an edge in the pattern of its finish.
func (p *picture) edgeLine(curves []geom.Curve, finish piece.Finish) {
	pen := draw.Pen{Color: p.inks.ink, Width: edgeLine}
	switch finish {
	case piece.Finished:
		pen.Width = heavyLine
	case piece.SeamEdge:
		pen.Width, pen.Dash = 0.6, []float64{4, 1.2, 0.8, 1.2}
	case piece.Wall:
		p.ticks(curves)
	}
	p.canvas.Curves(curves, pen)
}

// ticks draws the short slanted strokes of a wall outside an edge. On paper y
// points down, so that outside is on the left of a counter-clockwise outline.
func (p *picture) ticks(curves []geom.Curve) {
	const every, long = 2.2, 1.8
	var ticks []geom.Curve
	for _, c := range curves {
		length := c.Length()
		for s := every / 2; s < length; s += every {
			at, along := c.At(s/length), c.Tangent(s/length)
			out := along.Left()
			ticks = append(ticks, geom.Line(at, at.Sub(along.Mul(long/2)).Add(out.Mul(long))))
		}
	}
	p.canvas.Curves(ticks, p.thin())
	p.placer.Avoid(ticks, 1)
}

// outward returns the unit direction out of the stone at a fraction of a paper
// curve of the outline.
func outward(c geom.Curve, t float64) geom.Point { return c.Tangent(t).Left() }

// edges numbers the edges: the number with the letter of its finish.
func (d *pieceWork) edges() {
	edges := d.piece.Edges
	least := 0.0
	if len(edges) > mostLabelledEdges {
		least = 4
		d.notes = append(d.notes, "numbers of edges shorter than "+d.settings.text(least/d.frame.scale)+" are left out: see sheet Edges")
	}
	for _, e := range edges {
		curves := d.frame.curves(e.Curves)
		middle := curves[len(curves)/2]
		if e.Length()*d.frame.scale < least {
			continue
		}
		l := label{lines: []string{strconv.Itoa(e.N) + finishLetter(e.Finish)}, bold: true, size: numberSize, color: d.inks.ink}
		w, h := d.size(l)
		middles := make([]geom.Point, 0, 50)
		for _, gap := range [...]float64{0, 2.5, 6, 10, 15} {
			for _, side := range [...]float64{-1, 1} {
				for _, t := range [...]float64{0.5, 0.35, 0.65, 0.2, 0.8} {
					out := outward(middle, t).Mul(side)
					reach := (math.Abs(out.X)*w+math.Abs(out.Y)*h)/2 + 0.9 + gap
					middles = append(middles, middle.At(t).Add(out.Mul(reach)))
				}
			}
		}
		// Beside the edge no leader is wanted, so the target lies at the place.
		i := d.place(l, middles)
		b := d.box(l, middles[i])
		if i >= 10 {
			d.canvas.Line(middle.At(0.5), nearestOf(b, middle.At(0.5)), d.thin())
			d.dot(middle.At(0.5))
		}
		d.canvas.Area([]geom.Loop{draw.Rectangle(b)}, draw.Fill{Color: d.inks.paper})
		d.canvas.Curves(draw.Rectangle(b), draw.Pen{Color: d.inks.dim, Width: thinLine})
		d.write(l, b, rgbNone())
	}
}

// place takes the best middle for a label and returns its number.
func (p *picture) place(l label, middles []geom.Point) int {
	return p.placer.Place(p.boxes(l, middles), math.Inf(1))
}

// finishLetter is the letter beside an edge's number.
func finishLetter(f piece.Finish) string {
	switch f {
	case piece.Finished:
		return " F"
	case piece.Wall:
		return " W"
	case piece.SeamEdge:
		return " S"
	}
	return ""
}

// overall dimensions the box around the piece as it lies on the paper.
func (d *pieceWork) overall() {
	d.shown = map[string]bool{}
	b := geom.Loop(d.frame.curves(d.piece.Outline)).Box()
	right, down := geom.Point{X: 1}, geom.Point{Y: 1}
	low, left := geom.Point{X: b.Min.X, Y: b.Max.Y}, geom.Point{X: b.Min.X, Y: b.Min.Y}
	d.length(low, b.Max, right, down, []float64{13, 14.5, 16}, true)
	d.length(left, low, down, right.Mul(-1), []float64{14, 15.5, 12}, true)
}

// ground is the colour below a place of the paper.
func (d *pieceWork) ground(at geom.Point) color.RGBA {
	for _, c := range d.piece.Cutouts {
		if !c.OverEdge && d.inside(c.Loop, at) {
			return d.inks.paper
		}
	}
	if d.inside(d.piece.Outline, at) {
		return d.inks.stone
	}
	return d.inks.paper
}

func (d *pieceWork) inside(l geom.Loop, at geom.Point) bool {
	return l.Locate(d.frame.back(at)) == geom.Inside
}

// length dimensions two points of the paper unless the same stretch is there already.
func (d *pieceWork) length(a, b, along, out geom.Point, offsets []float64, thickly bool) {
	mm := math.Abs(b.Sub(a).Dot(along)) / d.frame.scale
	if along.X < 0 || along.X == 0 && along.Y < 0 {
		along = along.Mul(-1)
	}
	from, to := a.Dot(along), b.Dot(along)
	key := fmt.Sprintf("%.2f %.2f %.1f %.1f", math.Abs(along.X), math.Abs(along.Y), min(from, to), max(from, to))
	if d.shown[key] || len(d.shown) >= mostDimensions {
		return
	}
	d.shown[key] = true
	d.dimension(dimension{a: a, b: b, along: along, outward: out, mm: mm, ground: d.ground, offsets: offsets, thickly: thickly, aside: true})
}

// edgeDimensions dimensions the straight edges, the longest first. An edge that
// spans the piece is covered by the overall dimension.
func (d *pieceWork) edgeDimensions() {
	edges := slices.Clone(d.piece.Edges)
	slices.SortStableFunc(edges, func(a, b piece.Edge) int {
		switch la, lb := a.Length(), b.Length(); {
		case la > lb:
			return -1
		case la < lb:
			return 1
		}
		return 0
	})
	for _, e := range edges {
		if e.Kind != piece.LineEdge || len(e.Curves) == 0 {
			continue
		}
		if len(d.shown) >= mostDimensions {
			d.notes = append(d.notes, "shorter edges are without dimensions: see sheet Edges")
			return
		}
		a, b := d.frame.point(e.From()), d.frame.point(e.To())
		along := b.Sub(a).Unit()
		d.length(a, b, along, outward(geom.Line(a, b), 0.5), []float64{5, 7, 9, 11.5}, false)
	}
}

// gravity marks the centre of gravity: a circle with two quarters filled.
func (d *pieceWork) gravity(centroid geom.Point) {
	at := d.frame.point(centroid)
	d.gravityMark(at)
	box := geom.Loop(d.frame.curves(d.piece.Outline)).Box()
	x, y := (at.X-box.Min.X)/d.frame.scale, (box.Max.Y-at.Y)/d.frame.scale
	l := label{lines: []string{"CG " + d.settings.label(x) + " from left,", d.settings.label(y) + " from bottom"}, size: 2.4, color: d.inks.ink}
	w, h := d.size(l)
	middles := around(at, w, h)[1:]
	i := d.place(l, middles)
	b := d.box(l, middles[i])
	if b.Distance(at) > 4 {
		d.canvas.Line(at, nearestOf(b, at), d.thin())
	}
	d.write(l, b, d.ground(b.Center()))
}

func (p *picture) gravityMark(at geom.Point) {
	const r = 1.6
	for _, start := range [...]float64{0, math.Pi} {
		q := geom.ArcAround(at, r, start, math.Pi/2)
		wedge := append(geom.Loop{geom.Line(at, q[0].A)}, q...)
		p.canvas.Area([]geom.Loop{append(wedge, geom.Line(q[len(q)-1].B, at))}, draw.Fill{Color: p.inks.ink})
	}
	p.canvas.Curves(geom.Circle(at, r), draw.Pen{Color: p.inks.ink, Width: 0.25})
}
