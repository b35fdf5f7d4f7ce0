package piece

import "trueup/dxfio/geom"

// onSeams reports the finish marks that lie along seams and along no edge that is
// finished: where stone meets stone nothing is polished, and the mark would be lost
// without a word.
func (b *builder) onSeams() {
	finished, seams := b.edgesOfFinish(Finished), b.edgesOfFinish(SeamEdge)
	if len(seams.edges) == 0 {
		return
	}
	for _, m := range b.marks.list {
		if m.id < 0 || m.finish != Finished || b.uses[m.id] != useFinish {
			continue
		}
		length, at := b.alongEdges(seams, m.curve)
		if length <= b.s.MarkStretch {
			continue
		}
		if shows, _ := b.alongEdges(finished, m.curve); shows > b.s.MarkStretch {
			continue
		}
		b.problems.add(Problem{
			Kind: FinishOnSeam, Layer: b.layerOf(m.id), Role: FinishedRole, Entity: b.d.Curves[m.id].Type.String(), Line: b.lineOf(m.id),
			At: at, Witness: geom.Witness{From: m.curve.A, To: m.curve.B}, Measured: m.curve.Length(), Why: "lies along a seam",
		})
	}
}

// alongEdges returns the length in mm over which edges lie along a mark, and a
// place on the longest such stretch.
func (b *builder) alongEdges(edges *edgeFinder, mark geom.Curve) (sum float64, at geom.Point) {
	longest := 0.0
	edges.index.Search(mark.Box().Grow(b.s.MarkDistance), func(i int) bool {
		c := edges.list[i]
		b.spendAlong(c, mark)
		for _, s := range along(c, mark, b.s.MarkDistance) {
			length := (s.to - s.from) * c.Length()
			if sum += length; length > longest {
				longest, at = length, c.At((s.from+s.to)/2)
			}
		}
		return true
	})
	return sum, at
}
