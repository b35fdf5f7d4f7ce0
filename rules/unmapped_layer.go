package rules

import (
	"fmt"

	"trueup/dxfio"
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
		Why:        "An edge, a sink or a support on a layer with a new name, or one that is switched off, would be missing from the check without a word.",
		How: "Layers that hold curves and have no role, layers that a built-in word ignores, and what is frozen, switched off or invisible; what the settings ignore does not count. One flag a layer. Counted are entities as drawn: a polyline is one. " +
			"A stop where lines close, 10 mm wide or more (or all but close, within 25 mm), in a piece or across its edge; where they are as large as a piece (300 x 40 mm) outside all stone; where other lines, 50 mm of them together, lie in stone and 10 mm from every edge, on a layer that no word ignores; where a point lies in stone 10 mm from every edge (common practice, no source). " +
			"Balloons and boxes closely round texts, frames round pieces, tables of texts, wall units and hoods over an edge do not count. Otherwise a warning where the layer has no role.",
		Check: fromProblems(piece.UnmappedLayer, func(in *Input, p *piece.Problem, f *Flag) {
			f.Other, f.Measured, f.Severity = p.Layer, float64(p.Count), Warn
			if p.Closed+p.Large+p.Points+p.Open == 0 {
				f.Message = fmt.Sprintf("Layer %s has %s with curves and no role; the first is at %s.", p.Layer, drawnEntities(p.Count), in.place(p.At))
				f.Remedy = fmt.Sprintf("Say what it is in the settings (pieces.roles); if it is not part of the job, %s there.", settingFor(piece.IgnoreRole, p.Layer))
				return
			}
			f.Severity = Stop
			f.Message = fmt.Sprintf("%s, and %s: nobody knows what it should be, and nothing of it is cut or checked.", whyOverlooked(p), in.overlooked(p))
			f.Remedy = remedyOverlooked(p)
		}),
	}
}

// whyOverlooked says why nobody looks at a layer.
func whyOverlooked(p *piece.Problem) string {
	switch p.Why {
	case dxfio.WhyFrozen:
		return fmt.Sprintf("Layer %s is frozen", p.Layer)
	case dxfio.WhyOff:
		return fmt.Sprintf("Layer %s is switched off", p.Layer)
	case dxfio.WhyInvisible:
		return fmt.Sprintf("Layer %s has invisible entities", p.Layer)
	}
	if p.Role == piece.IgnoreRole {
		return fmt.Sprintf("Layer %s is %s", p.Layer, p.Why)
	}
	return fmt.Sprintf("Layer %s has no role", p.Layer)
}

// overlooked says what lies where on a layer that nobody looks at.
func (in *Input) overlooked(p *piece.Problem) string {
	switch {
	case p.Closed == 1:
		return fmt.Sprintf("a closed line on it lies in piece %s around %s", p.Piece, in.place(p.At))
	case p.Closed > 1:
		return fmt.Sprintf("%d closed lines on it lie in stone, the longest in piece %s around %s", p.Closed, p.Piece, in.place(p.At))
	case p.Large == 1:
		return fmt.Sprintf("a line on it around %s, %s, is as large as a piece", in.place(p.At), in.lengths().Size(p.Length, p.Width))
	case p.Large > 1:
		return fmt.Sprintf("%d lines on it are as large as a piece, the largest around %s, %s", p.Large, in.place(p.At), in.lengths().Size(p.Length, p.Width))
	case p.Open == 1:
		return fmt.Sprintf("a line on it lies in piece %s over %s around %s", p.Piece, in.lengths().Of(p.Length), in.place(p.At))
	case p.Open > 1:
		return fmt.Sprintf("%d lines on it lie in stone, the longest in piece %s over %s around %s", p.Open, p.Piece, in.lengths().Of(p.Length), in.place(p.At))
	case p.Points == 1:
		return fmt.Sprintf("a point on it lies in piece %s at %s", p.Piece, in.place(p.At))
	}
	return fmt.Sprintf("%d points on it lie in stone, the first in piece %s at %s", p.Points, p.Piece, in.place(p.At))
}

// remedyOverlooked says what makes the flag go. A role brings nothing back that is
// hidden: that has to be shown in the drawing. Nor is it to be ignored in the settings:
// they hold for every drawing, and a SINK that was hidden once is cut the next time.
func remedyOverlooked(p *piece.Problem) string {
	ignore := settingFor(piece.IgnoreRole, p.Layer)
	switch p.Why {
	case dxfio.WhyFrozen, dxfio.WhyOff, dxfio.WhyInvisible:
		return "If it belongs to the job, show it in CAD and export again; if not, delete it there and export again. Accepting cuts nothing of it."
	}
	if p.Role == piece.IgnoreRole { // with a role all the notes of the layer would be cut
		return fmt.Sprintf("Move it to a layer for what it is; if it is not part of the job, %s in the settings. Then drop the drawing again.", ignore)
	}
	likely, others := piece.CutoutRole, "outline, support or opening"
	switch {
	case p.Large > 0 && p.Closed+p.Points == 0:
		likely, others = piece.OutlineRole, "cutout, support or opening"
	case p.Open > 0 && p.Closed+p.Large == 0:
		likely, others = piece.SeamRole, "outline, cutout, support or wall"
	}
	return fmt.Sprintf("Say what it is in the settings: %s, or to %s; if it is not part of the job, %s. Then drop the drawing again.",
		settingFor(likely, p.Layer), others, ignore)
}
