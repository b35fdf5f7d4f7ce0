package report

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
)

// The drawing of every piece of the demo, seams with steps and rounded corners
// among them, hides no label behind another and keeps every label on the paper, off the legend.
func TestDemoLabelsDoNotOverlap(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "testdata", "demo", "*.dxf"))
	if err != nil || len(files) < 5 {
		t.Fatalf("%d demo drawings, %v", len(files), err)
	}
	fonts, pieces := testFonts(t), 0
	for _, file := range files {
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := dxfio.Read(f, dxfio.Options{File: file, AreaLayer: piece.Default().Roles.Cutting})
		f.Close()
		if err != nil {
			continue // one is broken on purpose
		}
		unit := raw.Units
		if !unit.Known() {
			unit = dxfio.UnitMillimetre
		}
		d, _ := raw.Millimetres(unit)
		tpl, err := piece.Build(context.Background(), d, piece.Default(), trace.Default())
		if err != nil {
			t.Fatal(err)
		}
		for _, units := range []string{UnitsMM, UnitsInch, UnitsBoth} {
			s := Default()
			s.Units = units
			for i := range tpl.Pieces {
				p := &tpl.Pieces[i]
				pieces++
				w, _, _ := newPieceWork(tpl, p, p.Outline.Centroid(), fonts, s, drawingWide, drawingHigh)
				if over := hidden(w.labels); over > 0.01 {
					t.Errorf("%s in %s, piece %s: labels hide %.2f mm2 of each other", filepath.Base(file), units, p.ID, over)
				}
				paper := geom.Box{Max: geom.Point{X: drawingWide, Y: drawingHigh - legendHeight}}
				for _, b := range w.labels {
					if !paper.Contains(b.Min) || !paper.Contains(b.Max) {
						t.Errorf("%s in %s, piece %s: a label leaves the paper or lies in the legend at %v", filepath.Base(file), units, p.ID, b)
					}
				}
			}
		}
	}
	if pieces < 30 {
		t.Errorf("only %d drawings looked at", pieces)
	}
}
