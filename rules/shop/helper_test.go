package shop

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
)

// template builds pieces from a text, an entity a line:
//
//	LAYER: 0,0 2400,0^0.1 2400,640 close   lines and arcs; ^ is the bulge to the next corner
//	LAYER: 0,0 2400,0                      open chain
//	LAYER: circle 1200,60 d35
//	LAYER: text 100,100 KITCHEN
func template(t testing.TB, text string) *piece.Template {
	t.Helper()
	d := &dxfio.Drawing{Units: dxfio.UnitMillimetre}
	for i, line := range strings.Split(strings.TrimSpace(text), "\n") {
		layer, rest, _ := strings.Cut(strings.TrimSpace(line), ":")
		words := strings.Fields(rest)
		source := dxfio.Source{Layer: layerOf(d, layer), Entity: int32(i), Line: int32(i + 1), Type: dxfio.EntityPolyline}
		var curves []geom.Curve
		switch words[0] {
		case "circle":
			curves = geom.Circle(pointOf(t, words[1]), numberOf(t, words[2][1:])/2)
		case "text":
			d.Texts = append(d.Texts, dxfio.Text{Value: strings.Join(words[2:], " "), At: pointOf(t, words[1]), Height: 20, Source: source})
		default:
			if last := len(words) - 1; words[last] == "close" {
				words[last] = words[0]
			}
			for k := range len(words) - 1 {
				a, bulge, bent := strings.Cut(words[k], "^")
				b, _, _ := strings.Cut(words[k+1], "^")
				c := geom.Line(pointOf(t, a), pointOf(t, b))
				if bent {
					c.Bulge = numberOf(t, bulge)
				}
				curves = append(curves, c)
			}
		}
		for _, c := range curves {
			d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: source})
		}
	}
	out, err := piece.Build(context.Background(), d, piece.Default(), trace.Default())
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func layerOf(d *dxfio.Drawing, name string) int32 {
	for i, l := range d.Layers {
		if l.Name == name {
			return int32(i)
		}
	}
	d.Layers = append(d.Layers, dxfio.Layer{Name: name})
	return int32(len(d.Layers) - 1)
}

func numberOf(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func pointOf(t testing.TB, s string) geom.Point {
	t.Helper()
	x, y, _ := strings.Cut(s, ",")
	return geom.Point{X: numberOf(t, x), Y: numberOf(t, y)}
}

// onePiece builds a template of one piece and its figures with the defaults.
func onePiece(t testing.TB, text string) (*piece.Piece, Setup) {
	t.Helper()
	tpl := template(t, text)
	if len(tpl.Pieces) != 1 {
		t.Fatalf("%d pieces, want 1; problems %+v", len(tpl.Pieces), tpl.Problems)
	}
	s := Default()
	return &tpl.Pieces[0], SetUp(&tpl.Pieces[0], tpl, &s)
}

func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > within {
		t.Errorf("%s: got %.9g, want %.9g within %g", what, got, want, within)
	}
}

func seeded(t testing.TB, seed uint64) *rand.Rand {
	t.Helper()
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, seed))
}
