package piece

import "trueup/dxfio/geom"

// guessByNesting gives the role outline to the one layer without a role of a drawing
// that has no outlines anywhere: its outermost lines are outlines, those inside are
// cutouts, as on any layer of outlines. It returns the layer, -1 when there is none.
func (b *builder) guessByNesting() int32 {
	only := int32(-1)
	for i := range b.d.Curves {
		c := &b.d.Curves[i]
		switch role := b.role(c.Layer); {
		case role == OutlineRole || role == SplashRole:
			return -1
		case role != NoRole || c.Type.Filled():
		case only >= 0 && only != c.Layer:
			return -1
		default:
			only = c.Layer
		}
	}
	if only >= 0 {
		b.readings[only].Role, b.readings[only].By = OutlineRole, "nesting"
	}
	return only
}

// tellGuess says what the lines of a layer read by nesting were taken for.
func (b *builder) tellGuess(layer int32) {
	if layer < 0 || len(b.t.Pieces) == 0 {
		return
	}
	p := Problem{Kind: RolesGuessed, Layer: b.d.Layers[layer].Name, Role: OutlineRole, Count: len(b.t.Pieces)}
	box := geom.EmptyBox()
	for i := range b.t.Pieces {
		box = box.Union(b.t.Pieces[i].Outline.Box())
		p.Closed += len(b.t.Pieces[i].Cutouts)
	}
	p.At, p.Measured = box.Center(), float64(p.Count)
	b.problems.add(p)
}
