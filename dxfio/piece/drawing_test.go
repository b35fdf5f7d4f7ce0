package piece

import (
	"context"
	"math"
	"strconv"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// parse makes a drawing of a text, an entity a line:
//
//	LAYER: 0,0 2400,0^0.1 2400,640 close   lines and arcs; ^ is the bulge to the next corner
//	LAYER: 0,0 2400,0 loose                 the same as separate LINEs and ARCs
//	LAYER: circle 1200,60 d35
//	LAYER: ellipse 600,300 210,160          eight tangent arcs of one ELLIPSE, not exact
//	LAYER: point 1200,60
//	LAYER: text 100,100 KITCHEN
func parse(t testing.TB, text string) *dxfio.Drawing {
	t.Helper()
	d := &dxfio.Drawing{Units: dxfio.UnitMillimetre}
	for i, line := range strings.Split(strings.TrimSpace(text), "\n") {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		layer, rest, ok := strings.Cut(line, ":")
		words := strings.Fields(rest)
		if !ok || len(words) == 0 {
			t.Fatalf("line %d of the drawing: %q", i+1, line)
		}
		source := dxfio.Source{Layer: layerIndex(d, layer), Entity: int32(i * 1000), Line: int32(i + 1)}
		switch words[0] {
		case "circle":
			source.Type = dxfio.EntityCircle
			r := number(t, words[2][1:]) / 2
			add(d, source, geom.Circle(point(t, words[1]), r))
		case "ellipse":
			source.Type = dxfio.EntityEllipse
			add(d, source, oval(point(t, words[1]), point(t, words[2])))
		case "point":
			d.Marks = append(d.Marks, dxfio.Mark{At: point(t, words[1]), Source: source})
		case "text":
			value := strings.ReplaceAll(strings.Join(words[2:], " "), `\n`, "\n")
			d.Texts = append(d.Texts, dxfio.Text{Value: value, At: point(t, words[1]), Height: 20, Source: source})
		default:
			chain(t, d, source, words)
		}
	}
	return d
}

func chain(t testing.TB, d *dxfio.Drawing, source dxfio.Source, words []string) {
	t.Helper()
	last := words[len(words)-1]
	closed, loose := last == "close", last == "loose"
	if closed || loose {
		words = words[:len(words)-1]
	}
	if closed {
		words = append(words, words[0])
	}
	source.Type = dxfio.EntityPolyline
	for i := range words[:len(words)-1] {
		at, bulge, bent := strings.Cut(words[i], "^")
		to, _, _ := strings.Cut(words[i+1], "^")
		c := geom.Line(point(t, at), point(t, to))
		if bent {
			c.Bulge = number(t, bulge)
		}
		s := source
		if loose {
			s.Entity, s.Type = source.Entity+int32(i), dxfio.EntityLine
		}
		d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: s})
	}
}

func add(d *dxfio.Drawing, s dxfio.Source, l geom.Loop) {
	for _, c := range l {
		d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: s})
	}
}

// oval is four tangent-continuous arcs that look like an ellipse.
func oval(center, half geom.Point) geom.Loop {
	a, b := half.X, half.Y
	// Two radii whose circles touch on the line of their centres at 45 degrees:
	// R - r = sqrt2 * d with a = r + d, b = R - d.
	k := (a - b) / (2 - math.Sqrt2)
	d, r, big := k, a-k, b+k
	q := math.Tan(math.Pi / 8)
	pts := []geom.Point{{X: d + r*math.Sqrt2/2, Y: r * math.Sqrt2 / 2}, {X: -d - r*math.Sqrt2/2, Y: r * math.Sqrt2 / 2},
		{X: -d - r*math.Sqrt2/2, Y: -r * math.Sqrt2 / 2}, {X: d + r*math.Sqrt2/2, Y: -r * math.Sqrt2 / 2}}
	_ = big
	l := make(geom.Loop, 4)
	for i := range pts {
		l[i] = geom.Curve{A: center.Add(pts[i]), B: center.Add(pts[(i+1)%4]), Bulge: q}
	}
	return l
}

func layerIndex(d *dxfio.Drawing, name string) int32 {
	for i, l := range d.Layers {
		if l.Name == name {
			return int32(i)
		}
	}
	d.Layers = append(d.Layers, dxfio.Layer{Name: name})
	return int32(len(d.Layers) - 1)
}

func point(t testing.TB, s string) geom.Point {
	t.Helper()
	x, y, ok := strings.Cut(s, ",")
	if !ok {
		t.Fatalf("no point: %q", s)
	}
	return geom.Point{X: number(t, x), Y: number(t, y)}
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// build makes the template of a drawing's text with the default settings.
func build(t testing.TB, text string) *Template {
	t.Helper()
	return buildDrawing(t, parse(t, text))
}

func buildDrawing(t testing.TB, d *dxfio.Drawing) *Template {
	t.Helper()
	got, err := Build(context.Background(), d, Default(), trace.Default())
	if err != nil {
		t.Fatal(err)
	}
	if got.account.sum() != got.account.Curves || got.account.Curves != len(d.Curves) {
		t.Errorf("the account %+v does not add up to %d curves", got.account, len(d.Curves))
	}
	noDifference(t, got)
	return got
}

// near fails the test when a measured value is off by more than the measuring
// tolerance.
func near(t testing.TB, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-6*math.Max(1, math.Abs(want)) {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

// summary lists the problems as kind@layer.
func summary(t *Template) string {
	var s []string
	for _, p := range t.Problems {
		s = append(s, string(p.Kind)+"@"+p.Layer)
	}
	return strings.Join(s, " ")
}
