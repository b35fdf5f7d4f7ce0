package report

import (
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// The marked drawing is the template as it was drawn, each entity one line on its
// own layer and each line of a text where it stood, with the flags on top: all of
// it in the template's own frame and unit. By hand; an inch is 25.4 mm.
func TestMarkedDrawing(t *testing.T) {
	const inch = 25.4
	curve := func(entity, layer int32, a, b geom.Point) dxfio.Curve {
		return dxfio.Curve{Curve: geom.Line(a, b), Source: dxfio.Source{Entity: entity, Layer: layer}}
	}
	in := func(x, y float64) geom.Point { return geom.Point{X: x * inch, Y: y * inch} }
	d := &dxfio.Drawing{
		Layers: []dxfio.Layer{{Name: "COUNTER"}, {Name: "NOTES"}},
		Curves: []dxfio.Curve{
			curve(1, 0, in(0, 0), in(96, 0)), curve(1, 0, in(96, 0), in(96, 25)), curve(1, 0, in(96, 25), in(0, 0)), // a closed entity
			curve(2, 0, in(0, 0), in(10, 0)),                                        // of another entity, though it goes on from there
			curve(3, 1, in(0, 30), in(10, 30)), curve(3, 1, in(12, 30), in(20, 30)), // one entity in two parts
		},
		Texts: []dxfio.Text{
			{Value: "one\n\nthree", At: in(5, 40), Height: 2 * inch, Source: dxfio.Source{Layer: 1}},
			{Value: "no height", At: in(5, 60), Source: dxfio.Source{Layer: 1}},
		},
	}
	r := &Result{Flags: []Flag{
		{ID: "F1", Rule: "narrow-section", Severity: "stop", At: XY{1010 * inch, 500 * inch}, Witness: []XY{{1010 * inch, 499 * inch}, {1010 * inch, 501 * inch}}},
		{ID: "F2", Rule: "stray-curve", Severity: "warn", At: XY{1000 * inch, 500 * inch}, Witness: []XY{{1, 1}, {1, 1}}},
		{ID: "F3", Rule: "saw-short", Severity: "note", At: XY{1000 * inch, 500 * inch}},
	}}
	s := MarkedDrawing(d, in(1000, 500), r, dxfio.UnitInch)

	type line struct {
		layer    string
		curves   int
		closed   bool
		from, to geom.Point
	}
	ring := func(layer string, x, y float64) line {
		p := geom.Point{X: x + ringRadius/inch, Y: y}
		return line{layer, 2, true, p, p}
	}
	pt := func(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }
	want := []line{
		{"COUNTER", 3, true, pt(1000, 500), pt(1000, 500)},
		{"COUNTER", 1, false, pt(1000, 500), pt(1010, 500)},
		{"NOTES", 1, false, pt(1000, 530), pt(1010, 530)},
		{"NOTES", 1, false, pt(1012, 530), pt(1020, 530)},
		ring("FLAG-STOP", 1010, 500),
		{"FLAG-STOP", 1, false, pt(1010, 499), pt(1010, 501)},
		ring("FLAG-WARN", 1000, 500),
		ring("FLAG-NOTE", 1000, 500),
	}
	if len(s.Polylines) != len(want) {
		t.Fatalf("%d lines, want %d: %+v", len(s.Polylines), len(want), s.Polylines)
	}
	for i, p := range s.Polylines {
		got := line{p.Layer, len(p.Curves), p.Closed, p.Curves[0].A, p.Curves[len(p.Curves)-1].B}
		if got.from.Distance(want[i].from) > 1e-9 || got.to.Distance(want[i].to) > 1e-9 {
			t.Errorf("line %d runs from %v to %v, want %v to %v", i, got.from, got.to, want[i].from, want[i].to)
		}
		got.from, got.to = want[i].from, want[i].to
		if got != want[i] {
			t.Errorf("line %d: %+v, want %+v", i, got, want[i])
		}
	}
	texts := []dxfio.Label{ // lines of one text are one and a half heights apart
		{Layer: "NOTES", Value: "one", At: pt(1005, 540), Height: 2},
		{Layer: "NOTES", Value: "three", At: pt(1005, 540-2*1.5*2), Height: 2},
		{Layer: "NOTES", Value: "no height", At: pt(1005, 560), Height: textHeight / inch},
		{Layer: "FLAG-STOP", Value: "F1 narrow-section"}, {Layer: "FLAG-WARN", Value: "F2 stray-curve"}, {Layer: "FLAG-NOTE", Value: "F3 saw-short"},
	}
	if len(s.Texts) != len(texts) {
		t.Fatalf("texts %+v", s.Texts)
	}
	for i, w := range texts {
		g := s.Texts[i]
		if g.Layer != w.Layer || g.Value != w.Value {
			t.Errorf("text %d: %+v, want %+v", i, g, w)
		}
		if w.Height > 0 && (g.At.Distance(w.At) > 1e-9 || g.Height-w.Height > 1e-9 || w.Height-g.Height > 1e-9) {
			t.Errorf("text %d: %+v, want %+v", i, g, w)
		}
	}
	layers := map[string]bool{}
	for _, l := range s.Layers {
		layers[l.Name] = true
	}
	for _, p := range s.Polylines {
		if !layers[p.Layer] {
			t.Errorf("layer %s is used and not listed", p.Layer)
		}
	}
	if s.Unit != dxfio.UnitInch {
		t.Errorf("unit %v", s.Unit)
	}
}
