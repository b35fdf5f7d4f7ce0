package piece

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

func TestLetters(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		if got := letters(i); got != want {
			t.Errorf("letters(%d) = %s, want %s", i, got, want)
		}
	}
}

func TestGiveNames(t *testing.T) {
	for _, tc := range []struct{ names, want string }{
		{",,", "A B C"},
		{"B,,", "B A C"},
		{"Bar,BAR,bar-2,", "Bar BAR-3 bar-2 A"},
		{"a,,a", "a B a-2"},
	} {
		names := strings.Split(tc.names, ",")
		pieces := make([]Piece, len(names))
		giveNames(pieces, names)
		var got []string
		for _, p := range pieces {
			got = append(got, p.ID)
		}
		if s := strings.Join(got, " "); s != tc.want {
			t.Errorf("names %q give %q, want %q", tc.names, s, tc.want)
		}
	}
}

func TestNameFrom(t *testing.T) {
	for text, want := range map[string]string{
		"Kitchen": "Kitchen", "\n  \n Bar \t top\nsecond": "Bar top", "": "", " \n": "",
		strings.Repeat("ä", 50): strings.Repeat("ä", longestName),
	} {
		if got := nameFrom(text); got != want {
			t.Errorf("nameFrom(%q) = %q, want %q", text, got, want)
		}
	}
}

func TestReadingOrder(t *testing.T) {
	box := func(x, y float64) geom.Box {
		return geom.Box{Min: geom.Point{X: x, Y: y}, Max: geom.Point{X: x + 10, Y: y + 10}}
	}
	// The second, third and fifth stand in one column within a millimetre, the
	// topmost of them farthest right.
	got := readingOrder([]geom.Box{box(50, 0), box(0.9, 200), box(0, 100), box(2, 300), box(0.5, 50)})
	for i, want := range []int{1, 2, 4, 3, 0} {
		if got[i] != want {
			t.Fatalf("order %v, want 1 2 4 3 0", got)
		}
	}
}

func TestSupports(t *testing.T) {
	got := build(t, `
		COUNTER: 0,0 3000,0 3000,640 0,640 close
		CABINET: 0,0 600,0 600,600 0,600 close
		CABINET: 18,18 582,18 582,582 18,582 close
		CABINET: 100,100 200,100 200,200 100,200 close
		CABINET: 600,0 1200,0 1200,600 600,600 close
		LEDGE: 1200,10 2400,10 2400,600
		BRACKET: 2500,300 2500,600
		DISHWASHER: 1300,20 1900,20 1900,600 1300,600 close
		DISHWASHER: 1300,20 1900,600
		DISHWASHER: 1900,20 1300,600`)
	var area, lines float64
	for _, s := range got.Supports {
		area += geom.Region{Outer: s.Area, Holes: s.Holes}.Area()
		lines += chainLength(s.Line)
		for _, h := range s.Holes {
			if h.Area() >= 0 {
				t.Error("a hole runs counter-clockwise")
			}
		}
	}
	// By hand: 600 x 600 twice, less 564 x 564, with 100 x 100 in it.
	near(t, "carrying area", area, 2*360000-564*564+10000)
	near(t, "carrying lines", lines, 1200+590+300)
	opening := 0.0
	for _, o := range got.Openings {
		opening += o.Area.Area()
	}
	near(t, "opening", opening, 600*580)
	if len(got.Problems) > 0 || !got.HasSupport {
		t.Errorf("support %v, problems %+v", got.HasSupport, got.Problems)
	}
}

func TestNoSupportLayer(t *testing.T) {
	if build(t, "COUNTER: 0,0 3000,0 3000,640 0,640 close").HasSupport {
		t.Error("support without a support layer")
	}
}

func TestDepthAndPlausibility(t *testing.T) {
	top := func(k float64) *dxfio.Drawing {
		return mapped(parse(t, "COUNTER: 0,0 3000,0 3000,600 0,600 close\nSPLASH: 0,700 9000,700 9000,800 0,800 close"), func(p geom.Point) geom.Point { return p.Mul(k) })
	}
	for _, tc := range []struct {
		name  string
		scale float64
		want  bool
	}{
		{"as drawn", 1, true}, {"inches read as millimetres", 1 / 25.4, false}, {"millimetres read as inches", 25.4, false},
	} {
		got := buildDrawing(t, top(tc.scale))
		near(t, tc.name+": depth", DepthOfLargest(got), 500*tc.scale) // 2 x 3000 x 600 / 7200
		if Plausible(got) != tc.want {
			t.Errorf("%s: plausible %v", tc.name, !tc.want)
		}
	}
	if empty := (&Template{}); Plausible(empty) || DepthOfLargest(empty) != 0 {
		t.Error("a template without pieces is plausible")
	}
}

func TestEmptyDrawing(t *testing.T) {
	got := build(t, "NOTES: text 0,0 nothing here")
	if len(got.Pieces)+len(got.Problems)+len(got.Seams) != 0 {
		t.Errorf("got %+v", got)
	}
}

func TestMisuse(t *testing.T) {
	good := func() *dxfio.Drawing { return parse(t, "COUNTER: 0,0 3000,0 3000,600 0,600 close") }
	nan, noLayer, text := good(), good(), good()
	nan.Curves[1].B.X = math.NaN()
	noLayer.Curves[2].Layer = 7
	text.Texts = []dxfio.Text{{Source: dxfio.Source{Layer: -1}}}
	for name, tc := range map[string]struct {
		d    *dxfio.Drawing
		want string
	}{
		"no drawing": {nil, "no drawing"}, "not a number": {nan, "curve 1 of the drawing is not at a finite place"},
		"curve without a layer": {noLayer, "curve 2 of the drawing has no layer"}, "text without a layer": {text, "text 0 of the drawing has no layer"},
	} {
		if _, err := Build(context.Background(), tc.d, Default(), trace.Default()); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: error %v, want %q", name, err, tc.want)
		}
	}
}

func TestProblemsAreBounded(t *testing.T) {
	d := parse(t, "COUNTER: 0,0 3000,0 3000,600 0,600 close")
	layer := layerIndex(d, "FINISHED")
	for i := range 500 {
		y := 1000 + 10*float64(i)
		d.Curves = append(d.Curves, dxfio.Curve{Curve: geom.Line(geom.Point{Y: y}, geom.Point{X: 5, Y: y}), Source: dxfio.Source{Layer: layer, Entity: int32(100 + i)}})
	}
	got := buildDrawing(t, d)
	count := 0
	for _, p := range got.Problems {
		count += p.Count
	}
	if len(got.Problems) != mostListed || count != 500 {
		t.Errorf("%d problems that stand for %d curves, want %d for 500", len(got.Problems), count, mostListed)
	}
	if last, want := got.Problems[len(got.Problems)-1].Why, fmt.Sprintf("this one and %d more like it", 500-mostListed); !strings.Contains(last, want) {
		t.Errorf("the last says %q, want %q", last, want)
	}
}
