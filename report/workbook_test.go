package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"image/png"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"trueup/dxfio/piece"
)

// kitchenBook is the input of the kitchen's workbook.
func kitchenBook() WorkbookInput {
	in := kitchenInput()
	return WorkbookInput{
		Result: Build(in), Template: in.Template, Settings: Default(),
		Limits: []Limit{
			{"rules.narrow_stop", 50.0, 50.0, "mm", "a strip of stone narrower than this breaks", "2 in, common practice, no source", false},
			{"rules.inside_radius", 9.525, 9.5, "mm", "inside corners tighter than this start cracks", "3/8 in (9.5 mm), two trade pages, common practice", true},
			{"rules.off", "", "", "", "rules that are switched off", "", false},
		},
	}
}

func write(t testing.TB, in WorkbookInput) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := writeWorkbook(&out, in); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func open(t testing.TB, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// number returns a cell's number, and fails when the cell holds text.
func numberAt(t *testing.T, f *excelize.File, sheet, cell string) float64 {
	t.Helper()
	kind, err := f.GetCellType(sheet, cell)
	if err != nil {
		t.Fatal(err)
	}
	if kind != excelize.CellTypeNumber && kind != excelize.CellTypeUnset {
		t.Errorf("%s!%s is not a number", sheet, cell)
	}
	s, err := f.GetCellValue(sheet, cell, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	var v float64
	if _, err := fmt.Sscan(s, &v); err != nil {
		t.Errorf("%s!%s holds %q", sheet, cell, s)
	}
	return v
}

func TestWorkbookAgreesWithTheResult(t *testing.T) {
	in := kitchenBook()
	f := open(t, write(t, in))
	want := "Summary Flags Piece A Piece B Piece C Piece D Pieces Edges Cutouts Set-up Details Limits"
	if got := strings.Join(f.GetSheetList(), " "); got != want {
		t.Errorf("sheets: %s", got)
	}
	for i, p := range in.Result.Pieces {
		row := fmt.Sprint(4 + i)
		near(t, p.ID+" length", numberAt(t, f, "Pieces", "F"+row), p.Length, 1e-9)
		near(t, p.ID+" length in inches", numberAt(t, f, "Pieces", "G"+row)*25.4, p.Length, 1e-9)
		near(t, p.ID+" net area", numberAt(t, f, "Pieces", "J"+row)*1e6, p.Area, 1e-6)
		near(t, p.ID+" net area in ft2", numberAt(t, f, "Pieces", "K"+row)*92903.04, p.Area, 1e-6)
		near(t, p.ID+" mass", numberAt(t, f, "Pieces", "L"+row), p.Mass, 1e-9)
		near(t, p.ID+" pounds", numberAt(t, f, "Pieces", "M"+row)*0.45359237, p.Mass, 1e-9)
	}
	for i, flag := range in.Result.Flags {
		row, pieces := fmt.Sprint(4+i), flag.Piece
		if flag.Other != "" {
			pieces += " and " + flag.Other
		}
		for column, want := range map[string]string{"A": flag.ID, "B": severityWord(flag.Severity), "C": pieces, "D": flag.Message, "E": flag.Remedy, "Q": flag.Rule, "R": flag.Key} {
			if got, _ := f.GetCellValue("Flags", column+row); got != want {
				t.Errorf("Flags!%s%s: %q, want %q", column, row, got, want)
			}
		}
		near(t, flag.ID, numberAt(t, f, "Flags", "I"+row), flag.Measured, 0.05)
	}
	if got, _ := f.GetCellValue("Flags", "F7"); got != Accept {
		t.Errorf("the earlier decision is not filled in: %q", got)
	}
	if got, _ := f.GetCellValue("Flags", "N7"); got != "accepted in revision 1 by Ana Brandt" {
		t.Errorf("the earlier decision reads %q", got)
	}
	rows, err := f.GetRows("Edges")
	if err != nil {
		t.Fatal(err)
	}
	edges := 0
	for _, p := range in.Result.Pieces {
		edges += len(p.Edges)
	}
	if len(rows) != 3+edges {
		t.Errorf("Edges has %d rows, want %d", len(rows), 3+edges)
	}
}

// The setting out of the kitchen's openings, by hand from its coordinates: the
// sink's upper side lies 650 - 542 below edge 5, its left side 800 from edge 6;
// the tap hole's centre 650 - 590 and 1180.
func TestCutoutsAreSetOut(t *testing.T) {
	tpl := kitchen()
	for _, c := range []struct {
		piece, cutout int
		want          [][2]float64 // edge, distance
	}{
		{0, 0, [][2]float64{{5, 108}, {6, 800}}},
		{0, 1, [][2]float64{{5, 60}, {6, 1180}}},
		{1, 0, [][2]float64{{10, 70}, {1, 400}}},
	} {
		got := offsets(tpl, &tpl.Pieces[c.piece], &tpl.Pieces[c.piece].Cutouts[c.cutout])
		if len(got) != len(c.want) {
			t.Errorf("piece %d cutout %d: %d offsets", c.piece, c.cutout, len(got))
			continue
		}
		for i, o := range got {
			if float64(o.edge) != c.want[i][0] || math.Abs(o.distance-c.want[i][1]) > 1e-9 {
				t.Errorf("piece %d cutout %d: %v from edge %d, want %v", c.piece, c.cutout, o.distance, o.edge, c.want[i])
			}
			if math.Abs(o.from.Distance(o.to)-o.distance) > 1e-9 {
				t.Errorf("piece %d cutout %d: the line shown is %v long", c.piece, c.cutout, o.from.Distance(o.to))
			}
		}
	}
	if offsets(tpl, &tpl.Pieces[0], &piece.Cutout{OverEdge: true, Loop: rounded(0, 0, 100, 100, 5)}) != nil {
		t.Error("a cutout over the edge is set out")
	}
}

// The summary shows twelve flags, the gravest first, and says how many there are
// besides; it stays one page.
func TestSummaryShowsTwelveFlags(t *testing.T) {
	in := kitchenBook()
	for len(in.Result.Flags) < 15 {
		f := in.Result.Flags[len(in.Result.Flags)-1]
		f.ID = fmt.Sprint("F", len(in.Result.Flags)+1)
		in.Result.Flags = append(in.Result.Flags, f)
	}
	f := open(t, write(t, in))
	rows, err := f.GetRows("Summary")
	if err != nil {
		t.Fatal(err)
	}
	shown, more := 0, ""
	for _, r := range rows {
		if len(r) > 0 && regexp.MustCompile(`^F[0-9]+$`).MatchString(r[0]) {
			shown++
		} else if len(r) > 0 && strings.HasSuffix(r[0], "more on sheet Flags") {
			more = r[0]
		}
	}
	if shown != 12 || more != "and 3 more on sheet Flags" {
		t.Errorf("%d flags and %q", shown, more)
	}
	layout, err := f.GetPageLayout("Summary")
	if err != nil || layout.FitToHeight == nil || *layout.FitToHeight != 1 {
		t.Errorf("page %+v, %v", layout, err)
	}
}

// A limit that is words, such as a list, wraps in the column of values.
func TestWordsAmongNumbersWrap(t *testing.T) {
	in := kitchenBook()
	in.Limits = []Limit{{Key: "shop.saw.bevel_words", Value: `["mitre", "miter", "bevel", "waterfall"]`, Default: "none"}}
	f := open(t, write(t, in))
	id, err := f.GetCellStyle("Limits", "B4")
	if err != nil {
		t.Fatal(err)
	}
	style, err := f.GetStyle(id)
	if err != nil {
		t.Fatal(err)
	}
	high, err := f.GetRowHeight("Limits", 4)
	if err != nil {
		t.Fatal(err)
	}
	if style.Alignment == nil || !style.Alignment.WrapText || high < 3*10*lineHeight {
		t.Errorf("alignment %+v, row %.1f points high", style.Alignment, high)
	}
}

// The sheet that people decide on is read on paper: what is printed is shrunk to
// no less than eight tenths, so that 10 point stays 8 point.
func TestFlagsPrintLegibly(t *testing.T) {
	for _, units := range []string{UnitsMM, UnitsInch, UnitsBoth} {
		in := kitchenBook()
		in.Settings.Units = units
		f := open(t, write(t, in))
		area := ""
		for _, n := range f.GetDefinedName() {
			if n.Name == "_xlnm.Print_Area" && n.Scope == "Flags" {
				area = n.RefersTo
			}
		}
		_, last, ok := strings.Cut(area, ":")
		column, _, err := excelize.CellNameToCoordinates(strings.ReplaceAll(last, "$", ""))
		if !ok || err != nil {
			t.Fatalf("%s: print area %q, %v", units, area, err)
		}
		pixels := 0.0
		for c := 1; c <= column; c++ {
			name, _ := excelize.ColumnNumberToName(c)
			width, err := f.GetColWidth("Flags", name)
			if err != nil {
				t.Fatal(err)
			}
			pixels += width * digitPixels
		}
		const paper = 297 - 2*10 // A4 on its side less the margins, mm
		if scale := paper * mmPixels / pixels; scale < 0.8 {
			t.Errorf("%s: the flags are printed at %.0f %%", units, 100*scale)
		}
	}
}

func TestOnlyDecisionCellsAreUnlocked(t *testing.T) {
	f := open(t, write(t, kitchenBook()))
	rows, err := f.GetRows("Flags")
	if err != nil {
		t.Fatal(err)
	}
	unlocked := 0
	for r := 1; r <= len(rows); r++ {
		for c := 1; c <= 18; c++ {
			id, err := f.GetCellStyle("Flags", cellName(c, r))
			if err != nil {
				t.Fatal(err)
			}
			style, err := f.GetStyle(id)
			if err != nil {
				t.Fatal(err)
			}
			free := style.Protection != nil && !style.Protection.Locked
			if want := r > 3 && c >= 6 && c <= 8; free != want {
				t.Errorf("Flags!%s unlocked: %v", cellName(c, r), free)
			}
			if free {
				unlocked++
			}
		}
	}
	if unlocked != 3*6 {
		t.Errorf("%d cells are unlocked, want 18", unlocked)
	}
	p, err := f.GetSheetProtection("Flags")
	if err != nil || !p.SelectUnlockedCells || !p.AutoFilter {
		t.Errorf("protection %+v, %v", p, err)
	}
	v, err := f.GetDataValidations("Flags")
	if err != nil || len(v) != 2 || v[0].Sqref != "F4:F9" || v[0].Formula1 != `"accept,return"` {
		t.Errorf("validation %+v, %v", v, err)
	}
	panes, err := f.GetPanes("Flags")
	if err != nil || !panes.Freeze || panes.YSplit != 3 {
		t.Errorf("panes %+v, %v", panes, err)
	}
}

// Sheets of the shop print on one page on its side, the summary on one upright
// page, tables one page wide.
func TestPagesArePlanned(t *testing.T) {
	for paper, size := range map[string]int{PaperA4: 9, PaperLetter: 1} { // ECMA-376 part 1, 18.3.1.63
		in := kitchenBook()
		in.Settings.Paper = paper
		f := open(t, write(t, in))
		for _, sheet := range f.GetSheetList() {
			l, err := f.GetPageLayout(sheet)
			if err != nil {
				t.Fatal(err)
			}
			orientation, high := "landscape", 0
			if sheet == "Summary" {
				orientation, high = "portrait", 1
			} else if strings.HasPrefix(sheet, "Piece ") {
				high = 1
			}
			if *l.Size != size || *l.Orientation != orientation || *l.FitToWidth != 1 || *l.FitToHeight != high {
				t.Errorf("%s: size %d, %s, %d wide, %d high", sheet, *l.Size, *l.Orientation, *l.FitToWidth, *l.FitToHeight)
			}
			props, err := f.GetSheetProps(sheet)
			if err != nil || props.FitToPage == nil || !*props.FitToPage {
				t.Errorf("%s does not fit to pages", sheet)
			}
			hf, err := f.GetHeaderFooter(sheet)
			if err != nil || len(hf.OddHeader) > mostHeader || !strings.Contains(hf.OddHeader, "kitchen.dxf") || !strings.Contains(hf.OddHeader, "revision 2") || !strings.Contains(hf.OddFooter, "&P") {
				t.Errorf("%s: header %+v", sheet, hf)
			}
		}
	}
}

func TestPicturesAreDescribed(t *testing.T) {
	f := open(t, write(t, kitchenBook()))
	for sheet, cells := range map[string][]string{"Summary": {"A12"}, "Piece A": {"A1", "A4"}, "Piece D": {"A4"}} {
		for _, cell := range cells {
			pics, err := f.GetPictures(sheet, cell)
			if err != nil || len(pics) != 1 {
				t.Errorf("%s!%s: %d pictures, %v", sheet, cell, len(pics), err)
				continue
			}
			if pics[0].Format.AltText == "" {
				t.Errorf("%s!%s: no description", sheet, cell)
			}
			config, err := png.DecodeConfig(bytes.NewReader(pics[0].File))
			if err != nil || config.Width < 300 {
				t.Errorf("%s!%s: %+v, %v", sheet, cell, config, err)
			}
		}
	}
}

func TestUnitsOfTheShop(t *testing.T) {
	for units, want := range map[string][2]bool{UnitsMM: {true, false}, UnitsInch: {false, true}, UnitsBoth: {true, true}} {
		in := kitchenBook()
		in.Settings.Units = units
		rows, err := open(t, write(t, in)).GetRows("Pieces")
		if err != nil {
			t.Fatal(err)
		}
		titles := strings.Join(rows[2], "|")
		if got := [2]bool{strings.Contains(titles, "Length\nmm"), strings.Contains(titles, "Length\nin")}; got != want {
			t.Errorf("%s: titles %s", units, titles)
		}
	}
}

// A shop of inches alone reads inches and pounds on every sheet but that of the
// limits, which the settings have in mm: places, what was measured, what changed.
func TestNoMillimetresInAShopOfInches(t *testing.T) {
	in := kitchenBook()
	in.Settings.Units = UnitsInch
	earlier := *in.Result
	in.Earlier = &earlier
	f := open(t, write(t, in))
	for _, sheet := range f.GetSheetList() {
		if sheet == "Limits" {
			continue
		}
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range rows {
			for k, cell := range row {
				title := cell == "mm" || cell == "kg" || strings.HasSuffix(cell, "\nmm") || strings.HasSuffix(cell, "\nkg")
				if title || strings.Contains(cell, "under 0.1 mm") {
					t.Errorf("%s!%s: %q", sheet, cellName(k+1, i+1), cell)
				}
			}
		}
	}
	// Edge 1 of piece A starts at 5000, 12000 mm in the drawing's frame, which is
	// 196.850, 472.441 in; a rail of 30.5 mm is 1.2 in, its limit of 50 mm 1.97 in.
	near(t, "x", numberAt(t, f, "Edges", "H4"), 5000/25.4, 1e-9)
	near(t, "y", numberAt(t, f, "Edges", "I4"), 12000/25.4, 1e-9)
	near(t, "measured", numberAt(t, f, "Flags", "I5"), 1.2, 1e-9)
	near(t, "limit", numberAt(t, f, "Flags", "J5"), 1.97, 1e-9)
	near(t, "weight", numberAt(t, f, "Flags", "I8"), 353.2, 1e-9) // 160.2 kg
}

// What a flag measured is as fine as its sentence: a joint may differ by 1/32 in,
// which to the sixteenth read twice that. 1 psi is 0.0068948 MPa (NIST SP 811).
func TestMeasuresInInches(t *testing.T) {
	for _, tc := range []struct {
		unit string
		v    float64
		want string
	}{
		{"mm", 25.4 / 32, "0.031 in"}, {"mm", 0.8, "0.031 in"}, {"mm", 44.45, "1.75 in"}, {"mm", 307.065, "12.09 in"}, {"mm2", 645.16, "1 in²"},
		{"kg", 100.835, "222.3 lb"}, {"MPa", 8.27, "1199 psi"}, {"deg", 11.31, "11.3 deg"}, {"share", 0.6111, "0.611 share"}, {"", 3, "3 "},
	} {
		v, unit := Settings{Units: UnitsInch}.measure(tc.unit, tc.v)
		if got := fmt.Sprintf("%g %s", float64(v), unit); got != tc.want {
			t.Errorf("%g %s: %s, want %s", tc.v, tc.unit, got, tc.want)
		}
	}
	if v, unit := Default().measure("MPa", 8.27); v != 8.3 || unit != "MPa" {
		t.Errorf("%v %s", v, unit)
	}
}

func TestChangesSheet(t *testing.T) {
	in := kitchenBook()
	var copied Result
	data, err := json.Marshal(in.Result)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &copied); err != nil {
		t.Fatal(err)
	}
	copied.Revision = 1
	copied.Pieces[0].Length -= 12
	copied.Pieces[2].ID = "old island"
	copied.Pieces[1].Cutouts[0].Centroid[0] -= 5
	copied.Pieces[3].Width += 0.05 // under what counts
	copied.Flags[0].Key = "was somewhere else"
	in.Earlier = &copied
	rows, err := open(t, write(t, in)).GetRows("Changes")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, r := range rows[3:] {
		got = append(got, strings.Join(r[:3], " "))
	}
	want := "piece A changed;cutout B-1 changed;piece C added;piece old island gone;flag F1 new;flag F2 still there;flag F3 still there;" +
		"flag F4 still there;flag F5 still there;flag F6 still there;flag was F1 cleared"
	if s := strings.Join(got, ";"); s != want {
		t.Errorf("changes:\n%s\nwant\n%s", s, want)
	}
	if rows[3][8] != "12.00" {
		t.Errorf("piece A grew by %q", rows[3][8])
	}
}

func TestFailedFileHasAWorkbook(t *testing.T) {
	r := FailedResult(Source{File: "broken.dxf"}, "job", 1, errors.New("broken.dxf, line 12: found this; do that"))
	f := open(t, write(t, WorkbookInput{Result: r, Settings: Default()}))
	if got, _ := f.GetCellValue("Summary", "A4"); got != "FAILED: no piece could be made" {
		t.Errorf("verdict %q", got)
	}
	if got, _ := f.GetCellValue("Summary", "A5"); got != r.Error {
		t.Errorf("reason %q", got)
	}
	for _, sheet := range f.GetSheetList() {
		if strings.HasPrefix(sheet, "Piece ") {
			t.Errorf("a failed file has %s", sheet)
		}
	}
}

func TestPieceSheetsAreBounded(t *testing.T) {
	in := kitchenBook()
	in.Settings.PieceSheets = 2
	f := open(t, write(t, in))
	n := 0
	for _, s := range f.GetSheetList() {
		if strings.HasPrefix(s, "Piece ") {
			n++
		}
	}
	if n != 2 {
		t.Errorf("%d sheets, want 2", n)
	}
	rows, err := f.GetRows("Summary")
	if err != nil {
		t.Fatal(err)
	}
	said := false
	for _, r := range rows {
		said = said || len(r) > 0 && strings.Contains(r[0], "Only the first 2 pieces")
	}
	if !said {
		t.Error("the summary does not say that sheets are missing")
	}
}

func TestWorkbookRefuses(t *testing.T) {
	for name, in := range map[string]WorkbookInput{
		"no result": {Settings: Default()}, "no settings": {Result: FailedResult(Source{}, "", 0, nil)},
	} {
		var out bytes.Buffer
		if err := writeWorkbook(&out, in); err == nil || out.Len() > 0 {
			t.Errorf("%s: %v, %d bytes", name, err, out.Len())
		}
	}
}
