package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// unmappedLayer reports layers with curves that no pattern of the settings gives
// a role. Measured is the number of entities with curves on the layer, as
// `trueup layers` counts them. A closed line that may be an opening, or what carries the stone, in or across a piece is a stop:
// nobody has looked at it, and what it was meant for is missing. Other curves
// are a warning.
func unmappedLayer() Rule {
	return Rule{
		ID:         "unmapped-layer",
		Severities: []Severity{Stop, Warn},
		What:       "Layers whose curves nobody looks at.",
		Why:        "An edge, a sink or a support on a layer with a new name would be missing from the check without a word.",
		How: "Layers that hold curves and match none of the patterns in the settings. One flag a layer; layers with the role ignore do not count. Counted are entities as drawn: a polyline is one. " +
			"A stop where lines of the layer close, 10 mm wide or more, in a piece or across its edge: it may be a sink or a cabinet. Otherwise a warning.",
		Check: fromProblems(piece.UnmappedLayer, func(in *Input, p *piece.Problem, f *Flag) {
			f.Other, f.Measured, f.Severity = p.Layer, float64(p.Count), Warn
			if p.Closed == 0 {
				f.Message = fmt.Sprintf("Layer %s has %s with curves and no role; the first is at %s.", p.Layer, drawnEntities(p.Count), in.place(p.At))
				f.Remedy = fmt.Sprintf("Add a pattern for %s to a role in the settings (pieces.roles), to ignore if it is not part of the job.", p.Layer)
				return
			}
			f.Severity = Stop
			lines, what := "a closed line on it lies", "it"
			if p.Closed > 1 {
				lines, what = fmt.Sprintf("%d closed lines on it lie in stone, the longest", p.Closed), "they"
			}
			f.Message = fmt.Sprintf("Layer %s has no role, and %s in piece %s around %s: nobody knows what %s should be, and nothing of it is cut or checked.",
				p.Layer, lines, p.Piece, in.place(p.At), what)
			f.Remedy = fmt.Sprintf("Add a pattern for %s in the settings (pieces.roles): to cutout, support or opening for what it is, to ignore if it is not part of the job; then drop the drawing again.", p.Layer)
		}),
	}
}
