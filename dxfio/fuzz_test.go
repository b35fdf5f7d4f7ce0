package dxfio

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"trueup/dxfio/geom"
)

// fuzzLimits keep a single input fast.
var fuzzLimits = Limits{FileBytes: 1 << 20, Curves: 20_000, LineBytes: 1 << 16, TextBytes: 1 << 14}

// wantSound checks what every drawing that was read must hold.
func wantSound(t *testing.T, d *Drawing, err error) {
	t.Helper()
	if err != nil {
		var e *Error
		if !errors.As(err, &e) || e.Found == "" || e.Do == "" {
			t.Fatalf("not a located error: %#v", err)
		}
		return
	}
	layer := func(s Source) {
		if s.Layer < 0 || int(s.Layer) >= len(d.Layers) {
			t.Fatalf("layer %d of %d", s.Layer, len(d.Layers))
		}
		if d.Layers[s.Layer].Hidden {
			t.Fatalf("something of the hidden layer %q was used", d.Layers[s.Layer].Name)
		}
	}
	if len(d.Curves) > fuzzLimits.Curves {
		t.Fatalf("%d curves", len(d.Curves))
	}
	for _, c := range d.Curves {
		layer(c.Source)
		if !c.A.Finite() || !c.B.Finite() || c.A == c.B || !(math.Abs(c.Bulge) <= 1) {
			t.Fatalf("curve %+v", c)
		}
	}
	for _, x := range d.Texts {
		layer(x.Source)
		wantPlain(t, x.Value)
		if !x.At.Finite() || x.Value == "" {
			t.Fatalf("text %+v", x)
		}
	}
	for _, m := range d.Marks {
		layer(m.Source)
	}
	for _, c := range d.Changes {
		layer(c.Source)
		if !c.At.Finite() || !(c.Size >= 0) || math.IsInf(c.Size, 0) {
			t.Fatalf("change %+v", c)
		}
	}
	for _, l := range d.Layers {
		wantPlain(t, l.Name)
		if math.IsNaN(l.Length) || math.IsInf(l.Length, 0) {
			t.Fatalf("layer %+v", l)
		}
	}
}

// wantPlain checks that a text is safe to show.
func wantPlain(t *testing.T, s string) {
	t.Helper()
	if !utf8.ValidString(s) {
		t.Fatalf("not UTF-8: %q", s)
	}
	for _, r := range s {
		if unicode.IsControl(r) && r != '\n' {
			t.Fatalf("control character in %q", s)
		}
	}
}

// seedDrawings returns small drawings of all kinds.
func seedDrawings(f *testing.F) []string {
	seeds := []string{
		everything,
		entities("0 ELLIPSE 8 TOP 10 0 20 0 11 900 21 0 40 0.3 41 1 42 5"),
		entities("0 SPLINE 8 TOP 70 9 71 3 11 0 21 0 11 100 21 80 11 50 21 200 12 1 22 1"),
		entities("0 HATCH 8 TOP 10 0 20 0 30 5 91 2 92 1 93 2 72 3 10 0 20 0 11 9 21 0 40 0.5 50 0 51 270 73 1 72 4 94 3 95 8 96 4 40 0 40 0 40 0 40 0 40 1 40 1 40 1 40 1 10 0 20 0 10 1 20 5 10 2 20 5 10 3 20 0 97 0 92 2 72 1 73 1 93 2 10 0 20 0 42 1 10 9 20 0 42 1 75 0 98 1 10 3 20 3"),
		entities("0 POLYLINE 8 TOP 70 9 0 VERTEX 10 0 20 0 30 4 0 VERTEX 10 5 20 0 70 32 0 SEQEND 0 3DFACE 8 TOP 10 0 20 0 11 9 21 0 12 9 22 5 13 0 23 5 70 2"),
		withBlocks("0 BLOCK 2 A 10 1 20 1 0 CIRCLE 8 0 10 0 20 0 40 5 0 INSERT 8 0 2 B 41 2 42 -1 0 ENDBLK 0 BLOCK 2 B 0 ARC 8 0 10 0 20 0 40 5 50 10 51 200 210 1 220 1 230 1 0 ENDBLK",
			"0 INSERT 8 TOP 2 A 66 1 70 3 71 2 44 20 45 30 50 30 41 -2 0 ATTRIB 8 TOP 1 X 10 0 20 0 40 1 0 SEQEND"),
		entities("0 DIMENSION 8 TOP 1 {34\\S1/2;\"} 2 *D1 70 32 50 30 42 34.5 13 1 23 2 14 400 24 450 0 TEXT 8 TOP 10 1 20 2 40 3 71 2 1 BACK 230 -1"),
		entities("0 MTEXT 8 TOP 10 1 20 2 40 3 3 {\\fArial;IS 1 LAND}\\Pnorth%%c35\\U+00B0"),
	}
	files, err := filepath.Glob(filepath.Join("testdata", "*.dxf"))
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range files {
		b, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		seeds = append(seeds, string(b))
	}
	return seeds
}

func FuzzRead(f *testing.F) {
	for _, s := range seedDrawings(f) {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		d, err := Read(bytes.NewReader(b), Options{Limits: fuzzLimits, AreaLayer: func(string) bool { return true }})
		wantSound(t, d, err)
	})
}

func FuzzReadBinary(f *testing.F) {
	for _, s := range seedDrawings(f) {
		if strings.HasPrefix(s, binarySentinel) {
			f.Add([]byte(s[len(binarySentinel):]))
		} else if !strings.Contains(s, "\r") && strings.HasPrefix(s, "0\n") {
			f.Add(toBinary(f, s, 1)[len(binarySentinel):])
			f.Add(toBinary(f, s, 2)[len(binarySentinel):])
		}
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		r := bytes.NewReader(append([]byte(binarySentinel), b...))
		d, err := Read(r, Options{Limits: fuzzLimits, AreaLayer: func(string) bool { return true }})
		wantSound(t, d, err)
	})
}

func FuzzText(f *testing.F) {
	for _, s := range []string{"Küche %%c35 \\U+00B0 ^J", `{\fArial|b0;A}\P\S1/2;\H2x;`, `\M+18FA4\M+5C8CB`, "\x95\x5c\xff", "%%%%%%u%%999", `\U+D83D\U+DE00`} {
		f.Add([]byte(s), "ANSI_932", true)
		f.Add([]byte(s), "dos850", false)
	}
	f.Fuzz(func(t *testing.T, b []byte, pageName string, utf bool) {
		d := textDecoder{utf8: utf}
		if page, ok := codePage(pageName); ok {
			d.page = page
		}
		s := d.text(b)
		if !utf8.ValidString(s) {
			t.Fatalf("not UTF-8: %q", s)
		}
		for _, decode := range []func(string) string{decodeText, decodeMText, decodeName} {
			out := decode(s)
			wantPlain(t, out)
			if len(out) > 3*len(s)+8 {
				t.Fatalf("%d bytes became %d", len(s), len(out))
			}
		}
	})
}

// FuzzSpline makes a spline of the bytes and checks its arcs against the
// spline's own places.
func FuzzSpline(f *testing.F) {
	f.Add(uint8(3), uint8(0), []byte{10, 20, 200, 30, 40, 90, 7, 250, 60, 60}, []byte{0, 9, 1}, []byte{})
	f.Add(uint8(2), uint8(1), []byte{0, 0, 50, 90, 100, 0, 100, 0, 100, 0}, []byte{0}, []byte{1, 255, 3, 9, 9})
	f.Add(uint8(7), uint8(1), []byte{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20}, []byte{0, 0, 0, 5}, []byte{200, 1})
	f.Add(uint8(3), uint8(2), []byte{0, 0, 50, 90, 100, 0, 0, 0}, []byte{}, []byte{})
	f.Fuzz(func(t *testing.T, degree, kind uint8, coordinates, steps, weights []byte) {
		g := splineGroups{degree: int(degree % 40), flags: int64(kind & 1)}
		for i := 0; i+1 < len(coordinates) && len(g.control) < 60; i += 2 {
			g.control = append(g.control, vec3{x: float64(coordinates[i]), y: float64(coordinates[i+1])})
		}
		knot := 0.0
		for i := range len(g.control) + g.degree + 1 {
			if len(steps) > 0 && i > g.degree && i <= len(g.control) {
				knot += float64(steps[i%len(steps)])
			}
			g.knots = append(g.knots, knot)
		}
		if len(weights) > 0 {
			for i := range g.control {
				g.weights = append(g.weights, float64(weights[i%len(weights)])/16)
			}
		}
		if kind&2 != 0 {
			g.fit, g.control, g.knots, g.weights = g.control, nil, nil, nil
		}
		checkSpline(t, &g)
	})
}

func checkSpline(t *testing.T, g *splineGroups) {
	r := newReader(bytes.NewReader(nil), Options{Limits: fuzzLimits})
	r.setUnit(UnitMillimetre)
	s := g.shape(origin{Source: Source{Layer: r.layerZero(), Type: EntitySpline}, name: "SPLINE", normal: zAxis})
	r.show(s, &r.modelSpace)
	if r.err != nil {
		wantSound(t, nil, r.err)
		return
	}
	d := r.finish()
	wantSound(t, d, nil)
	if len(d.Curves) == 0 {
		if len(d.Unread) == 0 {
			t.Fatal("neither curves nor a reason")
		}
		return
	}
	reported := 0.0
	for _, c := range d.Changes {
		reported = math.Max(reported, c.Size)
	}
	allowed := 1.02*math.Max(reported, 0.01) + 1e-9
	domain := testSpline{degree: s.degree, knots: s.knots, weights: s.weights}
	for _, p := range s.points {
		domain.points = append(domain.points, p.flat())
	}
	if s.degree > 5 || multiplicity(s.knots, s.degree) > s.degree {
		return // the recursive definition takes too long; a spline that jumps may stand on a single place
	}
	const samples = 100
	from, to := s.knots[s.degree], s.knots[len(s.points)]
	for k := 1; k < samples; k++ {
		p := domain.at(from + (to-from)*float64(k)/samples)
		if !p.Finite() {
			continue
		}
		if off := nearestCurve(d.Curves, p); off > allowed {
			t.Fatalf("%v lies %v off the arcs, reported %v", p, off, reported)
		}
	}
}

func nearestCurve(curves []Curve, p geom.Point) float64 {
	best := math.Inf(1)
	for _, c := range curves {
		best = math.Min(best, c.Distance(p))
	}
	return best
}

// A reminder that the binary seeds are what they claim to be.
func TestBinarySeed(t *testing.T) {
	b := toBinary(t, pairs("0 EOF"), 2)
	if want := append([]byte(binarySentinel), binary.LittleEndian.AppendUint16(nil, 0)...); !bytes.HasPrefix(b, want) {
		t.Errorf("%q", b)
	}
}
