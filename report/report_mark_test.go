package report

import (
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// A workbook decides for the result it was made of, and for no other.
func TestWhoseReport(t *testing.T) {
	book := kitchenBook()
	accepted := []string{"F4=accept", "G4=Ana", "H4=x", "F5=accept", "G5=Ana", "H5=x", "F6=accept", "G6=Ana", "H6=x"}
	data := edit(t, write(t, book), func(f *excelize.File) { put(f, accepted...) })
	for _, c := range []struct {
		name   string
		change func(r *Result)
		cells  []string
		state  State
		told   string
	}{
		{"its own", func(*Result) {}, nil, Accepted, ""},
		{"another job", func(r *Result) { r.Job = "hill/vanity" }, nil, Contradictory,
			"this is the report of harbour/müller-kitchen, revision 2; put the report of hill/vanity, revision 2 back"},
		{"another revision", func(r *Result) { r.Revision = 3 }, nil, Contradictory, "this is the report of harbour/müller-kitchen, revision 2"},
		{"another drawing", func(r *Result) { r.Source.SHA256 = strings.Repeat("e", 64) }, nil, Contradictory, "this is the report of another drawing"},
		{"the cell was emptied", func(*Result) {}, []string{"R1="}, Contradictory, "has gone"},
		{"a column was put before it", func(*Result) {}, []string{"R1=", "S1=" + markOf(book.Result).String()}, Accepted, ""},
		{"the cell was changed", func(*Result) {}, []string{"R1=mine"}, Contradictory, "has gone"},
	} {
		r := *book.Result
		c.change(&r)
		j := read(t, edit(t, data, func(f *excelize.File) { put(f, c.cells...) })).Judge(&r)
		if j.State != c.state || (c.told == "") != (len(j.Missing) == 0) || c.told != "" && !strings.Contains(j.Missing[0], c.told) {
			t.Errorf("%s: %s, %q, want %s, %q", c.name, j.State, j.Missing, c.state, c.told)
		}
		if c.state == Contradictory && (len(j.Decisions) > 0 || !j.Unusable) {
			t.Errorf("%s: decides %v", c.name, j.Decisions)
		}
	}
}

// Names are written on one line; what a program makes of blanks is no other job.
func TestMarkIsReadBack(t *testing.T) {
	for _, m := range []reportMark{
		{"hill/kitchen", 3, strings.Repeat("a1", 32)},
		{"revision 2, SHA-256, job x", 1, strings.Repeat("0", 64)},
		{"ÉVIER 1", 12, ""},
	} {
		if got, ok := parseMark(" " + m.String() + " "); !ok || got != m {
			t.Errorf("%+v comes back as %+v, %v", m, got, ok)
		}
	}
	for _, s := range []string{"", markTitle, markTitle + ": revision x, SHA-256 none, job a", "Key (do not change)"} {
		if m, ok := parseMark(s); ok {
			t.Errorf("%q is taken for %+v", s, m)
		}
	}
}
