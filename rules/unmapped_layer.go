package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// unmappedLayer reports layers with curves that no pattern of the settings gives
// a role. Measured is the number of curves on the layer.
func unmappedLayer() Rule {
	return Rule{
		ID:         "unmapped-layer",
		Severities: []Severity{Warn},
		What:       "Layers whose curves nobody looks at.",
		Why:        "An edge, a sink or a support on a layer with a new name would be missing from the check without a word.",
		How:        "Layers that hold curves and match none of the patterns in the settings. One flag a layer; layers with the role ignore do not count.",
		Check: fromProblems(piece.UnmappedLayer, func(in *Input, p *piece.Problem, f *Flag) {
			f.Other, f.Measured = p.Layer, float64(p.Count)
			f.Message = fmt.Sprintf("Layer %s has %s and no role; the first is at %s.", p.Layer, counted(p.Count, "curve"), in.place(p.At))
			f.Remedy = fmt.Sprintf("Add a pattern for %s to a role in the settings (pieces.roles), to ignore if it is not part of the job.", p.Layer)
		}),
	}
}
