package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// unitsImplausible reports a drawing whose header gives tops a depth that no top
// has. Measured is the mean depth of the largest top in mm: twice its area over
// its perimeter.
func unitsImplausible() Rule {
	return Rule{
		ID:         "units-implausible",
		Severities: []Severity{Stop},
		What:       "Drawings whose unit makes tops impossibly small or large.",
		Why:        "A header with the wrong unit scales every piece, and a scrapped slab is the least of it.",
		How: "The mean depth of the largest top, twice its area over its perimeter, read in the drawing's unit: it lies between 60 mm and 3 m in anything that a shop cuts " +
			"(common practice, no source).",
		Check: fromProblems(piece.UnitsImplausible, func(in *Input, p *piece.Problem, f *Flag) {
			f.Measured, f.Limit, f.Unit = p.Measured, p.Limit, "mm"
			f.Message = fmt.Sprintf("In %s the largest top would have a mean depth of about %s; no top has.", in.Template.Units.Drawing.Plural(), in.lengths().Of(p.Measured))
			f.Remedy = "Check the unit in the drawing's header ($INSUNITS) against one known length and export it again."
		}),
	}
}
