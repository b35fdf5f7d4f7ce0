package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// seamAmbiguous reports marked seam edges that have no mate, or more than one
// that fits, when the pieces are drawn apart. There is nothing to measure:
// Measured and Limit are 0.
func seamAmbiguous() Rule {
	return Rule{
		ID:         "seam-ambiguous",
		Severities: []Severity{Warn},
		What:       "Seam edges whose mate cannot be told.",
		Why:        "A seam that was not compared with its mate is first tried on site, with the resin mixed.",
		How:        "Edges marked as seams of pieces that are drawn apart are matched by their shape. None that fits, or several that fit as well, is ambiguous.",
		Check: fromProblems(piece.SeamAmbiguous, func(in *Input, p *piece.Problem, f *Flag) {
			f.Message = fmt.Sprintf("The seam edge of piece %s at %s is not compared with another: %s.", p.Piece, in.place(p.At), because(p, "its mate cannot be told"))
			f.Remedy = "Draw the two pieces against each other at the seam, or mark only the edges that belong together."
		}),
	}
}
