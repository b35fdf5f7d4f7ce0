package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// outlineAmbiguous reports a closed line of an outline's layer around another that
// cannot be its cutout: the border of a sheet around the tops, the line of a
// cabinet or an overhang inside one. Measured is the least distance between the
// two in mm, the witness shows it; there is no limit.
func outlineAmbiguous() Rule {
	return Rule{
		ID:         "outline-ambiguous",
		Severities: []Severity{Stop},
		What:       "Outlines around others that are no cutouts of theirs: a frame around the top, a second line inside it.",
		Why:        "Read as it is drawn, the frame would be the stone and the top its waste.",
		How: "A closed line in an outline on a layer of outlines that is longer than pieces.largest_cutout, or has a cutout inside it with stone around, or lies in a rectangle wider than any slab. " +
			"A rectangle around it is taken for a frame unless the inner line takes 85 % of it; else an inner line that takes the share pieces.nested_share is left out, and a smaller one taken as an opening. " +
			"Measured is the least distance between the two.",
		Limits: []string{"pieces.largest_cutout", "pieces.nested_share"},
		Check: fromProblems(piece.OutlineAmbiguous, func(in *Input, p *piece.Problem, f *Flag) {
			outer, inner := p.Loops[0], p.Loops[1]
			w, middle := p.Witness, inner.Centroid()
			f.Witness, f.Measured, f.Unit, f.Anchor, f.Other = &w, p.Measured, "mm", &middle, p.Other
			if on, _, _ := in.nearestEdge(inner[0].Middle()); on != nil {
				f.Piece = on.ID
			}
			around, within := in.sizeOf(outer), in.sizeOf(inner)
			switch p.Why {
			case piece.Frame:
				what := "an outline of " + within
				if p.Count > 1 {
					what = fmt.Sprintf("%s, the largest of %s", counted(p.Count, "outline"), within)
				}
				f.Message = fmt.Sprintf("The line of %s on layer %s lies around %s: it is taken for a frame and not cut.", around, p.Other, what)
				f.Remedy = "Delete the frame, or move it to a layer that the settings ignore (pieces.roles.ignore); if it is stone, draw its openings on a cutout layer."
			case piece.Inset:
				f.Message = fmt.Sprintf("The outline of %s on layer %s has a second line of %s inside it%s, too large for a cutout: the outer one is cut, the inner one is not.",
					around, p.Other, within, in.apartBy(p.Measured))
				f.Remedy = "Delete the line that is not cut, or move it to a layer that the settings ignore (pieces.roles.ignore)."
			default:
				f.Message = fmt.Sprintf("The outline of %s on layer %s has an opening of %s in it, larger than cutouts are: it is cut out.", around, p.Other, within)
				f.Remedy = "Draw the opening on a cutout layer if it is meant; else delete the line that is not cut, or move it to a layer that the settings ignore (pieces.roles.ignore)."
			}
		}),
	}
}

// apartBy says how far one line lies from another, if it does.
func (in *Input) apartBy(mm float64) string {
	if mm <= geom.Tolerance {
		return ""
	}
	return ", " + in.lengths().Of(mm) + " from it"
}
