package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// rolesGuessed reports a drawing whose outlines lie on a layer without a role, the only
// one: its lines were taken for outlines and cutouts by how they lie in each other.
// Measured is the number of pieces.
func rolesGuessed() Rule {
	return Rule{
		ID:         "roles-guessed",
		Severities: []Severity{Stop},
		What:       "Drawings on one layer, read by which line lies inside which.",
		Why:        "A line on one layer with all others may be a sink, a cabinet or a note: what it was taken for, somebody has to see.",
		How:        "No layer has the role outline or splash and one with curves has no role: its outermost closed lines are outlines, those inside are cutouts.",
		Check: fromProblems(piece.RolesGuessed, func(in *Input, p *piece.Problem, f *Flag) {
			f.Other, f.Measured = p.Layer, float64(p.Count)
			f.Message = fmt.Sprintf("The outlines lie on layer %s, which has no role: its outermost lines were taken for %s, ", p.Layer, counted(p.Count, "piece"))
			if p.Closed == 0 {
				f.Message += "and none lies inside for a cutout."
			} else {
				f.Message += fmt.Sprintf("those inside for %s.", counted(p.Closed, "cutout"))
			}
			f.Remedy = fmt.Sprintf("Compare the pieces with what was ordered, and accept if they are right; if this templater always draws on one layer, %s in the settings. Layers named for what lies on them are better.",
				settingFor(piece.OutlineRole, p.Layer))
		}),
	}
}
