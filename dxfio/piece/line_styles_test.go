package piece

import (
	"fmt"
	"strings"
	"testing"

	"trueup/dxfio"
)

// Bands and dashed lines on layers that are cut are told, once a layer; a layer that is
// dashed throughout is drawn so by habit.
func TestLineStyles(t *testing.T) {
	const top = "COUNTER: 0,0 2400,0 2400,640 0,640 close\nCOUNTER: 1700,20 2300,20 2300,600 1700,600 close\nSINK: 900,100 1500,100 1500,500 900,500 close\nCABINET: 0,0 2400,0 2400,600 0,600 close\nSEAM: 1600,0 1600,640"
	for _, tc := range []struct {
		name   string
		styles []dxfio.Style
		want   string
	}{
		{"plain", nil, ""},
		{"a thin band", []dxfio.Style{{Entity: 0, Width: 2}}, ""},
		{"a band", []dxfio.Style{{Entity: 0, Width: 8}}, "wide-line COUNTER 1 8"},
		{"two bands", []dxfio.Style{{Entity: 0, Width: 8}, {Entity: 1000, Width: 5}}, "wide-line COUNTER 2 8"},
		{"a cabinet's band", []dxfio.Style{{Entity: 3000, Width: 8}}, ""},
		{"a dishwasher under the top", []dxfio.Style{{Entity: 1000, Dashed: true}}, "dashed-line COUNTER 1 1"},
		{"all of a layer dashed", []dxfio.Style{{Entity: 2000, Dashed: true}}, ""},
		{"a dashed seam", []dxfio.Style{{Entity: 4000, Dashed: true}}, ""},
		{"a dashed band", []dxfio.Style{{Entity: 1000, Dashed: true, Width: 3}}, "wide-line COUNTER 1 3; dashed-line COUNTER 1 1"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := parse(t, top)
			for i := range tc.styles {
				for j := range d.Curves {
					if d.Curves[j].Entity == tc.styles[i].Entity {
						tc.styles[i].Layer = d.Curves[j].Layer
					}
				}
			}
			d.Styles = tc.styles
			var got []string
			for _, p := range buildDrawing(t, d).Problems {
				if p.Kind == WideLine || p.Kind == DashedLine {
					got = append(got, fmt.Sprint(p.Kind, " ", p.Layer, " ", p.Count, " ", p.Measured))
				}
			}
			if g := strings.Join(got, "; "); g != tc.want {
				t.Errorf("%q, want %q", g, tc.want)
			}
		})
	}
}
