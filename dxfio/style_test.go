package dxfio

import (
	"strconv"
	"strings"
	"testing"
)

// The line types and widths of entities, by group codes of the DXF Reference: 6 and 49 of
// LTYPE and LAYER, 40, 41 and 43 of polylines, 40 and 41 of VERTEX.
func TestStyles(t *testing.T) {
	const tables = "0 SECTION|2 TABLES|0 TABLE|2 LTYPE|0 LTYPE|2 FULL|73 0|0 LTYPE|2 HIDDEN|73 2|49 6.0|49 -3.0|0 ENDTAB|" +
		"0 TABLE|2 LAYER|0 LAYER|2 A|70 0|62 7|6 CONTINUOUS|0 LAYER|2 D|70 0|62 7|6 HIDDEN|0 ENDTAB|0 ENDSEC|"
	const blocks = "0 SECTION|2 BLOCKS|0 BLOCK|2 B|10 0|20 0|0 LINE|8 0|6 BYBLOCK|10 0|20 0|11 5|21 0|0 LINE|8 0|10 0|20 0|11 5|21 0|" +
		"0 LWPOLYLINE|8 A|43 4|10 0|20 0|10 9|20 0|0 ENDBLK|0 ENDSEC|"
	for _, tc := range []struct {
		name, entities string
		want           string // entity, layer, d where dashed, width
	}{
		{"plain", "0 LINE|8 A|10 0|20 0|11 1|21 0", ""},
		{"its own dashes", "0 LINE|8 A|6 hidden|10 0|20 0|11 1|21 0", "0 A d 0"},
		{"a line type without gaps", "0 LINE|8 A|6 FULL|10 0|20 0|11 1|21 0", ""},
		{"a line type that no table defines", "0 LINE|8 A|6 DASHDOT|10 0|20 0|11 1|21 0", "0 A d 0"},
		{"the layer's dashes", "0 LINE|8 D|10 0|20 0|11 1|21 0", "0 D d 0"},
		{"continuous on a dashed layer", "0 LINE|8 D|6 Continuous|10 0|20 0|11 1|21 0", ""},
		{"the width of all", "0 LWPOLYLINE|8 A|43 8|10 0|20 0|10 9|20 0", "0 A - 8"},
		{"the width of one segment", "0 LWPOLYLINE|8 A|10 0|20 0|40 1|41 3|10 9|20 0", "0 A - 3"},
		{"an old polyline", "0 POLYLINE|8 A|40 2|41 2|0 VERTEX|10 0|20 0|0 VERTEX|10 9|20 0|0 SEQEND", "0 A - 2"},
		{"a vertex of an old polyline", "0 POLYLINE|8 A|0 VERTEX|10 0|20 0|40 5|0 VERTEX|10 9|20 0|0 SEQEND", "0 A - 5"},
		{"a block, three times as large", "0 INSERT|8 A|2 B|10 0|20 0|41 3|42 3", "2 A - 12"},
		{"a dashed block", "0 INSERT|8 A|6 HIDDEN|2 B|10 0|20 0", "0 A d 0; 2 A - 4"},
		{"a block on a dashed layer", "0 INSERT|8 D|2 B|10 0|20 0", "0 D d 0; 1 D d 0; 2 A - 4"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			text := tables + blocks + "0 SECTION|2 ENTITIES|" + tc.entities + "|0 ENDSEC|0 EOF|"
			var file strings.Builder
			for pair := range strings.SplitSeq(strings.TrimSuffix(text, "|"), "|") {
				code, value, _ := strings.Cut(pair, " ")
				file.WriteString(code + "\n" + value + "\n")
			}
			d := mustRead(t, file.String())
			var got []string
			for _, s := range d.Styles {
				dash := "-"
				if s.Dashed {
					dash = "d"
				}
				got = append(got, strings.Join([]string{strconv.Itoa(int(s.Entity)), d.Layers[s.Layer].Name, dash, strconv.FormatFloat(s.Width, 'g', -1, 64)}, " "))
			}
			if g := strings.Join(got, "; "); g != tc.want {
				t.Errorf("%q, want %q", g, tc.want)
			}
		})
	}
	d := mustRead(t, "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nA\n43\n2\n10\n0\n20\n0\n10\n9\n20\n0\n0\nENDSEC\n0\nEOF\n")
	mm, _ := d.Millimetres(UnitInch)
	if mm.Styles[0].Width != 50.8 || d.Styles[0].Width != 2 {
		t.Errorf("2 in are %v mm, and the drawing has %v", mm.Styles[0].Width, d.Styles[0].Width)
	}
}
