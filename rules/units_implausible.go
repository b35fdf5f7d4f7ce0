package rules

import (
	"fmt"

	"trueup/dxfio"
	"trueup/dxfio/piece"
)

// unitsImplausible reports a drawing whose header gives tops, sinks or holes sizes that
// none have. Measured is the length of the largest top in mm.
func unitsImplausible() Rule {
	return Rule{
		ID:         "units-implausible",
		Severities: []Severity{Stop},
		ReturnOnly: true,
		What:       "Drawings whose unit makes tops impossibly small or large.",
		Why:        "A header with the wrong unit scales every piece, and a scrapped slab is the least of it.",
		How: "The largest top (100 to 8000 mm long, 40 to 2500 mm wide, 17500 mm2 or more; 450 x 300 mm or more where sinks are cut), sinks and cooktops (250 to 1400 x 150 to 800 mm) and holes (5 to 120 mm), " +
			"read in the drawing's unit (common practice, no source); of outlines that do not close, how far they reach. It is told when another unit fits everything, or no top is so short or wide; named is the unit with the most usual sizes (runs 600 to 660 mm deep, tops 1500 to 3000 mm long), and a second about as good.",
		Check: fromProblems(piece.UnitsImplausible, func(in *Input, p *piece.Problem, f *Flag) {
			f.Measured, f.Unit = p.Measured, "mm"
			here := in.Template.Units.Drawing
			f.Message = fmt.Sprintf("In %s the largest top would be %s: with its sinks and holes no top is.", here.Plural(), in.lengths().Size(p.Length, p.Width))
			f.Remedy = "Check the unit in the drawing's header ($INSUNITS) against one known length and export it again."
			if p.Unit.Known() {
				would := func(u dxfio.Unit) string {
					k := u.Millimetres() / here.Millimetres()
					return in.lengths().Size(p.Length*k, p.Width*k)
				}
				f.Message += fmt.Sprintf(" In %s everything fits: it would be %s.", p.Unit.Plural(), would(p.Unit))
				units := p.Unit.Plural()
				if p.NextUnit.Known() {
					f.Message += fmt.Sprintf(" In %s it would be %s, which is about as usual.", p.NextUnit.Plural(), would(p.NextUnit))
					units += " or " + p.NextUnit.Plural()
				}
				f.Remedy = fmt.Sprintf("Check one known length; if it was drawn in %s, set that in the drawing's header ($INSUNITS) and export it again.", units)
			}
		}),
	}
}
