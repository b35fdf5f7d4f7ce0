package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// unitsUnknown reports a drawing whose unit was assumed. There is no place and
// no measure: Measured and Limit are 0.
func unitsUnknown() Rule {
	return Rule{
		ID:         "units-unknown",
		Severities: []Severity{Stop},
		What:       "Drawings whose header names no unit.",
		Why:        "Millimetres read as inches make a top 25 times too large, and a scrapped slab.",
		How:        "The header's $INSUNITS is absent or 0 and the settings name no unit: that of mm, inch, cm, m and foot was assumed in which tops, sinks and holes have the most usual sizes.",
		Limits:     []string{"units"},
		Check: fromProblems(piece.UnitsUnknown, func(in *Input, p *piece.Problem, f *Flag) {
			f.Message = fmt.Sprintf("The drawing does not say its unit: %s.", because(p, "one was assumed from the sizes"))
			if p.Length > 0 {
				f.Message = fmt.Sprintf("The drawing does not say its unit: %s, in which the largest top is %s.", because(p, "one was assumed from the sizes"), in.lengths().Size(p.Length, p.Width))
			}
			f.Remedy = "Export the drawing with its unit, or set units in the settings if all of this templater's drawings have the same one."
		}),
	}
}
