package report

import (
	"strings"
	"testing"
)

// The headline of a template that nothing stops goes on with what nobody looked
// at: "ready" alone would be read as "the supports are good".
func TestSummarySaysWhatWasNotChecked(t *testing.T) {
	const none, corridor = "the drawing has no support layer", "no corridor width in the settings"
	for _, tc := range []struct {
		name      string
		unchecked []Unchecked
		want      string
	}{
		{"all looked", nil, ""},
		{"a warning only", []Unchecked{{"too-big-for-access", corridor}}, ""},
		{"supports", []Unchecked{{"overhang", none}, {"unsupported-span", none}, {"too-big-for-access", corridor}},
			"Not checked: unsupported-span, overhang (" + none + ")"},
		{"two reasons", []Unchecked{{"overhang", none}, {"too-big-for-slab", "piece A: no slab of this thickness"}, {"overhang", none}},
			"Not checked: overhang (" + none + "); too-big-for-slab (piece A: no slab of this thickness)"},
		{"many reasons", []Unchecked{{"too-big-for-slab", "piece A"}, {"too-big-for-slab", "piece B"}, {"too-big-for-slab", "piece C"}, {"too-big-for-slab", "piece D"}},
			"Not checked: too-big-for-slab (piece A); too-big-for-slab (piece B); too-big-for-slab (piece C); and more: see below"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			in := kitchenBook()
			in.Result.Verdict, in.Result.Flags, in.Result.Unchecked = Ready, nil, tc.unchecked
			f := open(t, write(t, in))
			head, err := f.GetCellValue("Summary", "A4")
			if err != nil || !strings.HasPrefix(head, "READY: nothing stops this template") {
				t.Fatalf("headline %q, %v", head, err)
			}
			if below, _ := f.GetCellValue("Summary", "A5"); below != tc.want {
				t.Errorf("below the headline stands %q, want %q", below, tc.want)
			}
		})
	}
}
