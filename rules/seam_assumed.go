package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// seamAssumed reports two pieces that one line parts, drawn once on a layer of
// outlines: by its layer it is an edge of both, and nothing says that it is a seam.
// One flag for two pieces. Measured is the length of the line in mm, the witness
// leads from its one end to the other; there is no limit.
func seamAssumed() Rule {
	return Rule{
		ID:         "seam-assumed",
		Severities: []Severity{Stop},
		What:       "Tops that one line on an outline layer parts in two pieces.",
		Why:        "It may be a seam, and as well a fold, a middle line or a cabinet's edge on the wrong layer: then a whole top is cut in two.",
		How: "A border of two pieces that is drawn as one line on an outline or splash layer. Not where both pieces have a line of their own there, and not where a seam, finished or wall line lies along it. " +
			"Measured is its length.",
		Check: fromProblems(piece.SeamAssumed, func(in *Input, p *piece.Problem, f *Flag) {
			w, l := p.Witness, in.lengths()
			f.Witness, f.Measured, f.Unit, f.Stretch = &w, p.Measured, "mm", p.Length
			f.Message = fmt.Sprintf("One line%s, %s long %s, parts pieces %s and %s: they would be cut apart there, and nothing says that it is a seam.",
				onLayer(p), l.Of(p.Length), in.fromTo(p), p.Piece, p.Other)
			f.Remedy = "Accept if the two are to be cut apart; the line on a seam layer says so for the next time. If the top is to stay whole, erase the line or put it on an ignored layer."
		}),
	}
}
