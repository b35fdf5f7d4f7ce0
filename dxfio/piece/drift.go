package piece

import (
	"trueup/dxfio/geom"
)

// drifts reports the stretches of straight finish marks that run beside an edge
// too far off to mark it, though the rest of the mark marks one: a mark drawn
// askew finishes half an edge. What runs on past the end of an edge is none. How
// near an edge is beside says profile_reach. The curve itself is in use, so the
// problem counts no stray.
func (b *builder) drifts() {
	var edges *chainIndex
	for i, m := range b.marks.list {
		if m.id < 0 || m.finish != Finished || !m.curve.IsLine() || b.uses[m.id] != useFinish {
			continue
		}
		length := m.curve.Length()
		if b.marks.used[i] >= length-b.s.MarkStretch {
			continue
		}
		if edges == nil {
			var outlines []geom.Curve
			for k := range b.t.Pieces {
				outlines = append(outlines, b.t.Pieces[k].Outline...)
			}
			edges = b.guard.newChainIndex(outlines)
		}
		for _, s := range edges.bare(m.curve, b.s.MarkDistance) {
			part := m.curve.Part(s.from/length, s.to/length)
			if part.Length()-edges.uncovered(part, b.s.ProfileReach) <= b.s.MarkStretch {
				continue
			}
			b.problems.add(Problem{
				Kind: StrayFinish, Layer: b.layerOf(m.id), Role: FinishedRole, Entity: b.d.Curves[m.id].Type.String(), Line: b.lineOf(m.id),
				At: part.Middle(), Witness: geom.Witness{From: part.A, To: part.B}, Measured: part.Length(), Limit: b.s.MarkDistance,
				Why: "runs beside an edge that it does not mark",
			})
		}
	}
}
