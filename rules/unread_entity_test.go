package rules

import (
	"fmt"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/piece"
)

// entitiesOf reads entities written as words of group codes and values, on layers of
// which FROST is frozen and DARK switched off.
func entitiesOf(t *testing.T, text string) *dxfio.Drawing {
	t.Helper()
	words := "0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 TABLES 0 TABLE 2 LAYER " +
		"0 LAYER 2 FROST 70 1 0 LAYER 2 DARK 70 0 62 -7 0 LAYER 2 SINK-FROST 70 1 0 ENDTAB 0 ENDSEC 0 SECTION 2 ENTITIES " + text + " 0 ENDSEC 0 EOF"
	d, err := dxfio.Read(strings.NewReader(strings.Join(strings.Fields(words), "\n")+"\n"), dxfio.Options{File: "t.dxf"})
	if err != nil {
		t.Fatal(err)
	}
	d, _ = d.Millimetres(dxfio.UnitMillimetre)
	return d
}

// What nobody can cut and somebody may have looked at is told where it lies over stone:
// pictures, wipeouts, points that mark no hole, and what is hidden and could not be read.
func TestUnreadOverStone(t *testing.T) {
	const top = "0 LWPOLYLINE 8 COUNTER 90 4 70 1 10 0 20 0 10 2400 20 0 10 2400 20 640 10 0 20 640 "
	picture := func(name, layer string, x, y, w, h float64) string {
		return fmt.Sprintf("0 %s 8 %s 10 %g 20 %g 11 %g 21 0 12 0 22 %g 13 100 23 50 ", name, layer, x, y, w/100, h/50)
	}
	const mline = "0 MLINE 8 %s 10 500 20 100 11 500 21 100 11 900 21 100 11 900 21 400 "
	for _, c := range []struct {
		name, drawing string
		points        float64 // setting point_hole
		want          Severity
	}{
		{"picture over the top", picture("IMAGE", "PHOTO", 100, 100, 300, 200), 35, Warn},
		{"picture under the whole top", picture("IMAGE", "0", -500, -500, 4000, 2000), 35, Warn},
		{"logo beside it", picture("IMAGE", "0", 3000, 2000, 300, 200), 35, ""},
		{"picture on a layer of notes", picture("IMAGE", "NOTES", 100, 100, 300, 200), 35, ""},
		{"picture on the outlines' layer", picture("IMAGE", "COUNTER", 3000, 2000, 300, 200), 35, Warn},
		{"underlay over the top", "0 PDFUNDERLAY 8 SCAN 10 100 20 100 41 1 42 1 50 0 11 0 21 0 11 300 21 0 11 300 21 200", 35, Warn},
		{"underlay of which a part shows, turned by 90 degrees", "0 PDFUNDERLAY 8 SCAN 10 2700 20 100 41 2 42 2 50 90 11 0 21 0 11 100 21 0 11 100 21 400 11 0 21 400", 35, Warn},
		{"embedded object over the top", "0 OLE2FRAME 8 SCAN 10 100 20 500 11 400 21 100", 35, Warn},
		{"wipeout over the whole top", picture("WIPEOUT", "0", 100, 100, 30000, 10000), 35, Stop},
		{"wipeout in stone", "0 WIPEOUT 8 0 10 100 20 100 11 300 21 0 12 0 22 200 13 1 23 1", 35, ""},
		{"wipeout over an edge", "0 WIPEOUT 8 0 10 100 20 -100 11 300 21 0 12 0 22 200 13 1 23 1", 35, Stop},

		{"frozen in stone", fmt.Sprintf(mline, "FROST"), 35, Stop},
		{"switched off in stone", fmt.Sprintf(mline, "DARK"), 35, Stop},
		{"invisible in stone", fmt.Sprintf(mline, "XYZ") + "60 1", 35, Stop},
		{"frozen on a layer of sinks", fmt.Sprintf(mline, "SINK-FROST"), 35, Stop},
		{"frozen beside the stone", strings.ReplaceAll(fmt.Sprintf(mline, "FROST"), "00 2", "0000 2"), 35, ""},
		{"picture on a frozen layer", picture("IMAGE", "FROST", 100, 100, 300, 200), 35, ""},

		{"point for a hole", "0 POINT 8 HOLE 10 1200 20 300", 35, ""},
		{"points mark no hole", "0 POINT 8 HOLE 10 1200 20 300", 0, Warn},
		{"point beside the top", "0 POINT 8 HOLE 10 1200 20 -300", 0, ""},
		{"point on the outlines' layer", "0 POINT 8 COUNTER 10 1200 20 300", 35, Warn},
		{"where an edge was measured", "0 POINT 8 COUNTER 10 1200 20 1", 35, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := piece.Default()
			s.PointHole = c.points
			in := input(builtWith(t, entitiesOf(t, top+c.drawing), s))
			in.Role = func(layer string) piece.Role { r, _ := s.Roles.Of(layer); return r }
			flags, _ := check(t, unreadEntity(), in)
			if c.want == "" && len(flags) > 0 || c.want != "" && (len(flags) != 1 || flags[0].Severity != c.want) {
				t.Errorf("want %q:\n%s", c.want, listed(flags))
			}
		})
	}
}
