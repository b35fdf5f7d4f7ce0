package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// cutoutOutside reports cutouts that lie in no piece. There is nothing to
// measure: Measured and Limit are 0.
func cutoutOutside() Rule {
	return Rule{
		ID:         "cutout-outside",
		Severities: []Severity{Stop},
		What:       "Cutouts that lie outside every piece.",
		Why:        "The sink or hob that was ordered will find no opening in the stone.",
		How:        "A cutout of which no part lies in a piece. One that runs over an edge (an apron sink) is a notch and does not count.",
		Check: fromProblems(piece.CutoutOutside, func(in *Input, p *piece.Problem, f *Flag) {
			f.Witness = &geom.Witness{From: p.At, To: p.At}
			what := cutoutName(piece.CutoutKind(p.Other))
			if p.Other == "" {
				what = "cutout"
			}
			size := ""
			f.Remedy = fmt.Sprintf("Move the %s into its piece, or close the outline that should surround it.", what)
			if len(p.Loops) == 1 {
				r := geom.SmallestRectangle(p.Loops[0])
				size = " of " + in.lengths().Size(r.Length, r.Width)
				if in.surroundsPiece(p.Loops[0]) {
					f.Remedy = fmt.Sprintf("Check the size of the %s: a block drawn in mm stands 25.4 times too large in a drawing in inches. Scale it, or move it into its piece.", what)
				}
			}
			f.Message = fmt.Sprintf("The %s%s%s at %s lies outside every piece.", what, size, onLayer(p), in.place(p.At))
		}),
	}
}

// surroundsPiece reports whether a cutout is drawn around a whole piece.
func (in *Input) surroundsPiece(l geom.Loop) bool {
	for i := range in.Template.Pieces {
		o := in.Template.Pieces[i].Outline
		if box := o.Box(); len(o) > 0 && l.Box().Contains(box.Min) && l.Box().Contains(box.Max) {
			return true
		}
	}
	return false
}
