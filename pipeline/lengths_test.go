package pipeline

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/pipeline/settings"
	"trueup/report"
)

// A strip of 40 mm, 1.57 in, before a sink. Sentences take the unit of the reports,
// and where those show both, that of the drawing.
func TestSentencesInTheUnitThatTheShopReads(t *testing.T) {
	for _, tc := range []struct {
		units   string
		drawing dxfio.Unit
		want    string
	}{
		{report.UnitsMM, dxfio.UnitMillimetre, "Only 40 mm of stone"},
		{report.UnitsMM, dxfio.UnitInch, "Only 40 mm of stone"},
		{report.UnitsInch, dxfio.UnitMillimetre, "Only 1.57 in of stone"},
		{report.UnitsInch, dxfio.UnitInch, "Only 1.57 in of stone"},
		{report.UnitsBoth, dxfio.UnitMillimetre, "Only 40 mm of stone"},
		{report.UnitsBoth, dxfio.UnitCentimetre, "Only 40 mm of stone"},
		{report.UnitsBoth, dxfio.UnitInch, "Only 1.57 in of stone"},
		{report.UnitsBoth, dxfio.UnitFoot, "Only 1.57 in of stone"},
		{report.UnitsBoth, dxfio.UnitSurveyFoot, "Only 1.57 in of stone"},
	} {
		t.Run(tc.units+" "+tc.drawing.String(), func(t *testing.T) {
			scale := 1 / tc.drawing.Millimetres()
			box := func(layer string, x1, y1, x2, y2 float64) string {
				at := func(x, y float64) string { return fmt.Sprintf(" %g,%g", x*scale, y*scale) }
				return layer + at(x1, y1) + at(x2, y1) + at(x2, y2) + at(x1, y2)
			}
			s := settings.Default()
			s.Report.Units = tc.units
			data := drawing(t, tc.drawing, box("OUTLINE", 0, 0, 2400, 640), box("SINK", 800, 40, 1600, 500))
			r := Process(context.Background(), Input{File: "job.dxf", Drawing: bytes.NewReader(data)}, &s).Result
			for _, f := range r.Flags {
				if f.Rule == "narrow-section" && strings.Contains(f.Message, tc.want) {
					return
				}
			}
			t.Errorf("no narrow section says %q: %+v", tc.want, r.Flags)
		})
	}
}
