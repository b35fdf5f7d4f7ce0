package report

import (
	"context"
	"math"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
)

// built makes a template of curves by layer.
func built(t *testing.T, layers map[string][]geom.Curve) *piece.Template {
	t.Helper()
	d := &dxfio.Drawing{Units: dxfio.UnitMillimetre}
	for _, name := range []string{"COUNTER", "CUTOUT-SINK", "SEAM", "FINISHED"} {
		d.Layers = append(d.Layers, dxfio.Layer{Name: name})
		for _, c := range layers[name] {
			n := int32(len(d.Curves))
			d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: dxfio.Source{Layer: int32(len(d.Layers) - 1), Entity: n, Line: n + 1, Type: dxfio.EntityLine}})
		}
	}
	tpl, err := piece.Build(context.Background(), d, piece.Default(), trace.Default())
	if err != nil {
		t.Fatal(err)
	}
	return tpl
}

// A cutout that a seam divides is told on each piece with what is cut from that
// piece. All figures by hand from the coordinates; a rounded corner of 20 mm takes
// (1 - pi/4) 20^2 = 85.84 mm2 off the rectangle and 2 x 20 - pi/2 x 20 = 8.584 mm
// off its boundary.
func TestDividedCutouts(t *testing.T) {
	top := line(0, 0, 3000, 0, 3000, 650, 0, 650)
	cross := []geom.Curve{geom.Line(pt(1500, -20), pt(1500, 670))}
	const corner, bend = (1 - math.Pi/4) * 400, 40 - math.Pi*10
	type part struct {
		length, width, area, cut float64
		out                      []offset // edge left out: distance only
	}
	for _, tc := range []struct {
		name  string
		sink  geom.Loop
		seam  []geom.Curve
		whole [2]float64
		want  [2]part
	}{
		{"sink", rounded(1200, 120, 760, 430, 20), cross, [2]float64{760, 430}, [2]part{
			{430, 300, 430*300 - 2*corner, 2*300 + 430 - 2*bend, []offset{{distance: 100}, {distance: 1200}}},
			{460, 430, 460*430 - 2*corner, 2*460 + 430 - 2*bend, []offset{{distance: 100}, {distance: 1040}}},
		}},
		{"sink open at the front", line(1200, -50, 1960, -50, 1960, 550, 1200, 550).Reverse(), cross, [2]float64{760, 600}, [2]part{
			{550, 300, 550 * 300, 300 + 550, []offset{{distance: 100}, {distance: 1200}}},
			{550, 460, 460 * 550, 460 + 550, []offset{{distance: 100}, {distance: 1040}}},
		}},
		{"round sink, divided in the middle", geom.Circle(pt(1500, 325), 200).Reverse(), cross, [2]float64{400, 400}, [2]part{
			{400, 200, math.Pi * 20000, math.Pi * 200, []offset{{distance: 125}, {distance: 1300}}},
			{400, 200, math.Pi * 20000, math.Pi * 200, []offset{{distance: 125}, {distance: 1300}}},
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tpl := built(t, map[string][]geom.Curve{"COUNTER": top, "CUTOUT-SINK": tc.sink, "SEAM": tc.seam})
			r := Build(Input{Template: tpl})
			if len(r.Pieces) != 2 {
				t.Fatalf("%d pieces", len(r.Pieces))
			}
			for i, want := range tc.want {
				if len(r.Pieces[i].Cutouts) != 1 {
					t.Fatalf("piece %d has cutouts %+v", i, r.Pieces[i].Cutouts)
				}
				c := r.Pieces[i].Cutouts[0]
				for _, m := range []struct {
					what      string
					got, want float64
				}{
					{"length", c.Length, want.length}, {"width", c.Width, want.width}, {"area", c.Area, want.area}, {"cut", c.Perimeter, want.cut},
					{"whole length", c.WholeLength, tc.whole[0]}, {"whole width", c.WholeWidth, tc.whole[1]},
				} {
					if math.Abs(m.got-m.want) > 1e-5 {
						t.Errorf("piece %d: %s %v, want %v", i, m.what, m.got, m.want)
					}
				}
				if len(c.DividedBy) == 0 || !strings.Contains(c.what(), "divided by seam") {
					t.Errorf("piece %d: divided by %v, told as %q", i, c.DividedBy, c.what())
				}
				out := offsets(tpl, &tpl.Pieces[i], &tpl.Pieces[i].Cutouts[0])
				if len(out) != len(want.out) {
					t.Fatalf("piece %d: set out by %+v, want %+v", i, out, want.out)
				}
				for k, o := range out {
					if math.Abs(o.distance-want.out[k].distance) > 1e-6 || math.Abs(o.from.Distance(o.to)-o.distance) > 1e-6 {
						t.Errorf("piece %d: set out by %v from edge %d, want %v", i, o.distance, o.edge, want.out[k].distance)
					}
				}
			}
		})
	}
}

// Every seam that divides a cutout is named; a sink open at the front of one piece
// only stays what it was: the edges measure it.
func TestWhatDividesACutout(t *testing.T) {
	top := line(0, 0, 3000, 0, 3000, 650, 0, 650)
	tpl := built(t, map[string][]geom.Curve{"COUNTER": top, "CUTOUT-SINK": rounded(1200, 120, 760, 430, 20), "SEAM": {geom.Line(pt(1500, 0), pt(1500, 650))}})
	if len(tpl.Seams) != 2 {
		t.Fatalf("%d seams, want one before and one behind the sink", len(tpl.Seams))
	}
	for i := range tpl.Pieces {
		if got := Build(Input{Template: tpl}).Pieces[i].Cutouts[0].what(); got != "sink, part: divided by seams S1 and S2" {
			t.Errorf("piece %d: %q", i, got)
		}
	}
	apron := line(400, -50, 1100, -50, 1100, 500, 400, 500).Reverse()
	tpl = built(t, map[string][]geom.Curve{"COUNTER": top, "CUTOUT-SINK": apron, "SEAM": {geom.Line(pt(1500, 0), pt(1500, 650))}})
	c := Build(Input{Template: tpl}).Pieces[0].Cutouts[0]
	if c.DividedBy != nil || c.Width != 550 || offsets(tpl, &tpl.Pieces[0], &tpl.Pieces[0].Cutouts[0]) != nil {
		t.Errorf("a sink open at the front, beside a seam: %+v", c)
	}
}
