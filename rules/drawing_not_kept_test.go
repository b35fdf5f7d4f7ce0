package rules

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
	"trueup/rules/textform"
)

// drawnText makes the drawing of a text form, every line one closed entity, and the
// template of that.
func drawnText(t *testing.T, text string) *piece.Template {
	t.Helper()
	form, err := textform.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return builtFrom(t, form)
}

func builtFrom(t *testing.T, form *piece.Template) *piece.Template {
	t.Helper()
	d := &dxfio.Drawing{Units: dxfio.UnitMillimetre}
	entity := int32(0)
	add := func(layer string, l geom.Loop) {
		n := slices.IndexFunc(d.Layers, func(l dxfio.Layer) bool { return l.Name == layer })
		if n < 0 {
			n = len(d.Layers)
			d.Layers = append(d.Layers, dxfio.Layer{Name: layer})
		}
		for _, c := range l {
			d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: dxfio.Source{Layer: int32(n), Entity: entity, Type: dxfio.EntityPolyline}})
		}
		entity++
	}
	for _, p := range form.Pieces {
		add("COUNTER", p.Outline)
		for _, c := range p.Cutouts {
			add("CUTOUT", c.Loop)
		}
	}
	got, err := piece.Build(context.Background(), d, piece.Default(), trace.Default())
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func TestDrawingNotKept(t *testing.T) {
	const top = "outline 0,0 2400,0 2400,640 0,640; cutout 700,150 1300,500; hole 1800,100 d35"
	cut := func(t *piece.Template, k int) *piece.Cutout { return &t.Pieces[0].Cutouts[k] }
	for _, tc := range []struct {
		name   string
		change func(*piece.Template)
		want   []want
		source string
	}{
		{"as drawn", func(*piece.Template) {}, nil, "nothing changed"},
		{"moved by less than ends that are one point", func(t *piece.Template) { cut(t, 1).Loop = cut(t, 1).Loop.Translate(geom.Point{X: 0.009}) }, nil, "audit.Fit is 0.01"},
		{"a sink moved by 2 mm", func(t *piece.Template) { cut(t, 0).Loop = cut(t, 0).Loop.Translate(geom.Point{X: 2}) },
			[]want{{severity: Stop, measured: 2, limit: 0.01, inMessage: "is drawn and would not be cut"},
				{severity: Stop, measured: 2, limit: 0.01, inMessage: "would be cut where nothing is drawn"}}, "by hand"},
		{"a hole left out", func(t *piece.Template) { t.Pieces[0].Cutouts = t.Pieces[0].Cutouts[:1] },
			[]want{{severity: Stop, measured: 1, inMessage: "a cutout is drawn on layer CUTOUT, and piece A would have stone"},
				// From the hole's far side at 1817.5, 100 to the front edge: 100, its top 117.5.
				{severity: Stop, measured: 117.5, limit: 0.01, at: at(1800, 117.5), inMessage: "is drawn and would not be cut"}}, "by hand: 100 + 35/2"},
		{"a piece that nobody drew", func(t *piece.Template) {
			t.Pieces = append(t.Pieces, piece.Piece{ID: "B", Outline: geom.Polygon(geom.Point{X: 3000}, geom.Point{X: 3100}, geom.Point{X: 3100, Y: 100}, geom.Point{X: 3000, Y: 100})})
		}, []want{{severity: Stop, measured: 700, limit: 0.01, inMessage: "the outline of piece B would be cut"}}, "by hand: 3100 - 2400"},
		{"the same piece twice", func(t *piece.Template) { t.Pieces = append(t.Pieces, t.Pieces[0]) },
			[]want{{severity: Stop, measured: 1, inMessage: "would be cut twice"}}, "two pieces over each other"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if tc.source == "" {
				t.Error("no source for the expected figures")
			}
			tpl := drawnText(t, top)
			tpl.Pieces = slices.Clone(tpl.Pieces)
			tc.change(tpl)
			got, unchecked := check(t, drawingNotKept(), input(tpl))
			if len(unchecked) > 0 {
				t.Error(unchecked)
			}
			wantFlags(t, got, tc.want, func(p geom.Point) geom.Point { return p })
		})
	}
}

// A template that no drawing was given for has nothing to compare with.
func TestDrawingNotKeptWithoutDrawing(t *testing.T) {
	flags, unchecked := check(t, drawingNotKept(), input(template(t, "outline 0,0 2400,0 2400,640 0,640")))
	if len(flags) > 0 || len(unchecked) != 1 || !strings.Contains(unchecked[0].Why, "not made from a drawing") {
		t.Error(flags, unchecked)
	}
}

// Where the comparison has to be given up nobody knows whether the drawing is kept.
func TestDrawingNotKeptGivenUp(t *testing.T) {
	tpl := drawnText(t, "outline 0,0 2400,0 2400,640 0,640")
	if err := input(tpl).auditClock()(auditSteps * 2); err != errAuditCrowded {
		t.Error(err)
	}
}

// A comparison that breaks off, here at a layer without a name, is a stop: silence would be
// taken for "looked and found nothing".
func TestDrawingNotKeptBrokenOff(t *testing.T) {
	tpl := drawnText(t, "outline 0,0 2400,0 2400,640 0,640; hole 1200,100 d35")
	tpl.Pieces = slices.Clone(tpl.Pieces)
	tpl.Pieces[0].Cutouts = nil
	tpl.Drawn.Layers = nil
	rule := drawingNotKept()
	found := runRule(&rule, input(tpl))
	if len(found.flags) != 1 || found.flags[0].Severity != Stop || !strings.Contains(found.flags[0].Message, "could not look to its end") || len(found.unchecked) != 1 {
		t.Errorf("%s %v", listed(found.flags), found.unchecked)
	}
}

// More differences than anybody reads are counted.
func TestDrawingNotKeptOften(t *testing.T) {
	var text strings.Builder
	text.WriteString("outline 0,0 9000,0 9000,640 0,640")
	for x := 100; x < 8900; x += 200 {
		text.WriteString("; hole " + fmt.Sprint(x) + ",100 d35")
	}
	tpl := drawnText(t, text.String())
	tpl.Pieces = slices.Clone(tpl.Pieces)
	tpl.Pieces[0].Cutouts = nil
	flags, _ := check(t, drawingNotKept(), input(tpl))
	if len(flags) != mostDifferences || !slices.ContainsFunc(flags, func(f Flag) bool { return strings.Contains(f.Message, "more like it are not listed") }) {
		t.Errorf("%d flags:\n%s", len(flags), listed(flags))
	}
}

// Every random top is released as it was drawn.
func TestDrawingKeptOfRandomTops(t *testing.T) {
	for seed := range uint64(300) {
		form := textform.Random(rand.New(rand.NewPCG(seed, 6)))
		if !textform.Simple(form.Pieces[0].Outline) {
			continue
		}
		flags, _ := check(t, drawingNotKept(), input(builtFrom(t, form)))
		if len(flags) > 0 {
			t.Fatalf("seed %d:\n%s", seed, listed(flags))
		}
	}
}
