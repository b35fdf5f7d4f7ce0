package rules

import (
	"context"
	"strconv"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
)

// drawn makes a template of entities as they are drawn, one a semicolon, so that a
// case shows everything between a drawing and its flags:
//
//	LAYER 0,0 2400,0^0.1 2400,640 close    a closed polyline; ^ is the bulge to the next point
//	LAYER 0,0 2400,0 2400,640              an open one
//	LAYER loose 0,0 2400,0 2400,640        the same as separate lines and arcs
//	LAYER circle 1200,60 d35
//
// Layers have the roles of the built-in patterns. Millimetres.
func drawn(t testing.TB, text string) *piece.Template {
	t.Helper()
	d := &dxfio.Drawing{Units: dxfio.UnitMillimetre}
	for i, statement := range strings.Split(text, ";") {
		words := strings.Fields(statement)
		if len(words) == 0 {
			continue
		}
		s := dxfio.Source{Layer: layerNamed(d, words[0]), Entity: int32(1000 * i), Line: int32(i + 1), Type: dxfio.EntityPolyline}
		if words = words[1:]; words[0] == "circle" {
			s.Type = dxfio.EntityCircle
			for _, c := range geom.Circle(drawnPoint(t, words[1]), drawnNumber(t, words[2][1:])/2) {
				d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: s})
			}
			continue
		}
		loose := words[0] == "loose"
		if loose {
			words, s.Type = words[1:], dxfio.EntityLine
		}
		if n := len(words) - 1; words[n] == "close" {
			words[n] = words[0]
		}
		for k := range len(words) - 1 {
			from, bulge, _ := strings.Cut(words[k], "^")
			to, _, _ := strings.Cut(words[k+1], "^")
			c := geom.Line(drawnPoint(t, from), drawnPoint(t, to))
			if bulge != "" {
				c.Bulge = drawnNumber(t, bulge)
			}
			if loose {
				s.Entity++
			}
			d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: s})
		}
	}
	return built(t, d)
}

func built(t testing.TB, d *dxfio.Drawing) *piece.Template {
	t.Helper()
	return builtWith(t, d, piece.Default())
}

func builtWith(t testing.TB, d *dxfio.Drawing, s piece.Settings) *piece.Template {
	t.Helper()
	tpl, err := piece.Build(context.Background(), d, s, trace.Default())
	if err != nil {
		t.Fatal(err)
	}
	tpl.Units = piece.Units{Drawing: dxfio.UnitMillimetre, From: "header"}
	return tpl
}

func layerNamed(d *dxfio.Drawing, name string) int32 {
	for i, l := range d.Layers {
		if l.Name == name {
			return int32(i)
		}
	}
	d.Layers = append(d.Layers, dxfio.Layer{Name: name})
	return int32(len(d.Layers) - 1)
}

func drawnPoint(t testing.TB, s string) geom.Point {
	t.Helper()
	x, y, _ := strings.Cut(s, ",")
	return geom.Point{X: drawnNumber(t, x), Y: drawnNumber(t, y)}
}

func drawnNumber(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatalf("%q: %v", s, err)
	}
	return v
}

// ruleIDs counts the flags of a drawing by rule and severity, without those that
// every drawing without supports and finish has.
func ruleIDs(t testing.TB, tpl *piece.Template) map[string]int {
	t.Helper()
	got := map[string]int{}
	for _, f := range Run(input(tpl)).Flags {
		if f.Severity != Note {
			got[string(f.Severity)+" "+f.Rule]++
		}
	}
	return got
}
