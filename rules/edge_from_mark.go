package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// edgeFromMark tells of edges for which the outline has no line of its own and that
// were taken from a finish or wall mark. Where no mark of the drawing lies along a
// line of the outline that is how the templater draws, and a note; where another
// does, a line is missing, and a stop. Measured is the length of the edge in mm;
// there is no limit.
func edgeFromMark() Rule {
	return Rule{
		ID:         "edge-from-mark",
		Severities: []Severity{Stop, Note},
		What:       "Edges that only a finish or wall mark shows.",
		Why:        "The saw cuts along the mark. Where outlines are drawn in full elsewhere, a line that is missing was lost or moved, and the mark may lie beside it.",
		How: "A whole edge of an outline that stays open without a line of a finished or wall layer, which its free ends meet within closing.bridge. " +
			"A mark that runs on along the outline's own line past the free end closes nothing: that is an open outline. " +
			"A stop where another finish or wall mark lies along a line of the outline; a note where none does, since then edges are drawn so.",
		Limits: []string{"closing.bridge"},
		Check: fromProblems(piece.EdgeFromMark, func(in *Input, p *piece.Problem, f *Flag) {
			w := p.Witness
			f.Witness, f.Measured, f.Unit, f.NoLimit = &w, p.Measured, "mm", true
			f.Severity = Note
			if on, _, _ := in.nearestEdge(p.At); on != nil {
				f.Piece = on.ID
			}
			what := fmt.Sprintf("The edge of %s %s is drawn%s only", in.lengths().Of(p.Measured), in.fromTo(p), onLayer(p))
			f.Message = what + " and is cut along that line."
			f.Remedy = "Nothing to do if that line is the edge; if not, draw the edge on the outline's layer."
			if p.Why != "" {
				f.Severity = Stop
				f.Message = fmt.Sprintf("%s, while %s: the outline's own line is missing.", what, p.Why)
				f.Remedy = "Accept it if the edge is cut along that line; if not, draw the edge on the outline's layer."
			}
		}),
	}
}
