package rules

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/shop"
	"trueup/rules/textform"
)

// template parses the text form of a template (package textform).
func template(t testing.TB, text string) *piece.Template {
	t.Helper()
	tpl, err := textform.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return tpl
}

// input makes the input of rules with the default settings.
func input(t *piece.Template) *Input {
	s, m := Default(), shop.Default()
	return &Input{Template: t, Settings: &s, Shop: &m}
}

func ptr(r Rule) *Rule { return &r }

// check runs one rule with its own default severities, hidden flags dropped.
func check(t testing.TB, r Rule, in *Input) ([]Flag, []Unchecked) {
	t.Helper()
	found := runRule(&r, in)
	flags := withoutHidden(found.flags)
	sortFlags(Catalogue(), flags)
	sameInInches(t, &r, in, flags)
	return flags, found.unchecked
}

// want is a flag as a test case expects it: a nil place stands for anywhere.
type want struct {
	severity  Severity
	measured  float64
	limit     float64
	at        *geom.Point
	stretch   float64 // checked when not 0
	inMessage string
}

func at(x, y float64) *geom.Point { return &geom.Point{X: x, Y: y} }

// near is what two ways to compute a length may differ by, in mm.
const near = 1e-5

func wantFlags(t *testing.T, got []Flag, wants []want, move func(geom.Point) geom.Point) {
	t.Helper()
	if len(got) != len(wants) {
		t.Errorf("%d flags, want %d:\n%s", len(got), len(wants), listed(got))
		return
	}
	used := make([]bool, len(got))
	for _, w := range wants {
		found := false
		for i, f := range got {
			if !used[i] && w.fits(f, move) {
				used[i], found = true, true
				break
			}
		}
		if !found {
			t.Errorf("no flag %s; got:\n%s", w, listed(got))
		}
	}
}

func (w want) String() string {
	s := fmt.Sprintf("%s %.6g under %.6g", w.severity, w.measured, w.limit)
	if w.at != nil {
		s += fmt.Sprintf(" at (%.4f, %.4f)", w.at.X, w.at.Y)
	}
	return s + fmt.Sprintf(" stretch %.4f", w.stretch)
}

func (w want) fits(f Flag, move func(geom.Point) geom.Point) bool {
	if f.Severity != w.severity || math.Abs(f.Measured-w.measured) > near || math.Abs(f.Limit-w.limit) > near {
		return false
	}
	if w.at != nil && f.At.Distance(move(*w.at)) > 1e-3 {
		return false
	}
	if w.stretch != 0 && math.Abs(f.Stretch-w.stretch) > 1e-3 {
		return false
	}
	return strings.Contains(f.Message, w.inMessage) && f.Message != "" && f.Remedy != ""
}

func listed(flags []Flag) string {
	var b strings.Builder
	for _, f := range flags {
		fmt.Fprintf(&b, "  %s %s %s/%s %.6f under %.6g %s at (%.4f, %.4f) stretch %.4f key %s\n    %s %s\n",
			f.Severity, f.Rule, f.Piece, f.Other, f.Measured, f.Limit, f.Unit, f.At.X, f.At.Y, f.Stretch, f.Key, f.Message, f.Remedy)
	}
	return b.String()
}

// redrawing is a way to draw the same stone differently.
type redrawing struct {
	name string
	loop func(geom.Loop) geom.Loop
	move func(geom.Point) geom.Point
}

// redrawings are the ways every case is drawn: as it stands, started elsewhere,
// turned, mirrored, shifted far away.
func redrawings() []redrawing {
	const angle = 0.7
	far := geom.Point{X: 52345.678, Y: -31234.5}
	same := func(p geom.Point) geom.Point { return p }
	return []redrawing{
		{"as drawn", func(l geom.Loop) geom.Loop { return l }, same},
		{"started elsewhere", func(l geom.Loop) geom.Loop {
			k := len(l) / 2
			return append(append(geom.Loop(nil), l[k:]...), l[:k]...)
		}, same},
		{"reversed twice", func(l geom.Loop) geom.Loop { return l.Reverse().Reverse() }, same},
		{"turned", func(l geom.Loop) geom.Loop { return l.Rotate(angle) }, func(p geom.Point) geom.Point { return p.Rotate(angle) }},
		{"mirrored", func(l geom.Loop) geom.Loop {
			m := make(geom.Loop, len(l))
			for i, c := range l {
				m[i] = c.Mirror()
			}
			return m.Reverse()
		}, func(p geom.Point) geom.Point { return geom.Point{X: -p.X, Y: p.Y} }},
		{"shifted", func(l geom.Loop) geom.Loop { return l.Translate(far) }, func(p geom.Point) geom.Point { return p.Add(far) }},
	}
}

// moved returns the template drawn in another way.
func moved(t *piece.Template, m redrawing) *piece.Template {
	out := *t
	out.Pieces = append([]piece.Piece(nil), t.Pieces...)
	for i := range out.Pieces {
		p := &out.Pieces[i]
		p.Outline = m.loop(p.Outline)
		p.Cutouts = append([]piece.Cutout(nil), p.Cutouts...)
		for k := range p.Cutouts {
			p.Cutouts[k].Loop = m.loop(p.Cutouts[k].Loop)
		}
		p.Edges = append([]piece.Edge(nil), p.Edges...)
		for k := range p.Edges {
			p.Edges[k].Curves = m.loop(p.Edges[k].Curves)
		}
		if m.name == "mirrored" { // counter-clockwise runs the other way then
			first := p.Edges[0].CornerDeg
			for k := range p.Edges {
				p.Edges[k].CornerDeg = first
				if k+1 < len(p.Edges) {
					p.Edges[k].CornerDeg = p.Edges[k+1].CornerDeg
				}
			}
			slices.Reverse(p.Edges)
		}
	}
	return &out
}

// ruleCase is a named case of a rule's table.
type ruleCase struct {
	name, drawing string
	set           func(in *Input)
	want          []want
	source        string // where the expected figures come from
}

// runCases runs a rule's table, each case drawn in every way.
func runCases(t *testing.T, r Rule, cases []ruleCase) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if c.source == "" {
				t.Error("no source for the expected figures")
			}
			tpl := template(t, c.drawing)
			for _, m := range redrawings() {
				in := input(moved(tpl, m))
				if c.set != nil {
					c.set(in)
				}
				got, unchecked := check(t, r, in)
				if len(unchecked) > 0 {
					t.Errorf("%s: %v", m.name, unchecked)
				}
				if !t.Run(m.name, func(t *testing.T) { wantFlags(t, got, c.want, m.move) }) {
					return
				}
			}
		})
	}
}
