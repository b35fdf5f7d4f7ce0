package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// selfCrossing reports outlines that cross themselves, one flag a crossing, at
// its point. There is nothing to measure: Measured and Limit are 0.
func selfCrossing() Rule {
	return Rule{
		ID:         "self-crossing",
		Severities: []Severity{Stop},
		What:       "Outlines and cutouts that cross themselves, outlines that touch themselves.",
		Why:        "Which side of the line is stone cannot be told: the saw would cut through the piece.",
		How:        "The places where a closed line crosses itself, as drawn, and where an outline drawn as one closed line touches itself in a point and comes apart there; so do two of separate lines that have no more than a point in common.",
		Check: fromProblems(piece.SelfCrossing, func(in *Input, p *piece.Problem, f *Flag) {
			f.Witness = &geom.Witness{From: p.At, To: p.At}
			f.Message = fmt.Sprintf("The line%s crosses itself at %s.", onLayer(p), in.place(p.At))
			f.Remedy = fmt.Sprintf("Redraw the line at %s so that it runs around the stone once without crossing.", in.place(p.At))
			switch p.Why {
			case piece.TouchesInPoint:
				f.Message = fmt.Sprintf("The outline%s comes together in a point at %s: its parts hang together there only and come out apart.", onLayer(p), in.place(p.At))
				f.Remedy = fmt.Sprintf("Leave stone between the two corners at %s, or draw each of the parts as one closed line.", in.place(p.At))
			case piece.TouchesItself:
				f.Message = fmt.Sprintf("The line%s touches itself at %s: its parts hang together in that point only and come out apart.", onLayer(p), in.place(p.At))
				f.Remedy = fmt.Sprintf("Leave stone between the two corners at %s, or draw the parts as closed lines of their own.", in.place(p.At))
			}
		}),
	}
}
