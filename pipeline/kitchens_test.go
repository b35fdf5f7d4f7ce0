package pipeline

import (
	"bytes"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/report"
)

// Ordinary kitchens that no practitioner would stop. Each was a false alarm once.
func TestOrdinaryKitchensAreReady(t *testing.T) {
	line := func(x1, y1, x2, y2 float64) []geom.Curve {
		return []geom.Curve{geom.Line(geom.Point{X: x1, Y: y1}, geom.Point{X: x2, Y: y2})}
	}
	box := func(x1, y1, x2, y2 float64) []geom.Curve {
		return geom.Polygon(geom.Point{X: x1, Y: y1}, geom.Point{X: x2, Y: y1}, geom.Point{X: x2, Y: y2}, geom.Point{X: x1, Y: y2})
	}
	mitred := geom.Polygon(geom.Point{}, geom.Point{X: 2900}, geom.Point{X: 2900, Y: 640}, geom.Point{X: 652, Y: 640},
		geom.Point{X: 640, Y: 652}, geom.Point{X: 640, Y: 2400}, geom.Point{Y: 2400})
	mitred[3].Bulge = -0.41421356237309503 // inside corner of radius 12, tan(90/4 degrees)
	for _, tc := range []struct {
		name  string
		shape []dxfio.Polyline
	}{
		{"a mitre whose front overhangs by 40 mm on both sides: 56.6 mm along the seam", []dxfio.Polyline{
			{Layer: "OUTLINE", Curves: mitred, Closed: true},
			{Layer: "SEAM", Curves: line(0, 0, 643.515, 643.515)},
			{Layer: "CABINET", Curves: box(0, 0, 2900, 600), Closed: true},
			{Layer: "CABINET", Curves: box(0, 600, 600, 2400), Closed: true},
		}},
		{"a sink base drawn as its two sides, with a tap hole", []dxfio.Polyline{
			{Layer: "OUTLINE", Curves: box(0, 0, 900, 600), Closed: true},
			{Layer: "SUPPORT", Curves: box(0, 0, 40, 600), Closed: true},
			{Layer: "SUPPORT", Curves: box(860, 0, 900, 600), Closed: true},
			{Layer: "CUTOUT", Curves: geom.Circle(geom.Point{X: 450, Y: 540}, 17.5), Closed: true},
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := &dxfio.Sheet{Unit: dxfio.UnitMillimetre, Polylines: tc.shape}
			for _, l := range []string{"OUTLINE", "SEAM", "CABINET", "SUPPORT", "CUTOUT"} {
				s.Layers = append(s.Layers, dxfio.SheetLayer{Name: l, Color: 7})
			}
			var b bytes.Buffer
			if err := dxfio.Write(&b, s); err != nil {
				t.Fatal(err)
			}
			r := check(t, b.Bytes(), nil).Result
			var said []string
			for _, f := range r.Flags {
				if f.Severity == "stop" || strings.HasPrefix(f.Rule, "bending") {
					said = append(said, f.Message)
				}
			}
			if r.Verdict != report.Ready || len(said) > 0 {
				t.Errorf("%s: %q %s", r.Verdict, said, r.Error)
			}
		})
	}
}
