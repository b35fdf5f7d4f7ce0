package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// openOutline reports outlines and cutouts that do not close. Measured is the
// gap between two free ends in mm, the witness runs from end to end. A gap up
// to closing.bridge is closed and listed as a repair instead.
func openOutline() Rule {
	return Rule{
		ID:         "open-outline",
		Severities: []Severity{Stop},
		What:       "Outlines and cutouts that do not close.",
		Why:        "An open line makes no piece: the saw program leaves the stone out, or somebody closes it by guess.",
		How: "The distance between the two free ends that are nearest to each other, after everything up to the bridging distance was closed. " +
			"One flag a gap, with both ends.",
		Limits: []string{"closing.bridge"},
		Check: fromProblems(piece.OpenOutline, func(in *Input, p *piece.Problem, f *Flag) {
			w := p.Witness
			f.Witness, f.Measured, f.Limit, f.Unit = &w, p.Measured, p.Limit, "mm"
			f.Message = fmt.Sprintf("The line%s is open: its ends at %s and %s are %s apart.",
				onLayer(p), in.place(w.From), in.place(w.To), in.lengths().Of(p.Measured))
			f.Remedy = fmt.Sprintf("Draw the missing %s from %s to %s, or move the ends together.",
				in.lengths().Of(p.Measured), in.place(w.From), in.place(w.To))
			if w.From == w.To {
				f.Message = fmt.Sprintf("The line%s is open at %s: it ends there and nothing goes on.", onLayer(p), in.place(w.From))
				f.Remedy = fmt.Sprintf("Draw the line on from %s until it closes, or take it off the layer.", in.place(w.From))
			}
		}),
	}
}
