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
			f.Message = fmt.Sprintf("The %s%s at %s lies outside every piece.", what, onLayer(p), in.place(p.At))
			f.Remedy = fmt.Sprintf("Move the %s into its piece, or close the outline that should surround it.", what)
		}),
	}
}
