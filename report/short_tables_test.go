package report

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// shortNames are the tables that may share a sheet.
var shortNames = []string{"Seams", "Supports", "Repairs", "Not checked"}

// longBook is the kitchen with so many lines about one thing that each table has
// a sheet of its own.
func longBook() WorkbookInput {
	in := kitchenBook()
	for i := range mostShort {
		in.Result.Unchecked = append(in.Result.Unchecked, Unchecked{Rule: "overhang", Why: fmt.Sprint("line ", i)})
	}
	return in
}

// lines returns the cells of a table that hold something, from its titles on.
func lines(t *testing.T, f *excelize.File, sheet, name string) [][]string {
	t.Helper()
	rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(rows, func(r []string) bool { return len(r) > 0 && r[0] == name })
	if at < 0 {
		t.Fatalf("sheet %s has no table %s", sheet, name)
	}
	var out [][]string
	for _, r := range rows[at+2:] {
		r = slices.DeleteFunc(slices.Clone(r), func(s string) bool { return s == "" })
		if len(r) == 0 {
			break
		}
		out = append(out, r)
	}
	return out
}

// Short tables say the same on one sheet as each on its own.
func TestShortTablesLoseNothing(t *testing.T) {
	for _, units := range []string{UnitsMM, UnitsInch, UnitsBoth} {
		short, long := kitchenBook(), longBook()
		short.Settings.Units, long.Settings.Units = units, units
		one, many := open(t, write(t, short)), open(t, write(t, long))
		for _, name := range shortNames {
			got, want := lines(t, one, detailsSheetName, name), lines(t, many, name, name)
			want = slices.DeleteFunc(want, func(r []string) bool { return r[0] == "rule overhang" }) // what made it long
			if len(want) < 2 {
				t.Errorf("%s: the kitchen has no rows in table %s", units, name)
			}
			if !slices.EqualFunc(got, want, slices.Equal) {
				t.Errorf("%s, table %s:\n%q\nwant\n%q", units, name, got, want)
			}
		}
	}
}

// Tables share a sheet when they are short and there are two of them: a sheet
// with one table keeps the table's name.
func TestWhichTablesShareASheet(t *testing.T) {
	for _, tc := range []struct {
		name string
		rows []int // of the short tables, in their order
		want bool
	}{
		{"all empty", []int{0, 0, 0, 0}, false},
		{"one only", []int{0, 0, 0, 6}, false},
		{"two", []int{1, 0, 0, 1}, true},
		{"just as many as go on a page", []int{mostShort - 3, 1, 1, 1}, true},
		{"one more", []int{mostShort - 2, 1, 1, 1}, false},
	} {
		tables := []tableSheet{{name: "Pieces", rows: 1000}}
		for i, n := range tc.rows {
			tables = append(tables, tableSheet{name: shortNames[i], rows: n, short: true})
		}
		if got := together(tables); got != tc.want {
			t.Errorf("%s: together %v, want %v", tc.name, got, tc.want)
		}
	}
}

// On the shared sheet no cell runs into another, every title has the room that
// its longest word needs, and links lead to it.
func TestShortTablesKeepTheirColumns(t *testing.T) {
	for _, units := range []string{UnitsMM, UnitsInch, UnitsBoth} {
		in := kitchenBook()
		in.Settings.Units = units
		f := open(t, write(t, in))
		merged, err := f.GetMergeCells(detailsSheetName)
		if err != nil {
			t.Fatal(err)
		}
		wide := map[string]int{} // columns that a merged cell takes, by its first
		taken := map[string]string{}
		for _, m := range merged {
			c0, r0, _ := excelize.CellNameToCoordinates(m.GetStartAxis())
			c1, r1, _ := excelize.CellNameToCoordinates(m.GetEndAxis())
			if r0 != r1 {
				t.Errorf("%s: %s runs over several rows", units, m[0])
			}
			wide[m.GetStartAxis()] = c1 - c0 + 1
			for c := c0; c <= c1; c++ {
				if other := taken[cellName(c, r0)]; other != "" {
					t.Errorf("%s: %s and %s overlap", units, m[0], other)
				}
				taken[cellName(c, r0)] = m[0]
			}
		}
		rows, err := f.GetRows(detailsSheetName)
		if err != nil {
			t.Fatal(err)
		}
		titles := 0
		for i, row := range rows {
			if i < 2 || len(rows[i-2]) == 0 || !slices.Contains(shortNames, rows[i-2][0]) {
				continue
			}
			for j, title := range row {
				if title == "" {
					continue
				}
				titles++
				width := 0.0
				for c := j + 1; c <= j+max(1, wide[cellName(j+1, i+1)]); c++ {
					letters, _ := excelize.ColumnNumberToName(c)
					w, err := f.GetColWidth(detailsSheetName, letters)
					if err != nil {
						t.Fatal(err)
					}
					width += w * digitPixels
				}
				for _, word := range strings.Fields(title) {
					// Eight pixels a letter of bold Arial 10 at 96 to the inch are plenty: its
					// widest small letters but m are 6 to 8 wide.
					if need := float64(len(word)) * 8; width < need {
						t.Errorf("%s: title %q has %.0f pixels, its word %q needs %.0f", units, title, width, word, need)
					}
				}
			}
		}
		if titles < 20 {
			t.Errorf("%s: only %d titles were looked at", units, titles)
		}
	}
}
