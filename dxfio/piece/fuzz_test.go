package piece

import (
	"context"
	"math"
	"slices"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// FuzzBuild draws lines and arcs on a grid, with a nudge now and then, on
// layers of every role, and checks that every curve is accounted for and every
// piece is sound.
func FuzzBuild(f *testing.F) {
	for _, text := range templates {
		f.Add(encode(parse(f, text)))
	}
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		d := decode(data)
		got, err := Build(context.Background(), d, Default(), trace.Default())
		if err != nil {
			t.Fatal(err)
		}
		if a := got.account; a.sum() != a.Curves || a.Curves != len(d.Curves) {
			t.Fatalf("%+v of %d curves", a, len(d.Curves))
		}
		checkPieces(t, got)
		if stops := slices.ContainsFunc(got.Problems, func(p Problem) bool { return stopKinds[p.Kind] }); !stops && len(got.Pieces) > 0 {
			if differences(t, got); wantsNone() {
				noDifference(t, got) // nobody else asks, so that it has to be kept
			}
		}
		for _, s := range got.Seams {
			if math.IsNaN(s.Length) || math.IsNaN(s.MaxGap) || s.MaxGap < s.MinGap {
				t.Fatalf("seam %+v", s)
			}
		}
	})
}

// stopKinds are the problems that keep a template from release whatever else is
// known of them.
var stopKinds = map[ProblemKind]bool{
	OpenOutline: true, SelfCrossing: true, OverlappingPieces: true, StraySeam: true, CutoutAmbiguous: true, CutoutOutside: true,
}

var fuzzLayers = []string{"COUNTER", "SINK", "SEAM", "FINISHED", "WALL", "CABINET", "DW", "SPLASH"}

// Seven bytes a curve: layer, four coordinates, bulge, nudge.
const fuzzCurve = 7

func decode(data []byte) *dxfio.Drawing {
	d := &dxfio.Drawing{}
	for _, l := range fuzzLayers {
		d.Layers = append(d.Layers, dxfio.Layer{Name: l})
	}
	for i := 0; len(data) >= fuzzCurve && i < 200; i, data = i+1, data[fuzzCurve:] {
		nudge := float64(int8(data[6])) / 100
		at := func(x, y byte) geom.Point { return geom.Point{X: float64(x)*20 + nudge, Y: float64(y) * 20} }
		c := geom.Curve{A: at(data[1], data[2]), B: at(data[3], data[4])}
		if data[5] > 200 {
			c.Bulge = float64(int(data[5])-228) / 28
		}
		d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: dxfio.Source{Layer: int32(data[0]) % int32(len(fuzzLayers)), Entity: int32(i)}})
	}
	return d
}

func encode(d *dxfio.Drawing) []byte {
	var out []byte
	for _, c := range d.Curves {
		cell := func(v float64) byte { return byte(math.Round(v / 20)) }
		for k, l := range fuzzLayers {
			if d.Layers[c.Layer].Name == l {
				out = append(out, byte(k), cell(c.A.X), cell(c.A.Y), cell(c.B.X), cell(c.B.Y), 0, 0)
			}
		}
	}
	return out
}
