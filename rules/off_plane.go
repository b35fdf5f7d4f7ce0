package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// offPlane reports curves that were drawn in space and flattened. Measured is
// the height in mm that was dropped.
func offPlane() Rule {
	return Rule{
		ID:         "off-plane",
		Severities: []Severity{Stop, Warn},
		What:       "Curves that do not lie in the plane of the drawing.",
		Why:        "Seen from above a sloping line is shorter than it is: the piece comes out too small.",
		How:        "The range of heights of a curve that was flattened. Curves that are level but at another height lose nothing and do not count. A stop where a curve that cuts is shorter or narrower from above than it was drawn by more than the joining distance, and where a closed curve of any other layer is narrower by a tenth or more (common practice, no source), an upright one is a line; of the others one warning a layer.",
		Limits:     []string{"closing.join"},
		Check: fromProblems(piece.OffPlane, func(in *Input, p *piece.Problem, f *Flag) {
			f.Witness = &geom.Witness{From: p.At, To: p.At}
			f.Measured, f.Unit, f.Severity = p.Measured, "mm", Warn
			f.Message = fmt.Sprintf("%s%s at %s leaves the plane of the drawing by %s; it was flattened.", entity(p), onLayer(p), in.place(p.At), in.lengths().Of(p.Measured))
			if p.Count > 1 {
				f.Message = fmt.Sprintf("%s%s leave the plane of the drawing, by up to %s at %s; they were flattened, and lose nothing of their lengths.", drawnEntities(p.Count), onLayer(p), in.lengths().Of(p.Measured), in.place(p.At))
			}
			if p.Lost > 0 {
				f.Severity = Stop
				f.Message = fmt.Sprintf("%s%s at %s is drawn sloping, %s up: seen from above, as it would be cut, it is up to %s short.",
					entity(p), onLayer(p), in.place(p.At), in.lengths().Of(p.Measured), in.lengths().Of(p.Lost))
			}
			if p.Closed > 0 {
				f.Severity = Stop
				f.Message = fmt.Sprintf("The closed %s%s at %s stands up from the plane of the drawing by %s: seen from above it is too small, or no more than a line.", entity(p), onLayer(p), in.place(p.At), in.lengths().Of(p.Measured))
			}
			f.Remedy = "Draw it flat in CAD, as it was measured, check the lengths of its sides and export again."
		}),
	}
}
