package pipeline

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/pipeline/settings"
	"trueup/report"
)

// drawing writes closed polygons, "layer x,y x,y ...", one a line, as a DXF.
func drawing(t *testing.T, unit dxfio.Unit, shapes ...string) []byte {
	t.Helper()
	s := &dxfio.Sheet{Unit: unit}
	known := map[string]bool{}
	for _, shape := range shapes {
		words := strings.Fields(shape)
		if !known[words[0]] {
			known[words[0]] = true
			s.Layers = append(s.Layers, dxfio.SheetLayer{Name: words[0], Color: 7})
		}
		var points []geom.Point
		for _, w := range words[1:] {
			var p geom.Point
			if _, err := fmt.Sscanf(w, "%g,%g", &p.X, &p.Y); err != nil {
				t.Fatalf("%q: %v", w, err)
			}
			points = append(points, p)
		}
		s.Polylines = append(s.Polylines, dxfio.Polyline{Layer: words[0], Curves: geom.Polygon(points...), Closed: true})
	}
	var b bytes.Buffer
	if err := dxfio.Write(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func check(t *testing.T, data []byte, change func(*settings.Settings)) *Outcome {
	t.Helper()
	s := settings.Default()
	if change != nil {
		change(&s)
	}
	return Process(context.Background(), Input{File: "job.dxf", Job: "job", Drawing: bytes.NewReader(data)}, &s)
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

const lShape = "OUTLINE 0,0 2400,0 2400,650 650,650 650,1850 0,1850"

// The L of the polygon formulas: area 2,340,000 mm2, perimeter 8500 mm, centroid
// (908.333, 633.333); at 30 mm and 2700 kg/m3 189.54 kg. Worked by hand from
// the shoelace formulas, two rectangles as the check.
func TestLShapeEndToEnd(t *testing.T) {
	for _, tc := range []struct {
		name  string
		unit  dxfio.Unit
		scale float64
	}{{"millimetres", dxfio.UnitMillimetre, 1}, {"inches", dxfio.UnitInch, 25.4}, {"metres", dxfio.UnitMetre, 1000}} {
		t.Run(tc.name, func(t *testing.T) {
			scaled := "OUTLINE"
			for _, w := range strings.Fields(lShape)[1:] {
				var x, y float64
				fmt.Sscanf(w, "%g,%g", &x, &y)
				scaled += fmt.Sprintf(" %.17g,%.17g", (x+5e5)/tc.scale, (y-3e5)/tc.scale) // far from the origin
			}
			o := check(t, drawing(t, tc.unit, scaled), nil)
			if len(o.Result.Pieces) != 1 {
				t.Fatalf("%d pieces: %s", len(o.Result.Pieces), o.Result.Error)
			}
			p := o.Result.Pieces[0]
			near(t, "area", p.Area, 2340000, 1e-3)
			near(t, "perimeter", p.Perimeter, 8500, 1e-5)
			near(t, "mass", p.Mass, 189.54, 1e-6)
			near(t, "centroid x", p.Centroid[0], 908.333333+5e5, 1e-4)
			near(t, "centroid y", p.Centroid[1], 633.333333-3e5, 1e-4)
			near(t, "length", p.Length, 2400, 1e-5)
			near(t, "width", p.Width, 1850, 1e-5)
			if o.Result.Units.Drawing != tc.unit.String() || o.Result.Units.From != "header" {
				t.Errorf("units %+v", o.Result.Units)
			}
			if o.Result.Verdict != report.Review { // its inside corner is sharp
				t.Errorf("verdict %s", o.Result.Verdict)
			}
		})
	}
}

func hasFlag(r *report.Result, rule string) bool {
	for _, f := range r.Flags {
		if f.Rule == rule {
			return true
		}
	}
	return false
}

func TestUnits(t *testing.T) {
	const inches, millimetres = "OUTLINE 0,0 96,0 96,25.5 0,25.5", "OUTLINE 0,0 2400,0 2400,640 0,640"
	for _, tc := range []struct {
		name, shape string
		header      dxfio.Unit
		setting     string
		unit, from  string
		flag        string // that must stand; the others must not
	}{
		{"header in inches", inches, dxfio.UnitInch, "", "in", "header", ""},
		{"header wins over the setting", inches, dxfio.UnitInch, "mm", "in", "header", ""},
		{"no header, the shop's setting", inches, dxfio.UnitNone, "in", "in", "settings", ""},
		{"no header, assumed inches", inches, dxfio.UnitNone, "", "in", "assumed", "units-unknown"},
		{"no header, assumed millimetres", millimetres, dxfio.UnitNone, "", "mm", "assumed", "units-unknown"},
		{"header makes tops 25 mm deep", inches, dxfio.UnitMillimetre, "", "mm", "header", "units-implausible"},
		{"header makes tops 16 m deep", millimetres, dxfio.UnitInch, "", "in", "header", "units-implausible"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := check(t, drawing(t, tc.header, tc.shape), func(s *settings.Settings) { s.Units = tc.setting }).Result
			if r.Units.Drawing != tc.unit || r.Units.From != tc.from {
				t.Errorf("units %+v, want %s from %s", r.Units, tc.unit, tc.from)
			}
			for _, rule := range []string{"units-unknown", "units-implausible"} {
				if got := hasFlag(r, rule); got != (rule == tc.flag) {
					t.Errorf("%s flagged: %v", rule, got)
				}
			}
		})
	}
}

func TestFailures(t *testing.T) {
	whole := drawing(t, dxfio.UnitMillimetre, lShape)
	for _, tc := range []struct {
		name string
		data []byte
		want []string // parts of the one sentence
	}{
		{"empty", nil, []string{"job.dxf", "empty"}},
		{"a letter", []byte("Dear templater,\nplease find attached\n"), []string{"job.dxf, line 1"}},
		{"cut short", whole[:len(whole)/2], []string{"job.dxf, line", "again"}},
		{"a DWG", []byte("AC1032\x00\x00\x00\x00\x00"), []string{"job.dxf", "DWG", "DXF"}},
		{"noise", bytes.Repeat([]byte{0x00, 0xff, 0x13, 0x80}, 1000), []string{"job.dxf"}},
		{"no outline layer", drawing(t, dxfio.UnitMillimetre, "SCAN 0,0 900,0 900,600 0,600", "LASER 0,0 900,0 900,600 0,600"), []string{"no layer has the role outline", "SCAN", "pieces.roles.outline"}},
		// A bow-tie crosses in the middle of its box; its place is told in the drawing's unit.
		{"crossing in inches", drawing(t, dxfio.UnitInch, "COUNTER 0,0 40,24 40,0 0,24"), []string{"crosses itself at (20 in, 12 in)"}},
		// In mm a top drawn in metres is 2.40 mm long, one in feet 7.87 mm.
		{"metres as mm", drawing(t, dxfio.UnitMillimetre, "COUNTER 0,0 2.4,0 2.4,0.65 0,0.65"), []string{"read in mm, the unit in its header", "2.40 mm long", "$INSUNITS"}},
		{"nothing drawn", drawing(t, dxfio.UnitMillimetre), []string{"the drawing is empty"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := check(t, tc.data, nil).Result
			if r.Verdict != report.Failed {
				t.Fatalf("verdict %s", r.Verdict)
			}
			for _, w := range tc.want {
				if !strings.Contains(r.Error, w) {
					t.Errorf("error %q lacks %q", r.Error, w)
				}
			}
			if strings.ContainsAny(r.Error, "\n") {
				t.Errorf("error %q is not one line", r.Error)
			}
		})
	}
}

// The digest is of the whole file, also where reading stops at the end mark.
func TestSourceIsTheWholeFile(t *testing.T) {
	data := append(drawing(t, dxfio.UnitMillimetre, lShape), "\n\x1a trash behind the end\n"...)
	r := check(t, data, nil).Result
	if r.Source.Bytes != int64(len(data)) {
		t.Errorf("%d bytes, the file has %d", r.Source.Bytes, len(data))
	}
}

func TestReadingFaultNamesTheFile(t *testing.T) {
	data := drawing(t, dxfio.UnitMillimetre, lShape)
	s := settings.Default()
	broken := io.MultiReader(bytes.NewReader(data[:200]), iotest.ErrReader(errors.New("the share is gone")))
	r := Process(context.Background(), Input{File: "job.dxf", Drawing: broken}, &s).Result
	if r.Verdict != report.Failed || !strings.Contains(r.Error, "job.dxf") || !strings.Contains(r.Error, "the share is gone") {
		t.Errorf("%s: %q", r.Verdict, r.Error)
	}
}

type endless struct{}

func (endless) Read(p []byte) (int, error) {
	time.Sleep(time.Millisecond)
	return copy(p, "999\na comment without end\n"), nil
}

func TestJobTime(t *testing.T) {
	s := settings.Default()
	s.JobTime = 0.05
	r := Process(context.Background(), Input{File: "job.dxf", Drawing: endless{}}, &s).Result
	if r.Verdict != report.Failed || !strings.Contains(r.Error, "job.dxf: not done after 50ms") || !strings.Contains(r.Error, "job_time") {
		t.Errorf("%s: %q", r.Verdict, r.Error)
	}
}

// crossed is a grid of n lines and n across them on the layer of the tops.
func crossed(t *testing.T, n int) []byte {
	t.Helper()
	s := &dxfio.Sheet{Unit: dxfio.UnitMillimetre, Layers: []dxfio.SheetLayer{{Name: "COUNTER", Color: 7}}}
	for i := range n {
		at := 1e6 + 4*float64(i) // far from the origin: places are the drawing's own
		for _, c := range [2]geom.Curve{
			geom.Line(geom.Point{X: at, Y: -10}, geom.Point{X: at, Y: 4 * float64(n)}),
			geom.Line(geom.Point{X: 1e6 - 10, Y: at - 1e6}, geom.Point{X: 1e6 + 4*float64(n), Y: at - 1e6}),
		} {
			s.Polylines = append(s.Polylines, dxfio.Polyline{Layer: "COUNTER", Curves: []geom.Curve{c}})
		}
	}
	var b bytes.Buffer
	if err := dxfio.Write(&b, s); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestCrowdFails: a drawing that would take a number of curves squared fails with
// one sentence that names layer, place, count and what to do. By hand: 1200 curves
// are allowed 100,000 + 10 x 1200 = 112,000 places; 600 x 600 lines cross in
// 360,000.
func TestCrowdFails(t *testing.T) {
	r := check(t, crossed(t, 600), nil).Result
	for _, want := range []string{"job.dxf: 1200 curves", "near (100", "on layer COUNTER", "more than 112000 places", "take hatches", "raise closing.meetings (now 100000)"} {
		if r.Verdict != report.Failed || !strings.Contains(r.Error, want) {
			t.Errorf("%s: %q lacks %q", r.Verdict, r.Error, want)
		}
	}
}

// TestJobTimeFreesTheProcessor: what still runs when the time is up ends soon.
// Without its limits this drawing takes minutes.
func TestJobTimeFreesTheProcessor(t *testing.T) {
	data := crossed(t, 3000)
	s := settings.Default()
	s.JobTime, s.Closing.Meetings, s.Closing.Comparisons = 1, 0, 0
	before := runtime.NumGoroutine()
	r := Process(t.Context(), Input{File: "job.dxf", Drawing: bytes.NewReader(data)}, &s).Result
	if !strings.Contains(r.Error, "job_time") {
		t.Errorf("%s: %q", r.Verdict, r.Error)
	}
	for end := time.Now().Add(20 * time.Second); runtime.NumGoroutine() > before; time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("the work goes on long after its time")
		}
	}
}

type panicking struct{}

func (panicking) Read([]byte) (int, error) { panic("a fault of ours") }

func TestPanicIsOneTemplatesLoss(t *testing.T) {
	s := settings.Default()
	r := Process(context.Background(), Input{File: "job.dxf", Drawing: panicking{}}, &s).Result
	if r.Verdict != report.Failed || !strings.Contains(r.Error, "a fault of ours") {
		t.Errorf("%s: %q", r.Verdict, r.Error)
	}
}

// A decision of an earlier revision holds for the same flaw, and only for it.
func TestDecisionsCarryOver(t *testing.T) {
	data := drawing(t, dxfio.UnitMillimetre, lShape)
	first := check(t, data, nil).Result
	if first.Verdict != report.Review {
		t.Fatalf("verdict %s", first.Verdict)
	}
	var carried []Carried
	for _, f := range first.Flags {
		if f.Severity == "stop" {
			carried = append(carried, Carried{f.Key, report.Decision{Choice: "accept", By: "Nils", Why: "square by wish", Revision: 1, Key: f.Key, Measured: f.Measured}, f.Piece})
		}
	}
	s := settings.Default()
	again := func(shape string) *report.Result {
		return Process(context.Background(), Input{File: "job.dxf", Drawing: bytes.NewReader(drawing(t, dxfio.UnitMillimetre, shape)), Carried: carried}, &s).Result
	}
	if r := again(lShape); r.Verdict != report.Ready {
		t.Errorf("same flaw, accepted: verdict %s", r.Verdict)
	}
	if r := again("OUTLINE 1000,0 3400,0 3400,650 1650,650 1650,1850 1000,1850"); r.Verdict != report.Ready {
		t.Errorf("same top drawn a metre to the right: verdict %s", r.Verdict)
	}
	if r := again("OUTLINE 0,0 2400,0 2400,650 1250,650 1250,1850 0,1850"); r.Verdict != report.Review {
		t.Errorf("the corner moved by 600 mm: verdict %s", r.Verdict)
	}
}

// railTop is a top with a sink whose front rail is so many mm wide.
func railTop(rail float64) string {
	return fmt.Sprintf("OUTLINE 0,0 1500,0 1500,600 0,600; CUTOUT 500,%[1]g 1000,%[1]g 1000,450 500,450", rail)
}

// TestAcceptedFlawMayNotGetWorse accepts a rail of 45 mm and makes it thinner step by
// step, each revision carrying what the one before it carried: an accepted
// 45 mm is never more than the noise of an export away.
func TestAcceptedFlawMayNotGetWorse(t *testing.T) {
	s := settings.Default()
	var carried []Carried
	for _, c := range []struct {
		rail  float64
		holds bool
	}{{45, false}, {44.8, true}, {46, true}, {44.6, true}, {44.4, false}, {44.2, false}, {43, false}, {45, true}} {
		data := drawing(t, dxfio.UnitMillimetre, strings.Split(railTop(c.rail), "; ")...)
		r := Process(context.Background(), Input{File: "job.dxf", Drawing: bytes.NewReader(data), Carried: carried}, &s).Result
		found := false
		for _, f := range r.Flags {
			if f.Rule != "narrow-section" {
				continue
			}
			found = true
			near(t, "rail", f.Measured, c.rail, 1e-6)
			switch {
			case (f.Decision != nil) != c.holds:
				t.Errorf("a rail of %g mm: decision %+v, want one: %v", c.rail, f.Decision, c.holds)
			case carried == nil:
				carried = []Carried{{f.Key, report.Decision{Choice: "accept", By: "Rosa", Why: "rod glued in", Revision: 1, Key: f.Key, Measured: f.Measured}, f.Piece}}
			case c.holds:
				carried = []Carried{{f.Decision.Key, *f.Decision, f.Piece}}
				near(t, "accepted", f.Decision.Measured, 45, 1e-6)
			}
		}
		if !found {
			t.Fatalf("a rail of %g mm is no flag: %+v", c.rail, r.Flags)
		}
	}
}

func TestBatchKeepsOrderAndGoesOn(t *testing.T) {
	dir, out := t.TempDir(), t.TempDir()
	good := drawing(t, dxfio.UnitMillimetre, "OUTLINE 0,0 1800,0 1800,450 0,450")
	var want []string
	for i := range 20 {
		name := fmt.Sprintf("%02d.dxf", i)
		data := good
		if i%5 == 3 {
			data = data[:100+i]
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
		want = append(want, name)
	}
	items, err := Find([]string{dir})
	if err != nil {
		t.Fatal(err)
	}
	s := settings.Default()
	var got []string
	err = Batch(context.Background(), items, 4, out, &s, func(it Item, o *Outcome) error {
		got = append(got, it.File)
		_, statErr := os.Stat(filepath.Join(out, it.Job, WorkbookFile))
		if failed := o.Result.Verdict == report.Failed; failed == (statErr == nil) {
			t.Errorf("%s: verdict %s, workbook: %v", it.File, o.Result.Verdict, statErr)
		}
		return nil
	})
	if err != nil || strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("err %v, order %q", err, got)
	}
}

func TestBatchStops(t *testing.T) {
	dir := t.TempDir()
	for i := range 50 {
		touch(t, filepath.Join(dir, fmt.Sprintf("%02d.dxf", i)))
	}
	items, err := Find([]string{dir})
	if err != nil {
		t.Fatal(err)
	}
	s, stop, n := settings.Default(), errors.New("enough"), 0
	err = Batch(context.Background(), items, 2, "", &s, func(Item, *Outcome) error {
		if n++; n == 3 {
			return stop
		}
		return nil
	})
	if !errors.Is(err, stop) || n != 3 {
		t.Errorf("err %v after %d", err, n)
	}
}

func TestUnwritableReportFails(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "a.dxf"), drawing(t, dxfio.UnitMillimetre, lShape), 0o644); err != nil {
		t.Fatal(err)
	}
	touch(t, filepath.Join(dir, "out")) // a file where a folder is wanted
	items, err := Find([]string{filepath.Join(dir, "a.dxf")})
	if err != nil {
		t.Fatal(err)
	}
	s := settings.Default()
	o := checkFile(context.Background(), items[0], filepath.Join(dir, "out"), &s)
	if o.Result.Verdict != report.Failed || !strings.Contains(o.Result.Error, "a.dxf: the report cannot be written") {
		t.Errorf("%s: %q", o.Result.Verdict, o.Result.Error)
	}
}

// The marked drawing that a templater mends and drops again gives the pieces it
// was made of, by the same names; its marks are neither stone nor names.
func TestMarkedDrawingDroppedAgain(t *testing.T) {
	s := settings.Default()
	for _, name := range []string{"01-kitchen-l", "02-island", "03-vanity", "09-stepped-seam", "10-apron-sink", "a top without a name"} {
		data, err := os.ReadFile(filepath.Join("..", "testdata", "demo", name+".dxf"))
		if name == "a top without a name" { // its notes lie on the stone
			data, err = drawing(t, dxfio.UnitMillimetre, "COUNTER 0,0 1000,0 1000,60 1600,60 1600,0 2400,0 2400,640 0,640"), nil
		}
		if err != nil {
			t.Fatal(err)
		}
		first := Process(context.Background(), Input{File: name + ".dxf", Drawing: bytes.NewReader(data)}, &s)
		dir := t.TempDir()
		if err := first.Write(dir, nil, nil); err != nil {
			t.Fatal(err)
		}
		marked, err := os.ReadFile(filepath.Join(dir, MarkedFile))
		if err != nil {
			t.Fatal(err)
		}
		again := Process(context.Background(), Input{File: name + ".dxf", Drawing: bytes.NewReader(marked)}, &s)
		if len(again.Result.Pieces) != len(first.Result.Pieces) || len(again.Result.Flags) != len(first.Result.Flags) {
			t.Errorf("%s: %d pieces and %d flags, then %d and %d", name, len(first.Result.Pieces), len(first.Result.Flags), len(again.Result.Pieces), len(again.Result.Flags))
			for _, f := range again.Result.Flags {
				t.Log(f.Rule, f.Message)
			}
			continue
		}
		for i, p := range first.Result.Pieces {
			if q := again.Result.Pieces[i]; q.ID != p.ID || math.Abs(q.Area-p.Area) > 1 {
				t.Errorf("%s: piece %s of %.0f mm2 comes back as %s of %.0f", name, p.ID, p.Area, q.ID, q.Area)
			}
		}
	}
}

// A report that cannot be put in its place says which file and why.
func TestReportInTheWay(t *testing.T) {
	s := settings.Default()
	out := t.TempDir()
	if err := os.MkdirAll(filepath.Join(out, "02-island", WorkbookFile), 0o755); err != nil {
		t.Fatal(err)
	}
	items, err := Find([]string{filepath.Join("..", "testdata", "demo", "02-island.dxf")})
	if err != nil {
		t.Fatal(err)
	}
	r := checkFile(context.Background(), items[0], out, &s).Result
	if r.Verdict != report.Failed || !strings.Contains(r.Error, filepath.Join("02-island", WorkbookFile)+": ") ||
		strings.Contains(r.Error, "closed") || strings.Contains(r.Error, ".trueup-") {
		t.Errorf("%s: %s", r.Verdict, r.Error)
	}
	left, err := filepath.Glob(filepath.Join(out, "02-island", ".trueup-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v (%v)", left, err)
	}
}

// checkFile processes one file by itself, as a batch of one does, and writes its
// report to out/JOB when out is not empty.
func checkFile(ctx context.Context, it Item, out string, s *settings.Settings) *Outcome {
	run := newShopRun(s)
	run.occupied = isTemplateOf([]Item{it})
	return run.checkFile(ctx, it, out)
}
