package report

import (
	"slices"

	"archive/zip"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// edit changes cells of a workbook as a spreadsheet program would.
func edit(t testing.TB, data []byte, change func(f *excelize.File)) []byte {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	change(f)
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// put writes cells such as "F4=accept".
func put(f *excelize.File, cells ...string) {
	for _, c := range cells {
		name, value, _ := strings.Cut(c, "=")
		if err := f.SetCellStr("Flags", name, value); err != nil {
			panic(err)
		}
	}
}

func read(t testing.TB, data []byte) Decisions {
	t.Helper()
	d, err := ReadDecisions(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	// What a worker has read reaches the service as JSON.
	wire, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	var back Decisions
	if err := json.Unmarshal(wire, &back); err != nil {
		t.Fatal(err)
	}
	return back
}

// The kitchen has three stop flags in rows 4 to 6 and an accepted warning in row 7.
func TestJudge(t *testing.T) {
	book := kitchenBook()
	blank := write(t, book)
	accepted := []string{"F4=accept", "G4=Ana", "H4=brackets ordered", "F5=Accept ", "G5=Ana", "H5=moved on site", "F6=ACCEPT", "G6=Ana", "H6=customer insists"}
	for _, c := range []struct {
		name    string
		cells   []string
		state   State
		missing []string // what each line must hold, in order
	}{
		{"as written", nil, Incomplete, []string{"F1 (unsupported-span): no decision", "F2 (narrow-section): no decision", "F3 (inside-radius): no decision"}},
		{"nothing at all", []string{"F7=", "G7=", "H7="}, Undecided, []string{"F1", "F2", "F3"}},
		{"all accepted", accepted, Accepted, nil},
		{"one without a name", append([]string{}, append(accepted, "G5=")...), Incomplete, []string{"F2 (narrow-section): By is empty"}},
		{"one without a reason", append([]string{}, append(accepted, "H5= ")...), Incomplete, []string{"F2 (narrow-section): Why is empty"}},
		{"a reason without a decision", []string{"H4=hm"}, Incomplete, []string{"F1 (unsupported-span): a name or a reason is given but no decision", "F2", "F3"}},
		{"one sent back, the rest open", []string{"F5=return", "G5=Ana", "H5=measure again"}, Returned, nil},
		{"a note sent back", append([]string{}, append(accepted, "F9=return", "G9=Ana", "H9=wrong room")...), Returned, nil},
		{"sent back without a reason", []string{"F5=return", "G5=Ana"}, Incomplete, []string{"F2 (narrow-section): Why is empty"}},
		{"another word", append([]string{}, append(accepted, "F5=ok")...), Contradictory, []string{`cell F5 says "ok"; write accept or return`}},
		{"the words as people bend them", append([]string{}, append(accepted, "F4=accepted", "F5=Accepted ")...), Accepted, nil},
		{"sent back in other words", []string{"F5=Returned", "G5=Ana", "H5=measure again"}, Returned, nil},
		{"yes is no decision", append([]string{}, append(accepted, "F4=yes")...), Contradictory, []string{`cell F4 says "yes"; write accept or return`}},
		{"numbers sorted, keys not", append([]string{}, append(accepted, "A4=F2", "A5=F1")...), Contradictory,
			[]string{"row 4 shows F2, but its key is that of F1", "row 5 shows F1, but its key is that of F2"}},
		{"a decision without a flag", append([]string{}, append(accepted, "F12=accept")...), Contradictory, []string{"row 12 has a decision but no key"}},
		{"another key", append([]string{}, append(accepted, "R5=something/else")...), Contradictory, []string{"row 5 decides something/else, which is no flag of this result", "F2"}},
		{"the same flag twice", append([]string{}, append(accepted, "R12="+book.Result.Flags[1].Key, "F12=return", "G12=Bo", "H12=no")...), Contradictory, []string{"rows 5 and 12 decide the same flag differently"}},
	} {
		got := read(t, edit(t, blank, func(f *excelize.File) { put(f, c.cells...) })).Judge(book.Result)
		if got.State != c.state {
			t.Errorf("%s: %s, want %s (%q)", c.name, got.State, c.state, got.Missing)
		}
		if len(got.Missing) != len(c.missing) {
			t.Errorf("%s: missing %q, want %q", c.name, got.Missing, c.missing)
			continue
		}
		for i := range c.missing {
			if !strings.HasPrefix(got.Missing[i], c.missing[i]) {
				t.Errorf("%s: missing %q, want %q", c.name, got.Missing[i], c.missing[i])
			}
		}
	}
}

// While the unit is in doubt most checks do not look: whoever accepted the doubt released
// what nobody had checked.
func TestWhatOthersWaitForCannotBeAccepted(t *testing.T) {
	book := kitchenBook()
	book.Result.Flags[1].Rule = "units-implausible"
	all := []string{"F4=accept", "G4=Ana", "H4=brackets ordered", "F5=accept", "G5=Ana", "H5=it is right", "F6=accept", "G6=Ana", "H6=customer insists"}
	blank := write(t, book)
	got := read(t, edit(t, blank, func(f *excelize.File) { put(f, all...) })).Judge(book.Result)
	if got.State != Contradictory || len(got.Missing) != 1 || !strings.HasPrefix(got.Missing[0], "F2 (units-implausible) cannot be accepted") {
		t.Errorf("%s %q", got.State, got.Missing)
	}
	if got := read(t, edit(t, blank, func(f *excelize.File) { put(f, "F5=return", "G5=Ana", "H5=in cm") })).Judge(book.Result); got.State != Returned {
		t.Errorf("%s %q", got.State, got.Missing)
	}
	f, err := excelize.OpenReader(bytes.NewReader(blank))
	if err != nil {
		t.Fatal(err)
	}
	rules, err := f.GetDataValidations("Flags")
	if err != nil {
		t.Fatal(err)
	}
	var lists []string
	for _, v := range rules {
		if v.Type == "list" {
			lists = append(lists, v.Sqref+" "+v.Formula1)
		}
	}
	if want := []string{`F4:F4 F6:F9 "accept,return"`, `F5:F5 "return"`}; !slices.Equal(lists, want) {
		t.Errorf("%q, want %q", lists, want)
	}
}

func TestDecisionsCarryTheirRevision(t *testing.T) {
	book := kitchenBook()
	data := edit(t, write(t, book), func(f *excelize.File) { put(f, "F4=accept", "G4=Bo", "H4=x") })
	j := read(t, data).Judge(book.Result)
	old, fresh := j.Decisions[book.Result.Flags[3].Key], j.Decisions[book.Result.Flags[0].Key]
	if old != (Decision{Choice: Accept, By: "Ana Brandt", Why: "customer wants it here", Revision: 1}) {
		t.Errorf("carried decision becomes %+v", old)
	}
	if fresh != (Decision{Accept, "Bo", "x", 2, book.Result.Flags[0].Key, book.Result.Flags[0].Measured}) {
		t.Errorf("new decision is %+v", fresh)
	}
	data = edit(t, data, func(f *excelize.File) { put(f, "H7=another reason") })
	if d := read(t, data).Judge(book.Result).Decisions[book.Result.Flags[3].Key]; d.Revision != 2 {
		t.Errorf("a changed reason keeps revision %d", d.Revision)
	}
}

// Rows may be sorted and columns moved: rows are known by key, columns by title.
func TestDecisionsFollowKeys(t *testing.T) {
	book := kitchenBook()
	data := edit(t, write(t, book), func(f *excelize.File) {
		put(f, "F4=accept", "G4=Ana", "H4=first", "F5=return", "G5=Bo", "H5=second")
		for _, c := range []string{"A", "F", "G", "H", "R"} {
			a, _ := f.GetCellValue("Flags", c+"4")
			b, _ := f.GetCellValue("Flags", c+"5")
			put(f, c+"4="+b, c+"5="+a)
		}
	})
	j := read(t, data).Judge(book.Result)
	if d := j.Decisions[book.Result.Flags[0].Key]; d.Why != "first" || d.Choice != Accept {
		t.Errorf("first flag: %+v", d)
	}
	if d := j.Decisions[book.Result.Flags[1].Key]; d.Why != "second" || d.Choice != Return {
		t.Errorf("second flag: %+v", d)
	}
}

func TestFormulasAreRefused(t *testing.T) {
	book := kitchenBook()
	for cell, title := range map[string]string{"F4": "Decision", "G5": "By", "H6": "Why"} {
		data := edit(t, write(t, book), func(f *excelize.File) {
			put(f, "F4=accept", "G4=Ana", "H4=x", "F5=accept", "G5=Ana", "H5=x", "F6=accept", "G6=Ana", "H6=x")
			if err := f.SetCellFormula("Flags", cell, `IF(1=1,"accept","return")`); err != nil {
				t.Fatal(err)
			}
		})
		d := read(t, data)
		if want := "cell " + cell + " holds a formula; write " + title + " as plain text"; len(d.Problems) != 1 || d.Problems[0] != want {
			t.Errorf("%s: problems %q, want %q", cell, d.Problems, want)
		}
		j := d.Judge(book.Result)
		if j.State != Contradictory {
			t.Errorf("%s: %s", cell, j.State)
		}
		for _, m := range j.Missing { // said once, as a formula
			if strings.Contains(m, "no decision") {
				t.Errorf("%s: %q is asked for as well", cell, m)
			}
		}
	}
}

func TestDecisionTextIsCleaned(t *testing.T) {
	book := kitchenBook()
	data := edit(t, write(t, book), func(f *excelize.File) {
		put(f, "F4=accept", "G4=Ana\r\n\tB.", "H4="+strings.Repeat("é", 600))
	})
	d := read(t, data)
	if d.Rows[0].By != "Ana B." {
		t.Errorf("name %q", d.Rows[0].By)
	}
	if n := len([]rune(d.Rows[0].Why)); n != mostDecisionText || len(d.Problems) != 1 {
		t.Errorf("reason of %d characters, problems %q", n, d.Problems)
	}
}

// bomb is a package whose one sheet unpacks to a size.
func bomb(t *testing.T, size int64) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	w, err := z.Create("xl/worksheets/sheet1.xml")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.CopyN(w, zeros{}, size); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

func TestHostileWorkbooks(t *testing.T) {
	good := write(t, kitchenBook())
	many := func() []byte {
		var out bytes.Buffer
		z := zip.NewWriter(&out)
		for i := range mostParts + 1 {
			if _, err := z.Create(fmt.Sprint("p", i)); err != nil {
				t.Fatal(err)
			}
		}
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
	for _, c := range []struct {
		name string
		data []byte
		size int64 // claimed; 0: the data's
		want string
	}{
		{"empty", nil, 0, "is not an .xlsx file; save it as Excel workbook"},
		{"text", []byte("accept"), 0, "is not an .xlsx file"},
		{"cut short", good[:len(good)/2], 0, "is not an .xlsx file"},
		{"too large", good, mostWorkbook + 1, "more than 33554432"},
		{"unpacks to too much", bomb(t, mostUnpacked+1), 0, "unpacks to more than 268435456 bytes"},
		{"too many parts", many(), 0, "holds 4001 files"},
		{"not a workbook", bomb(t, 10), 0, "has no part xl/workbook.xml"},
		{"without the sheet", edit(t, good, func(f *excelize.File) {
			if err := f.SetSheetName("Flags", "Other"); err != nil {
				t.Fatal(err)
			}
		}), 0, "has no sheet Flags"},
		{"without the key column", edit(t, good, func(f *excelize.File) { put(f, "R3=") }), 0, "has no row with the titles No., Decision, By, Why, Key"},
	} {
		size := c.size
		if size == 0 {
			size = int64(len(c.data))
		}
		_, err := ReadDecisions(bytes.NewReader(c.data), size)
		var w *WorkbookError
		if !errors.As(err, &w) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

// rebuild replaces the sheet of flags of a workbook.
func rebuild(t testing.TB, data []byte, sheet string) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	part, err := sheetPart(z, "Flags")
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range z.File {
		if f.Name != part.Name {
			if err := w.Copy(f); err != nil {
				t.Fatal(err)
			}
			continue
		}
		p, err := w.Create(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(p, sheet); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// Sheets made to fill memory: far cells, far rows, many rows. Each must end in
// an error or in no decisions, and soon.
func TestHostileSheets(t *testing.T) {
	good := write(t, kitchenBook())
	head := `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>`
	for name, rows := range map[string]string{
		"far cells": strings.Repeat(`<row><c r="XFD1" t="inlineStr"><is><t>x</t></is></c></row>`, 2000),
		"far row":   `<row r="1048576"><c r="A1048576"><v>1</v></c></row>`,
		"beyond":    `<row r="99999999999999"><c r="ZZZZZZ99999999999999"><v>1</v></c></row>`,
		"negative":  `<row r="-5"><c r="A-5"><v>1</v></c></row>`,
		"not XML":   `<row r="1"><c r="A1"`,
		"index":     `<row r="1"><c r="A1" t="s"><v>999999999</v></c></row>`,
		"nothing":   ``,
	} {
		data := rebuild(t, good, head+rows+`</sheetData></worksheet>`)
		d, err := ReadDecisions(bytes.NewReader(data), int64(len(data)))
		if err == nil || len(d.Rows) > 0 {
			t.Errorf("%s: %d rows, %v", name, len(d.Rows), err)
		}
	}
}

func FuzzReadDecisions(f *testing.F) {
	good := write(f, WorkbookInput{Result: FailedResult(Source{}, "", 0, nil), Settings: Default()}) // small: no pictures
	f.Add(`<row r="3"><c r="A3" t="inlineStr"><is><t>No.</t></is></c></row>`)
	f.Add(`<row r="4"><c r="F4" t="str"><f>1</f><v>accept</v></c></row>`)
	f.Add(`<row r="4"><c r="F4" t="s"><v>-1</v></c></row>`)
	f.Fuzz(func(t *testing.T, rows string) {
		if len(rows) > 1<<16 {
			return
		}
		head := `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` +
			`<row r="1"><c r="A1" t="inlineStr"><is><t>No.</t></is></c><c r="B1" t="inlineStr"><is><t>Decision</t></is></c><c r="C1" t="inlineStr"><is><t>By</t></is></c>` +
			`<c r="D1" t="inlineStr"><is><t>Why</t></is></c><c r="E1" t="inlineStr"><is><t>Key (do not change)</t></is></c></row>`
		data := rebuild(t, good, head+rows+`</sheetData></worksheet>`)
		d, err := ReadDecisions(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			var w *WorkbookError
			if !errors.As(err, &w) {
				t.Fatalf("error of type %T", err)
			}
			return
		}
		for _, r := range d.Rows {
			if r.Choice != "" && r.Choice != Accept && r.Choice != Return {
				t.Fatalf("choice %q", r.Choice)
			}
		}
		d.Judge(&Result{Flags: []Flag{{ID: "F1", Key: "k", Severity: "stop"}}})
	})
}

// What the templater reads is what he can do something about, in the units of the sentences.
func TestReturnNoteOfOddFlags(t *testing.T) {
	r := &Result{Job: "kitchen", Revision: 2, Flags: []Flag{
		{ID: "F1", Key: "a", Rule: "overhang-share", Severity: "stop", Piece: "A", Message: "40.0 % of piece A hangs over; 33.3 % may.", Unit: "share", Measured: 0.4, Limit: 1.0 / 3, Remedy: "Move the support."},
		{ID: "F2", Key: "b", Rule: "changed-since-release", Severity: "stop", Message: "This template was already released (revision 1) and has changed since.", Remedy: "Compare the sheet Changes with what has been cut, and accept or return this revision."},
		{ID: "F3", Key: "c", Rule: "overhang", Severity: "stop", Piece: "A", Message: "No support carries piece A.", Unit: "mm", Measured: 192.4, NoLimit: true, Remedy: "A support."},
	}}
	back := Decision{Choice: Return, By: "Rosa", Why: "no"}
	got := ReturnNote(r, map[string]Decision{"a": back, "b": back, "c": back}, Settings{Units: UnitsMM})
	for _, want := range []string{"Measured 40 %, limit 33.3 %, at", "Measured 192.4 mm, at", "What to do: Move the support."} {
		if !strings.Contains(got, want) {
			t.Errorf("the note lacks %q:\n%s", want, got)
		}
	}
	for _, never := range []string{"share", "sheet Changes", "limit 0"} {
		if strings.Contains(got, never) {
			t.Errorf("the note says %q:\n%s", never, got)
		}
	}
}

func TestReturnNote(t *testing.T) {
	r := Build(kitchenInput())
	r.Flags[1].Message = "Only 30.5 mm\x00 of stone\nis left between the tap hole and sink A-1."
	got := ReturnNote(r, map[string]Decision{
		r.Flags[1].Key: {Return, "Ana Brandt", "measure the tap hole again, it cannot be that near to the sink as it stands on site", 2, "", 0},
		r.Flags[2].Key: {Accept, "Ana Brandt", "fine", 2, "", 0},
	}, Settings{Units: UnitsMM})
	// The kitchen is drawn in inches: 6180 mm are 243.31 in, 12557.3 mm 494.38 in.
	want := `Template sent back: harbour/müller-kitchen, revision 2
======================================================
File: kitchen.dxf

Please fix
----------

1. F2, stop, piece A: Only 30.5 mm of stone is left between the tap hole
   and sink A-1.
   Measured 30.5 mm [1 3/16"], limit 50 mm [1 15/16"], in the drawing at x
   243.31 in, y 494.38 in.
   What to do: Move the tap hole 19.5 mm to the back.
   Sent back by Ana Brandt: measure the tap hole again, it cannot be that
   near to the sink as it stands on site

Also found, not decided yet
---------------------------

2. F1, stop, piece C: Piece C overhangs its support by 400 mm; the limit
   for 30 mm stone is 254 mm.
   Measured 400 mm [15 3/4"], limit 254 mm [10"], in the drawing at x 240.16
   in, y 405.51 in.
   What to do: Add brackets or a support panel so that no more than 254 mm
   stays free, or shorten the piece by 146 mm.

The drawing marked.dxf beside this note shows each place. Save the corrected
drawing into the drop folder under the same name; it becomes the next
revision.
`
	if got != want {
		t.Errorf("note:\n%s", got)
	}
}

// The place and the figures of a note are those that the templater's own program
// shows: 395 mm are 15.55 in, 30 mm are 1 3/16 in (1.18 in to the sixteenth); 1 in is
// 25.4 mm (NIST SP 811).
func TestReturnNoteUnits(t *testing.T) {
	for _, tc := range []struct {
		drawing, look string
		want          string
	}{
		{"mm", UnitsMM, "Measured 30 mm, limit 50 mm, at x 395, y 15 mm in the drawing."},
		{"mm", UnitsBoth, `Measured 30 mm [1 3/16"], limit 50 mm [1 15/16"], at x 395, y 15 mm in the drawing.`},
		{"in", UnitsMM, `Measured 30 mm [1 3/16"], limit 50 mm [1 15/16"], in the drawing at x 15.55 in, y 0.59 in.`},
		{"in", UnitsInch, `Measured 1.18 in, limit 1.97 in, in the drawing at x 15.55 in, y 0.59 in.`},
		{"in", UnitsBoth, `Measured 1.18 in, limit 1.97 in, in the drawing at x 15.55 in, y 0.59 in.`}, // as its sentences
		{"m", UnitsMM, "Measured 30 mm, limit 50 mm, in the drawing at x 0.395 m, y 0.015 m."},
	} {
		r := &Result{Flags: []Flag{{ID: "F1", Key: "k", Severity: "stop", Unit: "mm", Measured: 30, Limit: 50, At: XY{395, 15}}}}
		r.Units.Drawing = tc.drawing
		note := ReturnNote(r, map[string]Decision{"k": {Choice: Return, By: "Ida", Why: "why"}}, Settings{Units: tc.look})
		if got := strings.Join(strings.Fields(note), " "); !strings.Contains(got, tc.want) {
			t.Errorf("drawing in %s, reports in %s:\n%s\nwant %s", tc.drawing, tc.look, note, tc.want)
		}
	}
}
