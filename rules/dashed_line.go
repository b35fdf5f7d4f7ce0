package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// dashedLine reports lines that are to be cut and are drawn dashed beside continuous ones
// of the same layer. Drawings by ISO 128-2 (from memory) show edges dashed that lie
// hidden under what is seen: a dishwasher under the top, drawn on the top's layer, would
// be cut out of it. Where all lines of a layer are dashed its name says what they are.
// Measured is the number of such entities.
func dashedLine() Rule {
	return Rule{
		ID:         "dashed-line",
		Severities: []Severity{Stop},
		What:       "Dashed lines among the continuous ones that are to be cut.",
		Why:        "Drawings show dashed what lies hidden under the stone: an appliance, a cabinet. It would be cut.",
		How:        "Entities with a line type that has gaps, their own, their layer's or their block's, on layers of outlines and cutouts that hold continuous ones too; one flag a layer.",
		Check: fromProblems(piece.DashedLine, func(in *Input, p *piece.Problem, f *Flag) {
			f.Measured = p.Measured
			f.Message = fmt.Sprintf("%s on layer %s %s dashed, as what lies under the stone, and others there are not; the first is at %s.", drawnEntities(p.Count), p.Layer, isAre(p.Count), in.place(p.At))
			f.Remedy = "Move what is not cut to a layer for what it is (cabinets, appliances), or draw what is cut as a continuous line. Accepting cuts it as drawn."
		}),
	}
}
