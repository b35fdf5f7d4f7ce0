package rules

import (
	"slices"

	"trueup/dxfio/piece"
)

// unitless are the rules that say the same whatever the unit of the drawing is.
var unitless = [...]string{
	"units-unknown", "units-implausible", "open-outline", "self-crossing", "unmapped-layer", "layer-doubtful", "roles-guessed", "unread-entity", "mirrored-text", "dashed-line", "dimension-differs",
	"drawing-not-kept", "cutout-outside", "cutout-ambiguous", "changed-since-release", "returned-before",
}

// waitsForUnit reports whether the rule measures in a unit that is in doubt: what it
// found would only follow from that. Where the shop switched the doubt off, or made less
// than a stop of it, its unit counts.
func (r *Rule) waitsForUnit(in *Input) bool {
	doubt := unitsImplausible().ID
	if word, ok := in.Settings.Severity[doubt]; slices.Contains(in.Settings.Off, doubt) || ok && word != string(Stop) {
		return false
	}
	return !slices.Contains(unitless[:], r.ID) && slices.ContainsFunc(in.Template.Problems, func(p piece.Problem) bool { return p.Kind == piece.UnitsImplausible })
}
