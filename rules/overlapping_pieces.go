package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// overlappingPieces reports pieces that share an area. Measured is that area in
// mm2, the witness the diagonal of its extent.
func overlappingPieces() Rule {
	return Rule{
		ID:         "overlapping-pieces",
		Severities: []Severity{Stop},
		What:       "Pieces that lie over each other.",
		Why:        "The same stone would be cut twice: one of the outlines is wrong.",
		How:        "The common area of two pieces, exact on arcs. Pieces that share an edge do not overlap.",
		Check: fromProblems(piece.OverlappingPieces, func(in *Input, p *piece.Problem, f *Flag) {
			w := p.Witness
			f.Witness, f.Measured, f.Unit = &w, p.Measured, "mm2"
			f.Message = fmt.Sprintf("Pieces %s and %s overlap by %s around %s.", p.Piece, p.Other, in.overlapSize(p), in.place(p.At))
			f.Remedy = fmt.Sprintf("Move one of the pieces, or draw its edge where it meets the other, between %s and %s.", in.place(w.From), in.place(w.To))
		}),
	}
}

// overlapSize says how large the common area of two pieces or cutouts is: its length and
// width, of the largest where there are several, and the area.
func (in *Input) overlapSize(p *piece.Problem) string {
	l := in.lengths()
	if p.Length <= 0 {
		return l.Area(p.Measured)
	}
	return fmt.Sprintf("%s (%s)", l.Size(p.Length, p.Width), l.Area(p.Measured))
}
