package report

import (
	"strings"
	"testing"
)

// A figure without a limit has an empty cell and no word of a limit, not 0.
func TestFlagWithoutLimit(t *testing.T) {
	in := kitchenBook()
	r := *in.Result
	r.Flags = append([]Flag{}, r.Flags...)
	r.Flags[0].NoLimit, r.Flags[0].Limit, r.Flags[0].Unit, r.Flags[0].Measured = true, 0, "mm", 642.4
	r.Flags[1].NoLimit, r.Flags[1].Limit, r.Flags[1].Unit = false, 0, "mm"
	in.Result = &r
	f := open(t, write(t, in))
	for cell, want := range map[string]string{"I4": "642.4", "J4": "", "M4": "", "J5": "0"} {
		if got, err := f.GetCellValue("Flags", cell); err != nil || got != want {
			t.Errorf("Flags!%s holds %q (%v), want %q", cell, got, err, want)
		}
	}
	var note strings.Builder
	noteUnits{}.flag(&note, 1, r.Flags[0], nil)
	noteUnits{}.flag(&note, 2, r.Flags[1], nil)
	if text := note.String(); !strings.Contains(text, "Measured 642.4 mm, at x") || !strings.Contains(text, "limit 0 mm, at x") {
		t.Errorf("the note says %s", text)
	}
}
