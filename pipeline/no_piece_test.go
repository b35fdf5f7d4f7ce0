package pipeline

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"trueup/pipeline/settings"
	"trueup/report"
)

// Why a drawing gave no piece is told in the unit that the shop reads, and a place
// in a drawing in millimetres names them beside inches. 19.05 mm are 0.75 in, 2.4 mm
// 0.0945 in (1 in = 25.4 mm, NIST SP 811).
func TestWhyNoPieceInTheShopsUnit(t *testing.T) {
	line := func(x1, y1, x2, y2 float64) string {
		return fmt.Sprintf("0\nLINE\n8\nCOUNTER\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", x1, y1, x2, y2)
	}
	open := line(0, 19.05, 0, 600) + line(0, 600, 1500, 600) + line(1500, 600, 1500, 0) + line(1500, 0, 0, 0)
	tiny := line(0, 0, 2.4, 0) + line(2.4, 0, 2.4, 0.6) + line(2.4, 0.6, 0, 0.6) + line(0, 0.6, 0, 0)
	for _, tc := range []struct{ name, units, entities, want string }{
		{"open", report.UnitsMM, open, "stays open by 19.1 mm, from (0, 0) to (0, 19); close it in the drawing"},
		{"open", report.UnitsInch, open, "stays open by 0.75 in, from (0 mm, 0 mm) to (0 mm, 19 mm); close it in the drawing"},
		{"tiny", report.UnitsMM, tiny, "all outlines together are 2.40 mm long, which no top is"},
		{"tiny", report.UnitsInch, tiny, "all outlines together are 0.094 in long, which no top is"},
	} {
		t.Run(tc.name+" in "+tc.units, func(t *testing.T) {
			shop := settings.Default()
			shop.Report.Units = tc.units
			drawing := "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + tc.entities + "0\nENDSEC\n0\nEOF\n"
			got := Process(context.Background(), Input{File: "a.dxf", Job: "a", Drawing: bytes.NewReader([]byte(drawing))}, &shop).Result
			if got.Verdict != report.Failed || !strings.Contains(got.Error, tc.want) {
				t.Errorf("%s: %q, want %q", got.Verdict, got.Error, tc.want)
			}
		})
	}
}
