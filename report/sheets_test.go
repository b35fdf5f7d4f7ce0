package report

import (
	"slices"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules"
)

// A table without rows has no sheet; the summary's count of it stays, without a
// link that leads nowhere.
func TestEmptyTablesHaveNoSheet(t *testing.T) {
	p := square("A", 0)
	tpl := &piece.Template{Pieces: []piece.Piece{p}}
	r := Build(Input{Template: tpl})
	r.Unchecked = nil
	f := open(t, write(t, WorkbookInput{Result: r, Template: tpl, Settings: Default()}))
	if got, want := strings.Join(f.GetSheetList(), " "), "Summary Flags Piece A Pieces Edges Set-up"; got != want {
		t.Errorf("sheets: %s, want %s", got, want)
	}
	cards := map[string]bool{"Seams": false, "Repairs": false, "Cutouts": false, "Not checked": false, "Pieces": true}
	rows, err := f.GetRows("Summary")
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		for j, v := range row {
			want, ok := cards[v]
			if !ok || i > 12 {
				continue
			}
			delete(cards, v)
			linked, target, err := f.GetCellHyperLink("Summary", cellName(j+1, i+1))
			if err != nil || linked != want {
				t.Errorf("%s leads to %q (%v): a link is %v, want %v", v, target, err, linked, want)
			}
		}
	}
	if len(cards) > 0 {
		t.Errorf("the summary does not count %v", cards)
	}
}

func square(id string, x float64) piece.Piece {
	outline := geom.Polygon(pt(x, 0), pt(x+1000, 0), pt(x+1000, 600), pt(x, 600))
	p := piece.Piece{ID: id, Outline: outline, Thickness: 30}
	for i, c := range outline {
		p.Edges = append(p.Edges, piece.Edge{N: i + 1, Curves: []geom.Curve{c}})
	}
	return p
}

// The first line says when a rule that stops templates could not look; one that
// only warns leaves it alone.
func TestHeadlineTellsOfStopChecksNotMade(t *testing.T) {
	for _, tc := range []struct {
		name      string
		unchecked []string
		accepted  bool
		want      string
	}{
		{"all looked", nil, false, "READY: nothing stops this template"},
		{"a warning not made", []string{"too-big-for-access"}, false, "READY: nothing stops this template"},
		{"one stop not made", []string{"overhang", "too-big-for-access"}, false, "READY: nothing stops this template, but 1 stop check was not made"},
		{"one rule on two pieces", []string{"overhang", "overhang"}, false, "READY: nothing stops this template, but 1 stop check was not made"},
		{"accepted, two not made", []string{"overhang", "unsupported-span"}, true, "READY: every stop flag is accepted (1), but 2 stop checks were not made"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := &Result{Verdict: Ready}
			for _, u := range tc.unchecked {
				r.Unchecked = append(r.Unchecked, Unchecked{Rule: u, Why: "the drawing has no support layer"})
			}
			if tc.accepted {
				r.Flags = []Flag{{Severity: string(rules.Stop), Decision: &Decision{Choice: Accept, By: "Ana Brandt"}}}
			}
			if got := words(r); got != tc.want {
				t.Errorf("%q, want %q", got, tc.want)
			}
		})
	}
}

// The first line of a report that waits is as true in ready/ as it was in review/:
// nobody writes into the workbook in between. Outside a shop nothing becomes of it.
func TestHeadlineOfAReview(t *testing.T) {
	in := kitchenBook()
	for revision, want := range map[int][2]string{
		2: {"FOR REVIEW when made: 3 stop flags to decide on sheet Flags", afterReview},
		0: {"REVIEW: 3 stop flags wait for a decision on sheet Flags", ""},
	} {
		r := *in.Result
		r.Revision, in.Result = revision, &r
		f := open(t, write(t, in))
		for i, cell := range []string{"A4", "A5"} {
			if got, err := f.GetCellValue("Summary", cell); err != nil || got != want[i] {
				t.Errorf("revision %d, %s: %q (%v), want %q", revision, cell, got, err, want[i])
			}
		}
	}
}

// A flag that measures nothing shows no 0 beside a limit of 0.
func TestNothingMeasuredIsNoZero(t *testing.T) {
	in := kitchenBook()
	r := *in.Result
	r.Flags = []Flag{
		{ID: "F1", Key: "a", Rule: "changed-since-release", Severity: "stop", Message: "Changed."},
		{ID: "F2", Key: "b", Rule: "inside-radius", Severity: "stop", Message: "Sharp.", Unit: "mm", Limit: 9.5},
	}
	in.Result = &r
	f := open(t, write(t, in))
	for cell, want := range map[string]string{"I4": "", "J4": "", "I5": "0", "J5": "9.5"} {
		if got, err := f.GetCellValue("Flags", cell); err != nil || got != want {
			t.Errorf("%s: %q (%v), want %q", cell, got, err, want)
		}
	}
}

// Only the cells of stop flags look as if they wait for an entry; all are open
// for one.
func TestOnlyStopFlagsAskForADecision(t *testing.T) {
	in := kitchenBook()
	f := open(t, write(t, in))
	for i, flag := range in.Result.Flags {
		for column := 6; column <= 8; column++ {
			cell := cellName(column, flagRow(i))
			id, err := f.GetCellStyle("Flags", cell)
			if err != nil {
				t.Fatal(err)
			}
			style, err := f.GetStyle(id)
			if err != nil {
				t.Fatal(err)
			}
			yellow := slices.Contains(style.Fill.Color, fillInput)
			if want := flag.Severity == string(rules.Stop); yellow != want {
				t.Errorf("%s of a %s flag is yellow: %v", cell, flag.Severity, yellow)
			}
			if style.Protection == nil || style.Protection.Locked {
				t.Errorf("%s is locked", cell)
			}
		}
	}
}

// A flag about two pieces stands with both names in the list.
func TestFlagOfTwoPiecesNamesBoth(t *testing.T) {
	in := kitchenBook()
	in.Result.Flags = []Flag{{ID: "F1", Severity: "warn", Rule: "seam-near-cutout", Piece: "A", Other: "B", Key: "k1"}, {ID: "F2", Severity: "warn", Rule: "too-heavy", Piece: "B", Key: "k2"}}
	f := open(t, write(t, in))
	for cell, want := range map[string]string{"C4": "A and B", "C5": "B"} {
		if got, _ := f.GetCellValue("Flags", cell); got != want {
			t.Errorf("Flags!%s says %q, want %q", cell, got, want)
		}
	}
}

// Long names of jobs, pieces and stones stand on the summary in full, over as many
// lines as they take; they were cut off by the next cell.
func TestLongNamesWrapOnTheSummary(t *testing.T) {
	in := kitchenBook()
	in.Result.Job = "Big kitchen, 1234 Cedar Fork Road, upstairs, with the bar and the pantry behind it"
	in.Result.Pieces[0].ID, in.Result.Pieces[0].Material = "ISLAND WITH SEATING FOR FOUR", "Blue Ridge granite, leathered, from the second bundle"
	f := open(t, write(t, in))
	for _, name := range []string{in.Result.Job, in.Result.Pieces[0].ID, in.Result.Pieces[0].Material} {
		found := false
		rows, err := f.GetRows("Summary")
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range rows {
			for k, cell := range row {
				if !strings.Contains(cell, name) || found {
					continue
				}
				found = true
				id, err := f.GetCellStyle("Summary", cellName(k+1, i+1))
				if err != nil {
					t.Fatal(err)
				}
				style, err := f.GetStyle(id)
				if err != nil {
					t.Fatal(err)
				}
				high, err := f.GetRowHeight("Summary", i+1)
				if err != nil {
					t.Fatal(err)
				}
				if size := style.Font.Size; style.Alignment == nil || !style.Alignment.WrapText || high < 2*size*lineHeight {
					t.Errorf("%q: %.1f points high at size %g, alignment %+v", name, high, size, style.Alignment)
				}
			}
		}
		if !found {
			t.Errorf("%q is not on the summary", name)
		}
	}
}
