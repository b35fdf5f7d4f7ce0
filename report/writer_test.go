package report

import (
	"bytes"
	"testing"
)

// What was written before leaves no trace in a file: the same report has the same
// parts with tools of its own and with tools that served others.
func TestToolsLeaveNoTrace(t *testing.T) {
	build := func(tools *Tools, in Input, units string) map[string][]byte {
		t.Helper()
		s := Default()
		s.Units = units
		w, err := NewWriter(WorkbookInput{Result: Build(in), Template: in.Template, Settings: s}, tools)
		if err != nil {
			t.Fatal(err)
		}
		defer w.Close()
		var out bytes.Buffer
		if err := w.Workbook(&out); err != nil {
			t.Fatal(err)
		}
		return parts(t, out.Bytes())
	}
	var shared Tools
	build(&shared, eightPieces(), UnitsInch)
	build(&shared, eightPieces(), UnitsBoth)
	for range 2 {
		got, want := build(&shared, kitchenInput(), UnitsMM), build(&Tools{}, kitchenInput(), UnitsMM)
		for name := range want {
			if name == "[Content_Types].xml" {
				continue // the library lists the types in an order of its own each time
			}
			if !bytes.Equal(got[name], want[name]) {
				t.Errorf("part %s differs:\n%.600q\n%.600q", name, got[name], want[name])
			}
		}
		if len(got) != len(want) {
			t.Errorf("%d parts with used tools, %d with new ones", len(got), len(want))
		}
	}
}
