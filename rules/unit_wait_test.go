package rules

import (
	"testing"

	"trueup/dxfio/piece"
)

// Rules that measure wait while a stop asks for the unit; where the shop took the stop
// away they look, or nobody would.
func TestRulesWaitForTheUnit(t *testing.T) {
	for _, tc := range []struct {
		name     string
		off      []string
		severity map[string]string
		waits    bool
	}{
		{"as it is", nil, nil, true},
		{"the doubt is off", []string{"units-implausible"}, nil, false},
		{"the doubt is a warning", nil, map[string]string{"units-implausible": "warn"}, false},
		{"the doubt is a stop", nil, map[string]string{"units-implausible": "stop"}, true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			in := input(template(t, top+"sink 800,45 1560,500 r10"))
			in.Settings.Off, in.Settings.Severity = tc.off, tc.severity
			in.Template.Problems = append(in.Template.Problems, piece.Problem{Kind: piece.UnitsImplausible, Measured: 9, Length: 9, Width: 3})
			narrow := false
			for _, f := range Run(in).Flags {
				narrow = narrow || f.Rule == "narrow-section"
			}
			if narrow == tc.waits {
				t.Errorf("narrow-section looked: %v", narrow)
			}
		})
	}
}
