package report

import (
	"bytes"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/rules"
)

// A flag about a seam, or about a second piece, stands on the sheets of both
// pieces: the sheet of the second one was silent.
func TestFlagOfTwoPiecesStandsOnBothSheets(t *testing.T) {
	for _, c := range []struct{ name, piece, other, want string }{
		{"a seam of the piece", "B", "S1", "A"},
		{"the seam's first piece", "A", "S1", "B"},
		{"another piece", "C", "D", "D"},
		{"a cutout", "A", "A-1", ""},
		{"a layer", "", "SEAM", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := kitchenInput()
			in.Findings.Flags = []rules.Flag{{Rule: "seam-mismatch", Severity: rules.Stop, Piece: c.piece, Other: c.other, Key: "k", Message: "It gapes.", Remedy: "Close it."}}
			r := Build(in)
			if got := r.Flags[0].Other; got != c.want {
				t.Fatalf("second piece %q, want %q", got, c.want)
			}
			f := open(t, write(t, WorkbookInput{Result: r, Template: in.Template, Settings: Default()}))
			for _, p := range r.Pieces {
				rows, err := f.GetRows("Piece " + p.ID)
				if err != nil {
					t.Fatal(err)
				}
				told := false
				for _, row := range rows {
					told = told || strings.Contains(strings.Join(row, " "), "It gapes")
				}
				if told != (p.ID == c.piece || p.ID == c.want) {
					t.Errorf("told on the sheet of %s: %v", p.ID, told)
				}
			}
		})
	}
}

// Every place of a flag is in the document, in the drawing's own frame, and is
// ringed in the marked drawing and dotted in the picture.
func TestFurtherPlaces(t *testing.T) {
	in := kitchenInput()
	in.Findings.Flags = []rules.Flag{{Rule: "inside-radius", Severity: rules.Stop, Piece: "A", Other: "A-1", Key: "k", At: pt(100, 200),
		Further: []geom.Point{pt(300, 200), pt(300, 500)}, Message: "Three corners.", Remedy: "Round them."}}
	r := Build(in)
	want := []XY{{5300, 12200}, {5300, 12500}} // the kitchen's shift is 5000, 12000
	if got := r.Flags[0].Further; len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("further places %v, want %v", got, want)
	}
	sheet := MarkedDrawing(&dxfio.Drawing{}, in.Template.Shift, r, dxfio.UnitMillimetre)
	for _, p := range []geom.Point{pt(5100, 12200), pt(5300, 12200), pt(5300, 12500)} {
		rings := 0
		for _, l := range sheet.Polylines {
			if l.Closed && geom.Loop(l.Curves).Box().Center().Distance(p) < 1e-6 {
				rings++
			}
		}
		if rings != 1 {
			t.Errorf("%d rings around %v", rings, p)
		}
	}
	dots := func(r *Result) int {
		pictures, err := picturesOf(WorkbookInput{Result: r, Template: in.Template, Settings: Default()})
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := pictures[0].write(&out); err != nil {
			t.Fatal(err)
		}
		return strings.Count(out.String(), "<path")
	}
	all := dots(r)
	r.Flags[0].Further = nil
	if one := dots(r); all < one+2 {
		t.Errorf("%d shapes in the picture with three places, %d with one", all, one)
	}
}
