package report

import (
	"strings"
	"testing"
)

// What the sheet Changes says of a flag agrees with what was carried to it.
func TestFlagChanges(t *testing.T) {
	key := func(k string) string { return "narrow-section|10|2|" + k }
	rosa := &Decision{Choice: Accept, By: "Rosa", Why: "rod", Revision: 1, Key: key("5"), Measured: 45}
	flag := func(k string, measured float64, d *Decision) Flag {
		return Flag{ID: "F1", Key: key(k), Severity: "stop", Unit: "mm", Measured: measured, Limit: 50, Message: "Thin.", Decision: d}
	}
	for _, c := range []struct {
		name        string
		before, now []Flag
		word        string // of the first flag now
		detail      string
		gone        int
	}{
		{"the same key", []Flag{flag("5", 45, nil)}, []Flag{flag("5", 45, nil)}, "still there", "Thin", 0},
		{"a key next to it, carried", []Flag{flag("5", 45, rosa)}, []Flag{flag("6", 46, rosa)}, "still there", "Thin", 0},
		{"two cells from the revision before, one from what was accepted", []Flag{flag("4", 44.8, rosa)}, []Flag{flag("6", 46, rosa)}, "still there", "Thin", 0},
		{"accepted, and worse", []Flag{flag("5", 44.7, rosa)}, []Flag{flag("4", 44.3, nil)}, "got worse", "accepted in revision 1 by Rosa at 45 mm: decide again", 0},
		{"not there in between", nil, []Flag{flag("5", 45, rosa)}, "there again", "Thin", 0},
		{"another place", []Flag{flag("5", 45, rosa)}, []Flag{flag("9", 45, nil)}, "new", "Thin", 1},
		{"two near each other stay two", []Flag{flag("5", 45, nil), flag("6", 46, nil)}, []Flag{flag("6", 46, nil), flag("5", 45, nil)}, "still there", "Thin", 0},
	} {
		was, gone := pairFlags(c.before, c.now)
		word, detail := flagChange(was[0], &c.now[0], 3)
		if word != c.word || !strings.Contains(detail, c.detail) || len(gone) != c.gone {
			t.Errorf("%s: %s, %q, %d gone, want %s, %q, %d", c.name, word, detail, len(gone), c.word, c.detail, c.gone)
		}
		if was[0] != nil && c.name == "two near each other stay two" && was[0].Key != c.now[0].Key {
			t.Errorf("%s: paired with %s", c.name, was[0].Key)
		}
	}
}
