package piece

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// Build makes the pieces of a drawing. d is in local millimetres, as
// Drawing.Millimetres gives it; Shift and Units of the result are the caller's
// to set. A drawing without a piece gives a Template without pieces, whose
// problems say why. The order and direction of the drawing's curves do not
// change the result. The error is the cause of the context's end, a
// *CrowdedError, or a misuse: no drawing, a curve or text without a layer, or a
// place that is not a finite number.
func Build(ctx context.Context, d *dxfio.Drawing, s Settings, t trace.Settings) (*Template, error) {
	if err := misuse(d); err != nil {
		return nil, err
	}
	b := &builder{
		guard: guard{trace.NewGuard(ctx, t), len(d.Curves)},
		d:     d, s: &s, ts: t, byRole: map[Role][]int32{}, uses: make([]use, len(d.Curves)), twins: map[int32][]int32{},
		t: &Template{Unread: slices.Clone(d.Unread)},
	}
	reader := s.Roles.reader()
	for _, l := range d.Layers {
		b.readings = append(b.readings, reader.read(l.Name))
	}
	if err := b.build(); err != nil {
		return nil, b.crowded(err)
	}
	return b.t, nil
}

// build runs the steps.
func (b *builder) build() (err error) {
	defer stopped(&err)
	guessed := b.guessByNesting()
	b.changes()
	b.sortCurves()

	bodies := b.closedBodies(OutlineRole, Counter)
	bodies = append(bodies, b.closedBodies(SplashRole, Splash)...)
	pool := b.pool(bodies)
	bodies = b.assign(bodies, pool)
	if divided, any := b.divide(bodies); any {
		bodies = b.assign(divided, pool)
	}
	b.outside(pool)
	b.supports()
	b.openings()
	b.walls()
	b.pieces(bodies)
	b.frontLines()
	b.leftovers()
	b.overlookedLayers()
	b.unreadIn()
	b.idlePoints()
	b.dimensions()
	b.doubtfulLayers()
	b.tellGuess(guessed)
	b.mirrored()
	b.lineStyles()
	b.t.Problems = b.problems.list
	b.t.account = accountOf(b.uses)
	b.t.Drawn = b.drawn()
	return nil
}

func misuse(d *dxfio.Drawing) error {
	if d == nil {
		return errors.New("no drawing to make pieces of")
	}
	check := func(what string, i int, layer int32, points ...geom.Point) error {
		if layer < 0 || int(layer) >= len(d.Layers) {
			return fmt.Errorf("%s %d of the drawing has no layer", what, i)
		}
		for _, p := range points {
			if !p.Finite() {
				return fmt.Errorf("%s %d of the drawing is not at a finite place", what, i)
			}
		}
		return nil
	}
	var err error
	for i, c := range d.Curves {
		err = errors.Join(err, check("curve", i, c.Layer, c.A, c.B, geom.Point{X: c.Bulge}))
	}
	for i, t := range d.Texts {
		err = errors.Join(err, check("text", i, t.Layer, t.At))
	}
	for i, c := range d.Changes {
		err = errors.Join(err, check("change", i, c.Source.Layer, c.At))
	}
	for i, m := range d.Marks {
		err = errors.Join(err, check("point", i, m.Layer, m.At))
	}
	for i, m := range d.Dimensions {
		err = errors.Join(err, check("dimension", i, m.Layer, m.From, m.To, m.Along, geom.Point{X: m.Shown}))
	}
	return err
}

// changes lists what reading altered: repairs, and heights dropped. Of those whose
// curve loses nothing by it, as where a device measured heights along, one stands for all
// of a layer: the one that was highest.
func (b *builder) changes() {
	harmless := map[int32]*Problem{} // by layer
	for _, c := range b.d.Changes {
		layer := b.d.Layers[c.Source.Layer].Name
		switch c.Kind {
		case dxfio.CurveToArcs:
			b.t.Repairs = append(b.t.Repairs, Repair{Kind: trace.CurveToArcs, At: c.At, Size: c.Size, Layer: layer})
		case dxfio.Flattened:
			p := Problem{
				Kind: OffPlane, Layer: layer, Entity: c.Source.Type.String(), Line: int64(c.Source.Line), At: c.At,
				Measured: c.Size, Count: 1, Why: "drawn off the plane of the drawing; its height was dropped",
			}
			if b.losesArea(c) {
				p.Closed = 1
			}
			if b.cuts(c.Source.Layer) && c.Lost > b.ts.Join {
				p.Lost = c.Lost
			}
			if p.Closed > 0 || p.Lost > 0 {
				b.problems.add(p)
				continue
			}
			was := harmless[c.Source.Layer]
			if was == nil {
				harmless[c.Source.Layer] = &p
				continue
			}
			if was.Count++; p.Measured > was.Measured || p.Measured == was.Measured && (p.At.X < was.At.X || p.At.X == was.At.X && p.At.Y < was.At.Y) {
				p.Count = was.Count
				*was = p
			}
		}
	}
	for layer := range b.d.Layers {
		if p := harmless[int32(layer)]; p != nil {
			b.problems.add(*p)
		}
	}
}

// pieces makes the pieces of the bodies, in reading order, and their seams.
func (b *builder) pieces(bodies []body) {
	boxes := make([]geom.Box, len(bodies))
	for i := range bodies {
		boxes[i] = bodies[i].outline.Box()
	}
	bodies = arrange(bodies, readingOrder(boxes))
	b.t.Pieces = make([]Piece, len(bodies))
	for i := range bodies {
		b.t.Pieces[i] = Piece{
			Kind: bodies[i].kind, Outline: bodies[i].outline, Cutouts: bodies[i].cutouts, Layer: bodies[i].layer,
			Material: b.s.DefaultMaterial, Thickness: b.s.Thickness,
		}
	}
	giveNames(b.t.Pieces, b.textNames(b.t.Pieces))
	for i := range b.t.Pieces {
		p := &b.t.Pieces[i]
		var corners []InsideCorner // of the outline, once they are needed
		for k := range p.Cutouts {
			c := &p.Cutouts[k]
			if c.ID = fmt.Sprintf("%s-%d", p.ID, k+1); !c.OverEdge {
				continue
			}
			if corners == nil {
				corners = InsideCorners(p.Outline)
			}
			c.Corners = cornersAlong(corners, c.Loop)
		}
	}
	b.overlaps()
	b.cutoutsOverCutouts()
	b.assumedSeams()
	seams := b.abuttingSeams()
	b.edges(seams)
	seams = append(seams, b.apartSeams(seams)...)
	b.setKinds(seams)
	b.t.Seams = numberSeams(seams)
}
