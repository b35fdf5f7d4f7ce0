package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// strayCurve reports curves on layers with a role that bound and mark nothing.
// Measured is their length in mm, the witness runs from end to end.
func strayCurve() Rule {
	return Rule{
		ID:         "stray-curve",
		Severities: []Severity{Warn},
		What:       "Curves that belong to no piece, cutout, seam or support.",
		Why:        "A line that was meant as an edge or a cutout and went unused is missing from the stone.",
		How: "Every curve read ends in an outline, cutout, seam, support, wall or finish mark, in a repair, or here. " +
			"One flag an entity; past 50 on a layer the last one counts the rest.",
		Check: fromProblems(piece.StrayCurve, func(in *Input, p *piece.Problem, f *Flag) {
			w := p.Witness
			f.Witness, f.Measured, f.Unit = &w, p.Measured, "mm"
			f.Message = fmt.Sprintf("%s of %s mm%s at %s %s.", entity(p), number(p.Measured), onLayer(p), in.place(p.At), because(p, "bounds nothing"))
			f.Remedy = "Delete it, move it to an ignored layer, or draw what it should bound to the end."
		}),
	}
}

// entity names what was drawn.
func entity(p *piece.Problem) string {
	name := p.Entity
	if name == "" {
		name = "curve"
	}
	if p.Count > 1 {
		return fmt.Sprintf("%s with %s", name, counted(p.Count, "curve"))
	}
	return name
}

// because returns the problem's own reason, or one that always holds.
func because(p *piece.Problem, otherwise string) string {
	if p.Why == "" {
		return otherwise
	}
	return p.Why
}
