package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// cutoutAmbiguous reports two lines of which either may be the one to cut: a
// sink's rim and its bowl. Measured is the least distance between them in mm,
// the witness shows it; there is no limit. Which inner loops count says
// pieces.nested_share (common practice, no source).
func cutoutAmbiguous() Rule {
	return Rule{
		ID:         "cutout-ambiguous",
		Severities: []Severity{Stop},
		What:       "Two lines of one cutout, one inside the other, that may both be the one to cut.",
		Why:        "Cut along the rim the sink falls through; cut along the bowl it does not go in.",
		How: "A closed line inside another one that would be cut, when it takes the share nested_share of its area; a smaller one is a drain or a burner and is told as stray. " +
			"Two lines within mark_distance are one, drawn twice. Measured is the least distance between the two.",
		Limits: []string{"pieces.nested_share"},
		Check: fromProblems(piece.CutoutAmbiguous, func(in *Input, p *piece.Problem, f *Flag) {
			outer, inner := p.Loops[0], p.Loops[1]
			w, middle := p.Witness, outer.Centroid()
			f.Witness, f.Measured, f.Unit, f.Anchor = &w, p.Measured, "mm", &middle
			f.Other = ""
			f.Piece = in.pieceCutBy(outer)
			taken := "the outer one was taken"
			if p.Count == 0 && p.Role != piece.CutoutRole {
				taken = "the outer one was taken, the inner one became a piece"
			}
			apart := in.lengths().Of(p.Measured) + " inside it"
			if p.Measured <= geom.Tolerance {
				apart = "inside it, with a side in common,"
			}
			f.Message = fmt.Sprintf("A cutout has two lines: %s on layer %s, and %s %s on layer %s, around %s. Which one is to be cut is not told; %s.",
				in.sizeOf(outer), p.Other, apart, in.sizeOf(inner), p.Layer, in.place(middle), taken)
			f.Remedy = "Delete the line that is not cut, or give it a layer of its own that the settings ignore (pieces.roles.ignore)."
		}),
	}
}

// pieceCutBy returns the id of the piece that a line cuts: the one that has it
// for a cutout, or lies around it; "" when there is none.
func (in *Input) pieceCutBy(line geom.Loop) string {
	around, middle := "", line.Centroid()
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		for k := range p.Cutouts {
			if p.Cutouts[k].Loop.Centroid().Distance(middle) <= samePlace {
				return p.ID
			}
		}
		if p.Outline.Box().Distance(line[0].A) == 0 && p.Outline.Locate(line[0].A) == geom.Inside {
			around = p.ID
		}
	}
	return around
}

// sizeOf writes how large a loop is: its diameter, or length and width.
func (in *Input) sizeOf(l geom.Loop) string {
	r := geom.SmallestRectangle(l)
	if _, radius, ok := l.Round(geom.Tolerance); ok {
		return in.lengths().Of(2*radius) + " round"
	}
	return in.lengths().Size(r.Length, r.Width)
}
