package pipeline

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/piece"
	"trueup/pipeline/settings"
	"trueup/report"
	"trueup/rules"
	"trueup/rules/shop"
)

// BenchmarkStages measures each stage on the demo's kitchen: two pieces, three
// cutouts, a seam, supports. testdata/bench/compare.sh measures the whole process.
func BenchmarkStages(b *testing.B) {
	data, err := os.ReadFile(filepath.Join("..", "testdata", "demo", "01-kitchen-l.dxf"))
	if err != nil {
		b.Fatal(err)
	}
	s := settings.Default()
	o := Process(context.Background(), Input{File: "kitchen.dxf", Drawing: bytes.NewReader(data)}, &s)
	if len(o.Result.Pieces) == 0 {
		b.Fatal(o.Result.Error)
	}
	dir := b.TempDir()
	input := func() *rules.Input {
		return &rules.Input{Template: o.Template, Settings: &s.Rules, Shop: &s.Shop, Setups: o.Setups}
	}
	for _, stage := range []struct {
		name string
		run  func() error
	}{
		{"read", func() error {
			_, err := dxfio.Read(bytes.NewReader(data), dxfio.Options{Limits: s.Reading})
			return err
		}},
		{"trace and pieces", func() error {
			_, err := piece.Build(context.Background(), o.drawing, s.Pieces, s.Closing)
			return err
		}},
		{"set-up", func() error {
			for i := range o.Template.Pieces {
				shop.SetUp(&o.Template.Pieces[i], o.Template, &s.Shop)
			}
			return nil
		}},
		{"rules", func() error { rules.Run(input()); return nil }},
		{"result", func() error {
			r := report.Build(report.Input{Template: o.Template, Findings: rules.Report{}, Setups: o.Setups, Shop: &s.Shop})
			return r.WriteJSON(io.Discard, false)
		}},
		{"report on disk", func() error { return o.Write(dir, nil, nil) }},
		{"workbook", func() error {
			book, err := report.NewWriter(o.workbookInput(nil, nil), &o.shop.tools)
			if err != nil {
				return err
			}
			defer book.Close()
			return book.Workbook(io.Discard)
		}},
		{"clean and marked drawing", func() error {
			if err := dxfio.Write(io.Discard, report.CleanDrawing(o.Template, dxfio.UnitMillimetre)); err != nil {
				return err
			}
			return dxfio.Write(io.Discard, report.MarkedDrawing(o.drawing, o.Template.Shift, o.Result, dxfio.UnitMillimetre))
		}},
		{"check", func() error {
			Process(context.Background(), Input{File: "kitchen.dxf", Drawing: bytes.NewReader(data)}, &s)
			return nil
		}},
	} {
		b.Run(stage.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := stage.run(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
