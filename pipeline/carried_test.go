package pipeline

import (
	"testing"

	"trueup/dxfio/piece"
	"trueup/report"
	"trueup/rules"
)

// What was accepted of a piece with a name of its own is not accepted of its twin:
// the thin rail of VAN 2 was released on the rod that was meant for VAN 1.
func TestDecisionsStayWithNamedPieces(t *testing.T) {
	accepted := report.Decision{Choice: "accept", By: "Rosa", Why: "rod", Revision: 1, Key: "narrow-section|16|0|11|78", Measured: 44.45}
	for _, tc := range []struct {
		name, was string
		pieces    []string
		flagged   string
		carried   bool
	}{
		{"the same piece", "VAN 1", []string{"VAN 1", "VAN 2"}, "VAN 1", true},
		{"its twin", "VAN 1", []string{"VAN 1", "VAN 2"}, "VAN 2", false},
		{"renamed", "VAN 1", []string{"MASTER", "VAN 2"}, "MASTER", true},
		{"letters shift when a piece is added", "A", []string{"A", "B"}, "B", true},
		{"a name was given", "A", []string{"VAN 1", "B"}, "VAN 1", true},
		{"an older document", "", []string{"VAN 1", "VAN 2"}, "VAN 2", true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tpl := &piece.Template{}
			for _, id := range tc.pieces {
				tpl.Pieces = append(tpl.Pieces, piece.Piece{ID: id})
			}
			flags := []rules.Flag{{Rule: "narrow-section", Key: accepted.Key, Piece: tc.flagged, Measured: 44.45, Limit: 50.8, Unit: "mm"}}
			got := decisions(flags, []Carried{{accepted.Key, accepted, tc.was}}, tpl)
			if _, ok := got[accepted.Key]; ok != tc.carried {
				t.Errorf("carried: %v, want %v", ok, tc.carried)
			}
		})
	}
}
