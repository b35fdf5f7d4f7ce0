package pipeline

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/pipeline/settings"
	"trueup/report"
)

// drawnCurve is a line or an arc on a layer.
type drawnCurve struct {
	layer string
	geom.Curve
}

// kitchens are tops that are ready, with each line and arc drawn by itself. No mark
// runs along their edges, which could stand in for one.
func kitchens() map[string][]drawnCurve {
	loop := func(layer string, l geom.Loop) (list []drawnCurve) {
		for _, c := range l {
			list = append(list, drawnCurve{layer, c})
		}
		return list
	}
	box := func(x1, y1, x2, y2 float64) geom.Loop {
		return geom.Polygon(geom.Point{X: x1, Y: y1}, geom.Point{X: x2, Y: y1}, geom.Point{X: x2, Y: y2}, geom.Point{X: x1, Y: y2})
	}
	const quarter = 0.41421356237309503 // bulge of a quarter circle, tan(90/4 degrees)
	rounded := func(x1, y1, x2, y2, r float64) (l geom.Loop) {
		p := func(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }
		ends := []geom.Point{p(x1+r, y1), p(x2-r, y1), p(x2, y1+r), p(x2, y2-r), p(x2-r, y2), p(x1+r, y2), p(x1, y2-r), p(x1, y1+r)}
		for i, a := range ends {
			l = append(l, geom.Curve{A: a, B: ends[(i+1)%8], Bulge: quarter * float64(i%2)})
		}
		return l
	}
	corner := geom.Polygon(geom.Point{}, geom.Point{X: 640}, geom.Point{X: 640, Y: 1790}, geom.Point{X: 650, Y: 1800},
		geom.Point{X: 2900, Y: 1800}, geom.Point{X: 2900, Y: 2440}, geom.Point{Y: 2440})
	corner[2].Bulge = -quarter
	return map[string][]drawnCurve{
		"run": slices.Concat(loop("OUTLINE", box(0, 0, 2700, 640)), loop("SINK", rounded(700, 90, 1400, 510, 20)), loop("CABINET", box(0, 25, 2700, 640))),
		"corner": slices.Concat(loop("OUTLINE", corner), loop("SINK", rounded(1500, 1890, 2200, 2320, 15)), loop("COOKTOP", rounded(80, 500, 560, 1060, 15)),
			[]drawnCurve{{"SEAM", geom.Line(geom.Point{X: 1000, Y: 1800}, geom.Point{X: 1000, Y: 2440})}},
			loop("CABINET", box(0, 0, 615, 2440)), loop("CABINET", box(615, 1825, 2900, 2440))),
		"island": slices.Concat(loop("OUTLINE", rounded(0, 0, 2400, 1100, 30)), loop("SINK", rounded(900, 500, 1500, 920, 20)), loop("CABINET", box(100, 150, 2300, 1060))),
	}
}

func verdictOf(t *testing.T, list []drawnCurve, s *settings.Settings) *report.Result {
	t.Helper()
	sheet := &dxfio.Sheet{Unit: dxfio.UnitMillimetre}
	known := map[string]bool{}
	for _, c := range list {
		if !known[c.layer] {
			known[c.layer] = true
			sheet.Layers = append(sheet.Layers, dxfio.SheetLayer{Name: c.layer, Color: 7})
		}
		sheet.Polylines = append(sheet.Polylines, dxfio.Polyline{Layer: c.layer, Curves: []geom.Curve{c.Curve}})
	}
	var b bytes.Buffer
	if err := dxfio.Write(&b, sheet); err != nil {
		t.Fatal(err)
	}
	return Process(context.Background(), Input{File: "job.dxf", Job: "job", Drawing: &b}, s).Result
}

// Take a template that is ready, and spoil one line that is to be cut, as slips of a
// templater and faults of an export do: what comes out may never be ready. What
// somebody would see at once (a cutout that is missing as a whole) is left out.
func TestASpoiledTemplateIsNeverReady(t *testing.T) {
	s := settings.Default()
	r := rand.New(rand.NewPCG(2026, 11))
	for name, good := range kitchens() {
		if got := verdictOf(t, good, &s); got.Verdict != report.Ready {
			t.Fatalf("%s is not ready before: %+v", name, got.Flags)
		}
		spoil := func(what string, i int, by ...drawnCurve) {
			bad := slices.Concat(good[:i], by, good[i+1:])
			if got := verdictOf(t, bad, &s); got.Verdict == report.Ready {
				t.Errorf("%s is ready with %s %v %s: %+v", name, good[i].layer, good[i].Curve, what, got.Flags)
			}
		}
		for i, c := range good {
			if c.layer == "CABINET" {
				continue
			}
			if c.layer != "SEAM" {
				spoil("left out", i)
				spoil("on an ignored layer", i, drawnCurve{"NOTES", c.Curve})
			}
			spoil("on a layer without a role", i, drawnCurve{"FOO", c.Curve})
			for range 4 {
				by := (4.5 + r.Float64()*min(200, 0.8*c.Length())) / c.Length()
				if by < 0.9 {
					spoil(fmt.Sprintf("without its first %.1f mm", by*c.Length()), i, drawnCurve{c.layer, c.Part(by, 1)})
					spoil(fmt.Sprintf("without its last %.1f mm", by*c.Length()), i, drawnCurve{c.layer, c.Part(0, 1-by)})
				}
				d := geom.Point{X: 8 + r.Float64()*50}.Rotate(r.Float64() * 7)
				u := c.Tangent(0)
				if c.layer == "SEAM" || c.Length() < 60 || min(math.Abs(d.Dot(u)), math.Abs(d.Cross(u))) < 4 {
					continue // a seam, and a side that still meets its neighbours, may be meant so
				}
				spoil(fmt.Sprintf("moved by (%.1f, %.1f)", d.X, d.Y), i, drawnCurve{c.layer, geom.Curve{A: c.A.Add(d), B: c.B.Add(d), Bulge: c.Bulge}})
			}
		}
	}
}

// A mark along an edge stands in for it where it was drawn on the mark's layer only;
// where it was drawn in both places and one has slipped, nobody knows which.
func TestASlippedEdgeIsNotReplacedByItsMark(t *testing.T) {
	s := settings.Default()
	run := kitchens()["run"] // its front is the first line, its back the third
	for name, mark := range map[string]drawnCurve{"FINISHED": {"FINISHED", run[0].Curve}, "WALL": {"WALL", run[2].Curve}} {
		marked := append(slices.Clone(run), mark)
		if got := verdictOf(t, marked, &s); got.Verdict != report.Ready {
			t.Fatalf("%s is not ready before: %+v", name, got.Flags)
		}
		edge := slices.IndexFunc(run, func(c drawnCurve) bool { return c.Curve == mark.Curve })
		if got := verdictOf(t, slices.Delete(slices.Clone(marked), edge, edge+1), &s); got.Verdict != report.Ready {
			t.Errorf("the edge drawn on %s only: %+v", name, got.Flags)
		}
		for _, d := range []geom.Point{{X: 6, Y: -5}, {X: -20, Y: 12}, {X: 40, Y: -60}, {X: 5, Y: 99}, {X: -9, Y: -38}} {
			slipped := slices.Clone(marked)
			slipped[edge].A, slipped[edge].B = slipped[edge].A.Add(d), slipped[edge].B.Add(d)
			if got := verdictOf(t, slipped, &s); got.Verdict == report.Ready {
				t.Errorf("%s, the edge moved by %v: ready: %+v", name, d, got.Flags)
			}
		}
	}
}
