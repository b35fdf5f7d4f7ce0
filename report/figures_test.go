package report

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"trueup/dxfio/geom"
	"trueup/rules/shop"
)

// handTop is a top with a clipped corner of 71 mm, too short for the polisher's
// line, a rounded corner and an inside corner, as a workbook would have it.
func handTop(t *testing.T) WorkbookInput {
	t.Helper()
	outline := geom.Loop{
		geom.Line(pt(0, 0), pt(2350, 0)), {A: pt(2350, 0), B: pt(2400, 50), Bulge: math.Tan(math.Pi / 8)}, geom.Line(pt(2400, 50), pt(2400, 600)),
		geom.Line(pt(2400, 600), pt(2350, 650)), geom.Line(pt(2350, 650), pt(650, 650)), geom.Line(pt(650, 650), pt(650, 1850)),
		geom.Line(pt(650, 1850), pt(0, 1850)), geom.Line(pt(0, 1850), pt(0, 0)),
	}
	tpl := built(t, map[string][]geom.Curve{"COUNTER": outline, "FINISHED": outline[:4], "CUTOUT-SINK": hole(300, 300, 35)})
	set := shop.Default()
	setups := map[string]*shop.Setup{}
	for i := range tpl.Pieces {
		s := shop.SetUp(&tpl.Pieces[i], tpl, &set)
		setups[tpl.Pieces[i].ID] = &s
	}
	return WorkbookInput{Result: Build(Input{Template: tpl, Setups: setups, Shop: &set}), Template: tpl, Settings: Default()}
}

// The minutes of the machines on sheet Set-up add up to those of all machines,
// and an edge stands either at the polisher or by hand.
func TestSetupMinutesAddUp(t *testing.T) {
	in := handTop(t)
	rows, err := open(t, write(t, in)).GetRows("Set-up")
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(rows, func(r []string) bool { return len(r) > 0 && r[0] == "Piece" })
	if at < 0 {
		t.Fatal("no heading")
	}
	minutes := slices.IndexFunc(rows[at], func(s string) bool { return strings.HasPrefix(s, "Time") })
	sum, all := 0.0, 0.0
	hand, polished := map[string]bool{}, map[string]bool{}
	for _, r := range rows[at+1:] {
		if len(r) < 3 || r[0] != "A" {
			continue
		}
		v := 0.0
		if len(r) > minutes && r[minutes] != "" {
			if v, err = strconv.ParseFloat(r[minutes], 64); err != nil {
				t.Fatal(err)
			}
		}
		switch r[1] {
		case "all machines":
			all = v
		case "saw", "router", "edge polisher":
			sum += v
		}
		switch {
		case r[1] == "by hand":
			hand[r[2]] = true
		case strings.HasPrefix(r[1], "edge polisher"):
			polished[r[2]] = true
		}
	}
	if all == 0 || math.Abs(sum-all) > 0.11 { // four figures shown to a tenth
		t.Errorf("machines %v min, all %v min", sum, all)
	}
	if !hand["4"] || polished["4"] || !polished["1"] || hand["1"] {
		t.Errorf("by hand %v, polished %v", hand, polished)
	}
}

// On the piece's page nothing but lengths stands in the columns of lengths: counts
// and minutes bring their unit. What the saw leaves is told by its kinds.
func TestPieceFiguresBringTheirUnits(t *testing.T) {
	in := handTop(t)
	f := open(t, write(t, in))
	const sheet = "Piece A"
	rows, err := f.GetRows(sheet)
	if err != nil {
		t.Fatal(err)
	}
	shown := map[string]string{}
	var heads []string
	for _, r := range rows {
		if len(r) > 3 && r[2] != "" {
			shown[r[2]] = r[3]
			heads = append(heads, r[2])
		}
	}
	s := in.Result.Pieces[0].Setup
	tenth := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	for name, want := range map[string]string{
		"to drill": "1 hole", "all machines": tenth(s.RunMinutes) + " min", "left for the router": tenth(s.Router),
		"    inside corners": tenth(s.RouterCorners), "    arcs": tenth(s.RouterArcs),
	} {
		if got := shown[name]; got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
	if !slices.Contains(heads, "By hand, edge 4") || slices.Contains(heads, "Polisher, edge 4") {
		t.Errorf("headings %q", heads)
	}
	merged, err := f.GetMergeCells(sheet)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range rows {
		if len(r) < 3 || r[2] != "all machines" && r[2] != "to drill" {
			continue
		}
		if row := strconv.Itoa(i + 1); !slices.ContainsFunc(merged, func(m excelize.MergeCell) bool { return m[0] == "D"+row+":E"+row }) {
			t.Errorf("%q stands in a column of lengths", r[2])
		}
	}
}

// Where the openings lie stands on the piece's own sheet too, with the figures by
// hand of TestCutoutsAreSetOut.
func TestPieceSheetSetsCutoutsOut(t *testing.T) {
	rows, err := open(t, write(t, kitchenBook())).GetRows("Piece A")
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	head := ""
	for _, r := range rows {
		switch {
		case len(r) < 4:
			if len(r) == 3 && strings.HasPrefix(r[2], "Cutout ") {
				head = r[2]
			}
		case strings.HasPrefix(r[2], "Cutout "):
			head = r[2]
		case strings.HasPrefix(r[2], "edge "):
			got[head+": "+r[2]] = r[3]
		}
	}
	for what, want := range map[string]string{
		"Cutout A-1, sink: edge 5 to its side": "108.0", "Cutout A-1, sink: edge 6 to its side": "800.0",
		"Cutout A-2, hole: edge 5 to its centre": "60.0", "Cutout A-2, hole: edge 6 to its centre": "1180.0",
	} {
		if got[what] != want {
			t.Errorf("%s: %q, want %s; all: %q", what, got[what], want, got)
		}
	}
}

// The steps of a seam are counted on each piece's own sheet: the second mate has
// a first step too.
func TestSeamStepsAreCountedByPiece(t *testing.T) {
	in := kitchenBook()
	f := open(t, write(t, in))
	for _, p := range []string{"A", "B"} {
		rows, err := f.GetRows("Piece " + p)
		if err != nil {
			t.Fatal(err)
		}
		var steps []string
		for _, r := range rows {
			if len(r) > 2 && strings.HasPrefix(r[2], "step ") {
				steps = append(steps, r[2])
			}
		}
		if !slices.Equal(steps, []string{"step 1 at"}) {
			t.Errorf("piece %s: %q, want its one step", p, steps)
		}
	}
}

// The saw's operator reads on the piece's own sheet which edges are mitred, also
// where a seam runs along them.
func TestPieceSheetTellsTiltedCuts(t *testing.T) {
	in := kitchenBook()
	for want, cuts := range map[string][]SawCut{
		"":                           {{Edges: []int{1}, Length: 2400}},
		"blade tilted at edge 2":     {{Edges: []int{1}, Length: 2400}, {Edges: []int{2}, Length: 40, Bevel: true}},
		"blade tilted at edges 2, 3": {{Edges: []int{3}, Length: 40, Bevel: true}, {Edges: []int{2}, Length: 40, Bevel: true}},
	} {
		in.Result.Pieces[0].Setup.Cuts = cuts
		rows, err := open(t, write(t, in)).GetRows("Piece A")
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, r := range rows {
			if len(r) > 2 && strings.HasPrefix(r[2], "blade") {
				got += r[2]
			}
		}
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// The name of a long material stands on sheet Set-up in full, over two lines.
func TestMaterialOfTheSlabsWraps(t *testing.T) {
	in := handTop(t)
	in.Result.JobSetup.Slabs[0].Material = "Blue Ridge granite"
	f := open(t, write(t, in))
	rows, err := f.GetRows("Set-up")
	if err != nil {
		t.Fatal(err)
	}
	row := slices.IndexFunc(rows, func(r []string) bool { return len(r) > 2 && r[1] == "slabs" }) + 1
	id, err := f.GetCellStyle("Set-up", cellName(3, row))
	if err != nil {
		t.Fatal(err)
	}
	style, err := f.GetStyle(id)
	if err != nil {
		t.Fatal(err)
	}
	if row == 0 || rows[row-1][2] != "Blue Ridge granite, 30 mm" || style.Alignment == nil || !style.Alignment.WrapText {
		t.Errorf("row %d %q, alignment %+v", row, rows[row-1], style.Alignment)
	}
}

// The number of a cutout stays where the name of its piece is too long for the column:
// five tap holes read all the same.
func TestCutoutsOfALongNameStayApart(t *testing.T) {
	in := kitchenBook()
	in.Template.Pieces[0].Cutouts[0].ID, in.Template.Pieces[0].Cutouts[1].ID = "SINK RUN LEFT OF THE RANGE-1", "SINK RUN LEFT OF THE RANGE-2"
	in.Result.Pieces[0].Cutouts[0].ID, in.Result.Pieces[0].Cutouts[1].ID = "SINK RUN LEFT OF THE RANGE-1", "SINK RUN LEFT OF THE RANGE-2"
	rows, err := open(t, write(t, in)).GetRows("Piece A")
	if err != nil {
		t.Fatal(err)
	}
	var heads []string
	for _, r := range rows {
		if len(r) > 2 && strings.HasPrefix(r[2], "Cutout ") {
			heads = append(heads, r[2])
		}
	}
	if len(heads) != 2 || !strings.HasSuffix(heads[0], "…-1, sink") || !strings.HasSuffix(heads[1], "…-2, hole") {
		t.Errorf("headings %q", heads)
	}
	var svg strings.Builder
	if err := writePieceSVG(&svg, in, "A"); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"…-1", "…-2"} {
		if !strings.Contains(svg.String(), want) {
			t.Errorf("the drawing does not show %s", want)
		}
	}
}

// Where the figures of a piece do not fit beside its drawing a group is left out
// whole.
func TestFiguresEndWithAWholeGroup(t *testing.T) {
	head, line := figure{kind: headFigure}, figure{kind: lengthFigure}
	for _, tc := range []struct {
		lines []figure
		most  int
		want  int
	}{
		{[]figure{head, line, line, head, line, line}, 5, 3},
		{[]figure{head, line, line, head, line, line}, 4, 3},
		{[]figure{head, line, line, head, line, line}, 3, 3},
		{[]figure{head, line, line, line}, 2, 2},
	} {
		if got := wholeGroups(tc.lines, tc.most); got != tc.want {
			t.Errorf("%d of %d lines, want %d", got, tc.most, tc.want)
		}
	}
}
