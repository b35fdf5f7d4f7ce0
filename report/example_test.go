package report_test

import (
	"errors"
	"fmt"
	"os"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/report"
	"trueup/rules"
)

// The result document of a round table of 1200 mm with one flag. The drawing lay
// at 5000, 3000 on its sheet, and so do all places of the document.
//
// By hand: the area is pi*600*600 = 1 130 973.36 mm2; the strip of 40 mm at its
// left end has its middle 20 mm from it, at 5020, 3600.
func ExampleBuild() {
	table := piece.Piece{ID: "TABLE", Kind: piece.Counter, Outline: geom.Circle(geom.Point{X: 600, Y: 600}, 600), Material: "granite", Thickness: 30}
	table.Edges = []piece.Edge{{N: 1, Kind: piece.ArcEdge, Curves: table.Outline, CornerDeg: 180, Finish: piece.Finished}}
	found := report.Input{
		Source: report.Source{File: "table.dxf"},
		Template: &piece.Template{
			Pieces: []piece.Piece{table}, Shift: geom.Point{X: 5000, Y: 3000},
			Units: piece.Units{Drawing: dxfio.UnitMillimetre, From: "header"},
		},
		Findings: rules.Report{Flags: []rules.Flag{{
			Rule: "narrow-section", Severity: rules.Stop, Piece: "TABLE", Key: "narrow-section/1",
			At: geom.Point{X: 20, Y: 600}, Witness: &geom.Witness{From: geom.Point{X: 0, Y: 600}, To: geom.Point{X: 40, Y: 600}},
			Measured: 40, Limit: 50, Unit: "mm", Message: "a strip of 40 mm breaks",
		}}},
	}
	result := report.Build(found)
	p, f := result.Pieces[0], result.Flags[0]
	fmt.Printf("%s is for %s\n", result.Source.File, result.Verdict)
	fmt.Printf("%s: %.0f x %.0f mm, %.2f mm2, centre %.0f, %.0f\n", p.ID, p.Length, p.Width, p.Area, p.Centroid[0], p.Centroid[1])
	fmt.Printf("%s %s at %.0f, %.0f: %.0f %s, limit %.0f\n", f.ID, f.Rule, f.At[0], f.At[1], f.Measured, f.Unit, f.Limit)

	// The office accepts the flag: nothing keeps the table from release any more.
	found.Decisions = map[string]report.Decision{f.Key: {Choice: report.Accept, By: "Ada", Why: "a rod is glued in"}}
	result = report.Build(found)
	tally := report.Counts(result)
	fmt.Printf("%d stop, %d undecided, %d accepted: %s\n", tally.Stop, tally.Undecided, tally.Accepted, result.Verdict)
	// Output:
	// table.dxf is for review
	// TABLE: 1200 x 1200 mm, 1130973.36 mm2, centre 5600, 3600
	// F1 narrow-section at 5020, 3600: 40 mm, limit 50
	// 1 stop, 0 undecided, 1 accepted: ready
}

// A file that could not be read has a document too. Lists are [], never null.
func ExampleResult_WriteJSON() {
	result := report.FailedResult(report.Source{File: "kitchen.dwg", SHA256: "00", Bytes: 2048}, "kitchen", 0,
		errors.New("kitchen.dwg: DWG file; export it as DXF"))
	if err := result.WriteJSON(os.Stdout, false); err != nil {
		fmt.Println(err)
	}
	// Output:
	// {"schema":1,"source":{"file":"kitchen.dwg","sha256":"00","bytes":2048},"job":"kitchen","verdict":"failed","error":"kitchen.dwg: DWG file; export it as DXF","units":{"drawing":"","from":""},"pieces":[],"seams":[],"flags":[],"repairs":[],"unchecked":[],"unread":[]}
}
