package piece

import "trueup/dxfio/geom"

// lineStyles reports, a layer at a time, lines that are to be cut and are drawn as
// something else than the edge of stone: as a band whose middle line was read, or dashed
// beside continuous ones, as an edge is that lies under the stone (ISO 128-2, from memory).
func (b *builder) lineStyles() {
	type drawnAs struct {
		width  map[int32]float64
		dashed map[int32]bool
	}
	as := drawnAs{map[int32]float64{}, map[int32]bool{}}
	for _, s := range b.d.Styles {
		if role := b.role(s.Layer); role != OutlineRole && role != CutoutRole && role != SplashRole {
			continue
		}
		if s.Width > b.s.LineWidth {
			as.width[s.Entity] = s.Width
		}
		if s.Dashed {
			as.dashed[s.Entity] = true
		}
	}
	if len(as.width)+len(as.dashed) == 0 {
		return
	}
	wide, dashed, continuous := map[int32]*Problem{}, map[int32]*Problem{}, map[int32]bool{}
	note := func(by map[int32]*Problem, kind ProblemKind, i int, first bool) *Problem {
		c := &b.d.Curves[i]
		p := by[c.Layer]
		if p == nil {
			p = &Problem{Kind: kind, Layer: b.d.Layers[c.Layer].Name, Role: b.role(c.Layer), Entity: c.Type.String(), Line: int64(c.Line), At: c.Middle()}
			by[c.Layer] = p
		}
		if first {
			p.Count++
		}
		// The place does not depend on the order of the curves.
		if at := c.Middle(); at.X < p.At.X-geom.Tolerance || at.X < p.At.X+geom.Tolerance && at.Y < p.At.Y {
			p.At = at
		}
		return p
	}
	for i := range b.d.Curves {
		c := &b.d.Curves[i]
		first := i == 0 || b.d.Curves[i-1].Entity != c.Entity
		if w, ok := as.width[c.Entity]; ok {
			p := note(wide, WideLine, i, first)
			p.Measured, p.Limit = max(p.Measured, w), b.s.LineWidth
		}
		if as.dashed[c.Entity] {
			note(dashed, DashedLine, i, first)
		} else if !c.Type.Filled() {
			continuous[c.Layer] = true
		}
	}
	for layer := range b.d.Layers {
		if p := wide[int32(layer)]; p != nil {
			b.problems.add(*p)
		}
		if p := dashed[int32(layer)]; p != nil && continuous[int32(layer)] {
			p.Measured = float64(p.Count)
			b.problems.add(*p)
		}
	}
}
