package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// cabinetAssumed tells which tops are taken to stand on cabinets that are drawn as their
// front line alone: the drawing shows no side and no back of them, and everything that is
// said of spans, overhangs and seams there rests on their being there. One flag a piece.
// Measured is how far a cabinet reaches from its line to the edge behind it, in mm, for
// the longest line; there is no limit. Common practice, no source.
func cabinetAssumed() Rule {
	return Rule{
		ID:         "cabinet-assumed",
		Severities: []Severity{Warn},
		What:       "Tops on cabinets that are drawn as their front line alone.",
		Why:        "If the line was a rail or a dividing line, the top hangs over nothing behind it.",
		How: "A line on a cabinet's layer along the front of a top, no farther than pieces.front_line before an edge at a wall, or before an edge without a mark where the front is finished, is taken for the front of " +
			"cabinets that reach back to that edge. Not where a drawn area carries already, and not for lines shorter than that is deep. Measured is how far they reach.",
		Limits: []string{"pieces.front_line"},
		Check: fromProblems(piece.CabinetAssumed, func(in *Input, p *piece.Problem, f *Flag) {
			w, l := p.Witness, in.lengths()
			f.Witness, f.Measured, f.Unit, f.Stretch, f.NoLimit = &w, p.Measured, "mm", p.Length, true
			lines := "one line"
			if p.Count > 1 {
				lines = fmt.Sprintf("%d lines", p.Count)
			}
			f.Message = fmt.Sprintf("Under piece %s only the front of the cabinets is drawn, %s of %s%s: they are taken to reach back to the edge behind, %s at %s.",
				p.Piece, lines, l.Of(p.Length), onLayer(p), l.Of(p.Measured), in.place(p.At))
			f.Remedy = "See that cabinets stand there; draw them as closed areas the next time."
		}),
	}
}
