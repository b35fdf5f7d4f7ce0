package dxfio

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"trueup/dxfio/geom"
)

func sampleSheet() *Sheet {
	return &Sheet{
		Unit:   UnitMillimetre,
		Layers: []SheetLayer{{"OUTLINE", 7}, {"CUTOUT", 4}, {"Küche / 1", 3}},
		Polylines: []Polyline{
			{"OUTLINE", geom.Polygon(geom.Point{X: 0.1, Y: 1.0 / 3}, geom.Point{X: 2400, Y: 0}, geom.Point{X: 2400, Y: 640}, geom.Point{X: 0, Y: 640}), true},
			{"CUTOUT", geom.Circle(geom.Point{X: 1200, Y: 60}, 17.5).Reverse(), true},
			{"Küche / 1", []geom.Curve{{A: geom.Point{X: 0, Y: 0}, B: geom.Point{X: 100, Y: 0}, Bulge: -0.41421356237309503}, geom.Line(geom.Point{X: 100, Y: 0}, geom.Point{X: 100, Y: 50})}, false},
		},
		Texts: []Label{{"OUTLINE", "Küche 台所 50%% ^J \\U+0041", geom.Point{X: 10, Y: 20}, 25}},
	}
}

// What is written, read again, gives the same curves to 1e-9, the same text and
// the same layers.
func TestWriteReadsBack(t *testing.T) {
	s := sampleSheet()
	var b bytes.Buffer
	if err := Write(&b, s); err != nil {
		t.Fatal(err)
	}
	for i := range b.Len() {
		if b.Bytes()[i] >= 0x80 {
			t.Fatalf("byte %d is not ASCII", i)
		}
	}
	d, err := Read(&b, Options{File: "sheet.dxf", Limits: DefaultLimits()})
	if err != nil {
		t.Fatal(err)
	}
	if d.Units != UnitMillimetre || d.Version != "AC1015" {
		t.Errorf("units %v, version %s", d.Units, d.Version)
	}
	var want []geom.Curve
	for _, p := range s.Polylines {
		want = append(want, p.Curves...)
	}
	if len(d.Curves) != len(want) {
		t.Fatalf("read %d curves, wrote %d", len(d.Curves), len(want))
	}
	for i, c := range d.Curves {
		w := want[i]
		if c.A.Distance(w.A) > 1e-9 || c.B.Distance(w.B) > 1e-9 || math.Abs(c.Bulge-w.Bulge) > 1e-9 {
			t.Errorf("curve %d: read %v, wrote %v", i, c.Curve, w)
		}
	}
	if len(d.Texts) != 1 || d.Texts[0].Value != s.Texts[0].Value {
		t.Errorf("texts %+v, want %q", d.Texts, s.Texts[0].Value)
	}
	if got := d.Layers[d.Curves[len(d.Curves)-1].Layer].Name; got != "Küche _ 1" {
		t.Errorf("layer %q", got)
	}
}

func TestWriteRefuses(t *testing.T) {
	nan := math.NaN()
	for _, tc := range []struct {
		name string
		harm func(*Sheet)
		want string
	}{
		{"layer not listed", func(s *Sheet) { s.Polylines[0].Layer = "ELSEWHERE" }, "not in the sheet"},
		{"not a number", func(s *Sheet) { s.Polylines[0].Curves[0].A.X = nan }, "not finite"},
		{"bulge without end", func(s *Sheet) { s.Polylines[0].Curves[0].Bulge = math.Inf(1) }, "not finite"},
		{"empty polyline", func(s *Sheet) { s.Polylines[0].Curves = nil }, "no curves"},
		{"text without height", func(s *Sheet) { s.Texts[0].Height = 0 }, "height"},
		{"colour out of range", func(s *Sheet) { s.Layers[0].Color = 300 }, "1 to 255"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := sampleSheet()
			tc.harm(s)
			var b bytes.Buffer
			err := Write(&b, s)
			if err == nil || !strings.Contains(err.Error(), tc.want) {
				t.Errorf("got %v, want %q", err, tc.want)
			}
			if b.Len() != 0 {
				t.Errorf("%d bytes were written all the same", b.Len())
			}
		})
	}
}

// The library keeps package-level state; the race detector watches this test.
func TestWriteInParallel(t *testing.T) {
	var want bytes.Buffer
	if err := Write(&want, sampleSheet()); err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	errs := make(chan error, 16)
	for range 16 {
		wg.Go(func() {
			for range 20 {
				var b bytes.Buffer
				if err := Write(&b, sampleSheet()); err != nil {
					errs <- err
					return
				}
				if !bytes.Equal(b.Bytes(), want.Bytes()) {
					errs <- fmt.Errorf("a parallel drawing differs")
					return
				}
			}
		})
	}
	wg.Wait()
	close(errs)
	for err := range errs {
		t.Error(err)
	}
}

func TestEscapeText(t *testing.T) {
	for _, tc := range []struct{ in, want string }{
		{"plain", "plain"},
		{"50 % off", "50 % off"},
		{"a%%c", "a%%%%%%c"}, // %%% is the percent sign (DXF text control codes)
		{"%", "%"},
		{"%%%", "%%%%%%%"},
		{"two\nlines", "two lines"},
		{"bell\a", "bell"},
		{"ä", `\U+00E4`},
		{"😀", `\U+D83D\U+DE00`},
		{"x^J", "x^ J"},
		{`\P`, `\U+005CP`},
	} {
		if got := EscapeText(tc.in); got != tc.want {
			t.Errorf("%q: got %q, want %q", tc.in, got, tc.want)
		}
	}
}
