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
		What:       "Outlines and cutouts that cross themselves.",
		Why:        "Which side of the line is stone cannot be told: the saw would cut through the piece.",
		How:        "The places where a closed line crosses itself, as drawn. Touching itself in a point does not count.",
		Check: fromProblems(piece.SelfCrossing, func(in *Input, p *piece.Problem, f *Flag) {
			f.Witness = &geom.Witness{From: p.At, To: p.At}
			f.Message = fmt.Sprintf("The line%s crosses itself at %s.", onLayer(p), in.place(p.At))
			f.Remedy = fmt.Sprintf("Redraw the line at %s so that it runs around the stone once without crossing.", in.place(p.At))
		}),
	}
}
