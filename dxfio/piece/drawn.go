package piece

import (
	"math"
	"slices"

	"trueup/dxfio/audit"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// drawn hands over what the drawing asks for on the layers that cut, as it was
// drawn, with what flags say of it: the audit compares it with the pieces.
func (b *builder) drawn() *audit.Drawn {
	d := &audit.Drawn{
		Named: b.named, Layers: make([]string, len(b.d.Layers)),
		Limits: audit.Limits{Join: b.ts.Join, Facet: b.ts.FacetSagitta + 2*b.ts.FacetTolerance, Mark: math.Max(b.s.MarkDistance, b.ts.Join)},
	}
	for i := range b.d.Layers {
		d.Layers[i] = b.d.Layers[i].Name
	}
	told := b.toldLayers()
	d.Curves = make([]audit.Curve, 0, len(b.d.Curves))
	for i := range b.d.Curves {
		c := &b.d.Curves[i]
		role, ok := auditRole(b.role(c.Layer))
		if !ok || c.A.Distance(c.B) <= geom.Tolerance {
			continue
		}
		d.Curves = append(d.Curves, audit.Curve{
			Curve: c.Curve, Role: role, Layer: c.Layer, Entity: c.Entity, Told: told.of(b.uses[i], c.Layer),
		})
	}
	seen := map[geom.Point]bool{}
	for _, m := range b.d.Marks {
		if b.role(m.Layer) == CutoutRole && b.s.PointHole > 0 && !seen[m.At] {
			seen[m.At] = true
			d.Points = append(d.Points, audit.Point{At: m.At, Diameter: b.s.PointHole, Layer: m.Layer})
		}
	}
	for i := range b.problems.list {
		d.Overlapping = d.Overlapping || b.problems.list[i].Kind == OverlappingPieces
	}
	return d
}

func auditRole(r Role) (audit.Role, bool) {
	switch r {
	case OutlineRole, SplashRole:
		return audit.Outline, true
	case CutoutRole:
		return audit.Cutout, true
	case SeamRole:
		return audit.Seam, true
	case FinishedRole, WallRole:
		return audit.Mark, true
	}
	return 0, false
}

// toldLayers says what problems tell of unused curves, so that a use alone does
// not count as told.
type toldLayers struct {
	open  bool            // some chain is open or crosses itself
	stray map[string]bool // layers with strays
	names []string
}

func (b *builder) toldLayers() toldLayers {
	t := toldLayers{stray: map[string]bool{}, names: make([]string, len(b.d.Layers))}
	for i := range b.d.Layers {
		t.names[i] = b.d.Layers[i].Name
	}
	for i := range b.problems.list {
		switch p := &b.problems.list[i]; p.Kind {
		case OpenOutline, SelfCrossing:
			t.open = true
		case StrayCurve, StraySeam, StrayFinish, CutoutAmbiguous, DoubledLine:
			t.stray[p.Layer] = true
		case OutlineAmbiguous:
			t.stray[p.Layer], t.stray[p.Other] = true, true
		}
	}
	return t
}

func (t toldLayers) of(u use, layer int32) bool {
	switch u {
	case useOpen:
		return t.open
	case useStray:
		return t.stray[t.names[layer]]
	case useIgnored: // filled areas beside drawn outlines, listed as not used
		return true
	}
	return false
}

// Differences compares what was drawn with what would be released, see package
// audit. A template that was not made from a drawing has none to compare: ok is
// false. spend is told the steps of work; its error ends the comparison.
func (t *Template) Differences(spend func(steps int) error) (found []audit.Difference, ok bool, err error) {
	if t.Drawn == nil {
		return nil, false, nil
	}
	if found, err = audit.Compare(t.Drawn, t.released(), spend); err != nil {
		return nil, true, err
	}
	return append(found, t.swallowedTops(found)...), true, nil
}

// swallowedTops returns the parts of tops that cutouts took whole and that nothing
// found tells of: every line may be cut as it was drawn, and still a piece is gone
// that a seam or another outline had parted from the rest of its top.
func (t *Template) swallowedTops(found []audit.Difference) []audit.Difference {
	var more []audit.Difference
	for _, l := range t.swallowed {
		box := l.Box()
		if slices.ContainsFunc(found, func(d audit.Difference) bool {
			return (d.Kind == audit.Swallowed || d.Kind == audit.NoStone) && box.Contains(d.At())
		}) {
			continue
		}
		at := l.Centroid()
		more = append(more, audit.Difference{
			Kind: audit.Swallowed, Witness: geom.Witness{From: at, To: at}, Layer: -1, Piece: -1, Cutout: -1, Role: audit.Outline, Count: 1,
		})
	}
	return more
}

// released returns what a clean drawing of the template would cut.
func (t *Template) released() *audit.Released {
	r := &audit.Released{Pieces: make([]audit.Piece, len(t.Pieces)), Repairs: make([]audit.Repair, 0, len(t.Repairs))}
	for i := range t.Pieces {
		p := &t.Pieces[i]
		r.Pieces[i].Outline = p.Outline
		for _, c := range p.Cutouts {
			r.Pieces[i].Cutouts = append(r.Pieces[i].Cutouts, audit.Opening{Loop: c.Loop, OverEdge: c.OverEdge})
		}
	}
	for i := range t.Seams {
		r.Seams = append(r.Seams, t.Seams[i].Chains[0]...)
	}
	for _, p := range t.Repairs {
		size := p.Size
		switch p.Kind {
		case trace.CurveToArcs: // reading made the arcs: they count as drawn
			continue
		case trace.DuplicateRemoved: // its size is a length: what it lay on is as near as ends that are joined
			size = math.Min(size, t.Drawn.Limits.Join)
		}
		r.Repairs = append(r.Repairs, audit.Repair{At: p.At, Size: size, Facet: p.Kind == trace.FacetsToArc})
	}
	return r
}
