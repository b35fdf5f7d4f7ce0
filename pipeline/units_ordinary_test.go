package pipeline

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/pipeline/settings"
	"trueup/report"
)

// Ordinary tops, sizes in mm by common practice, no source.
var ordinary = map[string][]string{
	"kitchen": {"COUNTER 0,0 2400,0 2400,640 0,640", "SINK 300,100 1060,100 1060,530 300,530"},
	"vanity":  {"VANITY 0,0 1200,0 1200,560 0,560", "SINK 350,80 850,80 850,430 350,430"},
	"island":  {"ISLAND 0,0 2400,0 2400,1200 0,1200", "COOKTOP 800,300 1560,300 1560,790 800,790"},
	"filler":  {"COUNTER 0,0 300,0 300,60 0,60"},
	"splash":  {"SPLASH 0,0 2400,0 2400,100 0,100"},
}

// Each ordinary job in each unit under each header. A right header is never flagged; a
// wrong one always where it has a sink, the true unit named among what fits.
func TestUnitsOfOrdinaryJobs(t *testing.T) {
	units := []dxfio.Unit{dxfio.UnitMillimetre, dxfio.UnitCentimetre, dxfio.UnitMetre, dxfio.UnitInch, dxfio.UnitFoot}
	s := settings.Default()
	for name, shapes := range ordinary {
		for _, drawn := range units {
			scaled := make([]string, len(shapes))
			for i, shape := range shapes {
				fields := strings.Fields(shape)
				for k := 1; k < len(fields); k++ {
					var x, y float64
					fmt.Sscanf(fields[k], "%g,%g", &x, &y)
					fields[k] = fmt.Sprintf("%.9g,%.9g", x/drawn.Millimetres(), y/drawn.Millimetres())
				}
				scaled[i] = strings.Join(fields, " ")
			}
			for _, header := range append(units, dxfio.UnitNone) {
				out := Process(context.Background(), Input{File: "job.dxf", Drawing: bytes.NewReader(drawing(t, header, scaled...))}, &s)
				at := slices.IndexFunc(out.Result.Flags, func(f report.Flag) bool { return f.Rule == "units-implausible" })
				unknown := slices.ContainsFunc(out.Result.Flags, func(f report.Flag) bool { return f.Rule == "units-unknown" })
				what := fmt.Sprintf("%s drawn in %s under %s", name, drawn, header)
				failed := out.Result.Verdict == report.Failed
				switch {
				case header == drawn:
					if at >= 0 || failed {
						t.Errorf("%s: flagged", what)
					}
				case header == dxfio.UnitNone:
					if !unknown && !failed {
						t.Errorf("%s: not told", what)
					}
				case len(shapes) > 1: // a sink settles it
					if at < 0 && !failed {
						t.Errorf("%s: not flagged", what)
					}
					said := out.Result.Error
					if at >= 0 {
						said = out.Result.Flags[at].Message
					}
					if !strings.Contains(said, " in "+drawn.Plural()) && !strings.Contains(said, "In "+drawn.Plural()) && !strings.Contains(said, "(in "+drawn.Plural()) {
						t.Errorf("%s: not named: %s", what, said)
					}
				}
			}
		}
	}
}
