package piece

import (
	"fmt"
	"slices"
	"testing"

	"trueup/dxfio"
)

// Widths from above by hand: 300 mm risen by 400 was 500 mm wide, 640 risen by 100 was 648.
func TestFlattenedLosesArea(t *testing.T) {
	for _, tc := range []struct {
		name, drawing string
		height        float64
		want          int
	}{
		{"a sink at a slope of 3 to 4", "SINK: 300,100 900,100 900,400 300,400 close", 400, 1},
		{"an upright sink, a line from above", "SINK: 300,100 900,100 900,100 300,100 close", 400, 1},
		{"a top that slopes a little", "COUNTER: 0,0 2400,0 2400,640 0,640 close", 100, 0},
		{"a sloping line", "COUNTER: 0,0 2400,0", 1000, 0},
		{"an upright box on notes", "NOTES: 300,100 900,100 900,100 300,100 close", 400, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := parse(t, tc.drawing)
			d.Changes = []dxfio.Change{{Kind: dxfio.Flattened, At: d.Curves[0].A, Size: tc.height, Source: d.Curves[0].Source}}
			for _, p := range buildDrawing(t, d).Problems {
				if p.Kind == OffPlane && p.Closed != tc.want {
					t.Errorf("%+v", p)
				}
			}
		})
	}
}

// A device that measures heights along gives every line one: told once a layer, with the
// highest; what loses length stays a problem of its own.
func TestFlattenedOnceALayer(t *testing.T) {
	d := parse(t, "COUNTER: 0,0 2400,0 2400,640 0,640 0,0 loose\nSINK: 300,100 900,100 900,400 300,400 300,100 loose")
	for i, c := range d.Curves {
		d.Changes = append(d.Changes, dxfio.Change{Kind: dxfio.Flattened, At: c.A, Size: 1 + float64(i)/10, Source: c.Source})
	}
	d.Changes[2].Lost = 3
	var got []string
	for _, p := range buildDrawing(t, d).Problems {
		if p.Kind == OffPlane {
			got = append(got, fmt.Sprintf("%s %d %.1f %g", p.Layer, p.Count, p.Measured, p.Lost))
		}
	}
	slices.Sort(got)
	if want := []string{"COUNTER 1 1.2 3", "COUNTER 3 1.3 0", "SINK 4 1.7 0"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
