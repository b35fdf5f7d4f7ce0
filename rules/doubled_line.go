package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// doubledLine reports features drawn twice a hair apart: an outline or a cutout
// whose closed line is there again, a side along which another line runs. One flag
// a feature. Measured is the largest distance in mm between the two lines, the
// witness shows it; up to closing.join they are one line, and the second is
// dropped as a repair. Of two closed lines the larger one is taken, of a closed
// and an open one the closed.
func doubledLine() Rule {
	return Rule{
		ID:         "doubled-line",
		Severities: []Severity{Stop},
		What:       "Outlines, cutouts and sides that are drawn twice, a hair apart.",
		Why:        "One of the two lines is wrong, and the stone is cut along it or along the other.",
		How: "A closed line that lies within closing.bridge of another one of the same role over its whole length, and the other way round; an open line that does so along a closed one and joins nothing. " +
			"Measured is the largest distance between the two; up to closing.join it is a repair.",
		Limits: []string{"closing.join"},
		Check: fromProblems(piece.DoubledLine, func(in *Input, p *piece.Problem, f *Flag) {
			w, l := p.Witness, in.lengths()
			f.Witness, f.Measured, f.Limit, f.Unit = &w, p.Measured, p.Limit, "mm"
			f.Other = p.Layer
			apart := fmt.Sprintf("up to %s apart", l.Of(p.Measured))
			if len(p.Loops) == 2 {
				middle := p.Loops[0].Centroid()
				f.Anchor = &middle
				if f.Piece = in.pieceCutBy(p.Loops[0]); f.Piece == "" {
					if on, _, _ := in.nearestEdge(p.Loops[0][0].Middle()); on != nil {
						f.Piece = on.ID
					}
				}
				f.Message = fmt.Sprintf("The closed line of %s on layer %s around %s is drawn twice, %s; the larger one was taken.", in.sizeOf(p.Loops[0]), p.Other, in.place(middle), apart)
				f.Remedy = fmt.Sprintf("Delete one of the two lines%s.", onLayer(p))
				return
			}
			if on, _, _ := in.nearestEdge(p.At); on != nil {
				f.Piece = on.ID
			}
			f.Message = fmt.Sprintf("A side is drawn twice: the %s of %s%s %s runs along the closed line on layer %s, %s; the closed line was taken.",
				entity(p), l.Of(p.Length), onLayer(p), in.between(p.From, p.To), p.Other, apart)
			f.Remedy = fmt.Sprintf("Delete the line %s, or draw the side there and delete the other.", in.between(p.From, p.To))
		}),
	}
}
