package pipeline

import (
	"strings"
	"testing"

	"trueup/rules"
)

// A sink on a layer that cuts, drawn as something that only CAD can open, stops; the
// same far from what cuts does not. Entities as the DXF Reference writes them.
func TestUnreadSink(t *testing.T) {
	const sections = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nEMPTY\n10\n0\n20\n0\n0\nENDBLK\n" +
		"0\nBLOCK\n2\nOTHERFILE\n70\n4\n10\n0\n20\n0\n0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" +
		"0\nLWPOLYLINE\n8\nCOUNTER\n90\n4\n70\n1\n10\n0\n20\n0\n10\n2400\n20\n0\n10\n2400\n20\n640\n10\n0\n20\n640\n"
	ring := func(x, y string) string { // a box 500 x 300 from (900, 150)
		out := ""
		for _, p := range [][2]string{{"900", "150"}, {"1400", "150"}, {"1400", "450"}, {"900", "450"}, {"900", "150"}} {
			out += x + "\n" + p[0] + "\n" + y + "\n" + p[1] + "\n"
		}
		return out
	}
	const at, away = "10\n900\n20\n150\n", "10\n900\n20\n5150\n"
	for _, c := range []struct {
		name, entity, layer string
		want                rules.Severity
	}{
		{"multiline", "MLINE\n" + ring("11", "21"), "SINK", rules.Stop},
		{"multiline on a layer without a role, in stone", "MLINE\n" + ring("11", "21"), "LASER 3", rules.Stop},
		{"multiline on notes", "MLINE\n" + ring("11", "21"), "NOTES", ""},
		{"mesh", "MESH\n" + ring("10", "20"), "SINK", rules.Stop},
		{"leader drawn round the sink", "LEADER\n" + ring("10", "20"), "SINK", rules.Stop},
		{"leader to a note", "LEADER\n10\n900\n20\n150\n10\n1400\n20\n150\n10\n1500\n20\n200\n", "SINK", ""},
		{"solid model", "3DSOLID\n", "SINK", rules.Stop},
		{"region", "REGION\n", "CUTOUT", rules.Stop},
		{"region on a layer without a role", "REGION\n", "LASER 3", rules.Warn},
		{"block that nobody defines", "INSERT\n2\nNOWHERE\n" + at, "SINK", rules.Stop},
		{"the same on a layer without a role, in stone", "INSERT\n2\nNOWHERE\n" + at, "0", rules.Stop},
		{"the same outside all stone", "INSERT\n2\nNOWHERE\n" + away, "0", rules.Warn},
		{"another file", "INSERT\n2\nOTHERFILE\n" + at, "SINK", rules.Stop},
		{"empty block", "INSERT\n2\nEMPTY\n" + at, "SINK", rules.Stop},
		{"empty block that is no sink", "INSERT\n2\nEMPTY\n" + at, "0", ""},
		{"type of another program", "SHINYCURVE\n" + ring("10", "20"), "LASER 3", rules.Stop},
		{"the same with a number that is none", "SHINYCURVE\n10\nabc\n", "LASER 3", rules.Warn},
	} {
		t.Run(c.name, func(t *testing.T) {
			kind, groups, _ := strings.Cut(c.entity, "\n")
			r := check(t, []byte(sections+"0\n"+kind+"\n8\n"+c.layer+"\n"+groups+"0\nENDSEC\n0\nEOF\n"), nil).Result
			got := of(r, "unread-entity")
			if c.want == "" && len(got) > 0 || c.want != "" && (len(got) != 1 || got[0].Severity != string(c.want)) {
				t.Errorf("want %q: %s", c.want, told(got))
			}
		})
	}
}

// A filled area on a layer without a role is a shape in stone like any other; what fills
// the piece itself, or lies elsewhere, shows something.
func TestAreaWithoutRole(t *testing.T) {
	const head = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" +
		"0\nLWPOLYLINE\n8\nCOUNTER\n90\n4\n70\n1\n10\n0\n20\n0\n10\n2400\n20\n0\n10\n2400\n20\n640\n10\n0\n20\n640\n"
	solid := func(layer, x1, y1, x2, y2 string) string {
		return "0\nSOLID\n8\n" + layer + "\n10\n" + x1 + "\n20\n" + y1 + "\n11\n" + x2 + "\n21\n" + y1 + "\n12\n" + x1 + "\n22\n" + y2 + "\n13\n" + x2 + "\n23\n" + y2 + "\n"
	}
	hatch := "0\nHATCH\n8\nLASER 3\n10\n0\n20\n0\n30\n0\n2\nSOLID\n70\n1\n91\n1\n92\n2\n72\n0\n73\n1\n93\n4\n10\n900\n20\n150\n10\n1400\n20\n150\n10\n1400\n20\n450\n10\n900\n20\n450\n97\n0\n75\n0\n"
	for _, c := range []struct {
		name, entity string
		want         int
	}{
		{"a sink as a solid", solid("LASER 3", "900", "150", "1400", "450"), 1},
		{"a sink as a hatch", hatch, 1},
		{"the surface of the piece", solid("LASER 3", "0", "0", "2400", "640"), 0},
		{"outside all stone", solid("LASER 3", "900", "1150", "1400", "1450"), 0},
		{"an arrow's head", solid("LASER 3", "900", "150", "905", "160"), 0},
		{"on notes", solid("NOTES", "900", "150", "1400", "450"), 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := of(check(t, []byte(head+c.entity+"0\nENDSEC\n0\nEOF\n"), nil).Result, "unmapped-layer")
			if len(got) != c.want || c.want > 0 && got[0].Severity != string(rules.Stop) {
				t.Errorf("want %d: %s", c.want, told(got))
			}
		})
	}
}
