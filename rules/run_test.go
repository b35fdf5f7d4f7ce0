package rules

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

func TestRunOffAndSeverity(t *testing.T) {
	in := input(template(t, top+"sink 800,45 1560,500 r10"))
	in.Settings.Off = []string{"hole-spacing"}
	in.Settings.Severity = map[string]string{"narrow-section": "note", "sharp-point": "loud"}
	report := Run(in)
	i := slices.IndexFunc(report.Flags, func(f Flag) bool { return f.Rule == "narrow-section" })
	if i < 0 || report.Flags[i].Severity != Note {
		t.Errorf("narrow-section is not a note:\n%s", listed(report.Flags))
	}
	for rule, why := range map[string]string{"hole-spacing": "switched off", "sharp-point": `"loud", which is none of stop, warn, note`} {
		if !slices.ContainsFunc(report.Unchecked, func(u Unchecked) bool { return u.Rule == rule && strings.Contains(u.Why, why) }) {
			t.Errorf("%s does not say %q: %v", rule, why, report.Unchecked)
		}
	}
}

func TestRunWithoutTemplate(t *testing.T) {
	for _, in := range []*Input{nil, {}, {Settings: &Settings{}}} {
		if r := Run(in); len(r.Unchecked) == 0 || len(r.Flags) > 0 {
			t.Errorf("%+v passes for checked: %+v", in, r)
		}
	}
}

// TestRunEndsWithContext: once the time is up every rule says that it did not look.
func TestRunEndsWithContext(t *testing.T) {
	in := input(template(t, top+"sink 800,45 1560,500 r10"))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	in.Context = ctx
	r := Run(in)
	if len(r.Flags) > 0 {
		t.Errorf("flags without looking: %s", listed(r.Flags))
	}
	for _, rule := range Catalogue() {
		if !slices.ContainsFunc(r.Unchecked, func(u Unchecked) bool { return u.Rule == rule.ID && strings.Contains(u.Why, "time") }) {
			t.Errorf("%s passes for checked", rule.ID)
		}
	}
}

func TestPanicIsOneRulesLoss(t *testing.T) {
	r := Rule{ID: "test", Severities: []Severity{Warn}, Check: func(_ *Input, out *Findings) {
		out.Flag(Flag{Piece: "A", Measured: 1})
		panic("boom")
	}}
	found := runRule(&r, input(template(t, top)))
	if len(found.flags) != 2 || len(found.unchecked) != 1 || !strings.Contains(found.unchecked[0].Why, "boom") {
		t.Fatalf("%+v", found)
	}
	// What was found until then stands, and somebody has to look at the rest.
	if f := found.flags[1]; f.Severity != Warn || !strings.Contains(f.Message, "could not look to its end: a fault in the rule stopped it (boom)") {
		t.Errorf("%+v", f)
	}
	r.Severities = []Severity{Stop, Warn}
	if found = runRule(&r, input(template(t, top))); found.flags[1].Severity != Stop {
		t.Errorf("a rule that stops and could not look lets pass: %+v", found.flags[1])
	}
}

func TestNoNumberIsUnchecked(t *testing.T) {
	for name, f := range map[string]Flag{
		"NaN":           {Measured: math.NaN()},
		"infinite":      {Measured: 1, Limit: math.Inf(1)},
		"place nowhere": {At: geom.Point{X: math.NaN()}},
	} {
		r := Rule{ID: "test", Severities: []Severity{Warn}, Check: func(_ *Input, out *Findings) { out.Flag(f) }}
		if found := runRule(&r, input(template(t, top))); len(found.flags) != 1 || !strings.Contains(found.flags[0].Message, "no number") || len(found.unchecked) != 1 {
			t.Errorf("%s: %+v", name, found)
		}
	}
}

func TestGraverFlagHides(t *testing.T) {
	here, there := geom.Point{X: 100, Y: 50}, geom.Point{X: 100, Y: 55}
	flag := func(s Severity, p geom.Point, other string) Flag {
		return Flag{Severity: s, Piece: "A", Other: other, At: p, Measured: float64(rank(s))}
	}
	for _, c := range []struct {
		name  string
		flags []Flag
		want  int
	}{
		{"a stop hides its own warning", []Flag{flag(Warn, here, ""), flag(Stop, here, "")}, 1},
		{"not one elsewhere", []Flag{flag(Warn, there, ""), flag(Stop, here, "")}, 2},
		{"not one about another cutout", []Flag{flag(Warn, here, "A-1"), flag(Stop, here, "A-2")}, 2},
		{"the same twice", []Flag{flag(Stop, here, ""), flag(Stop, here, "")}, 1},
		{"flags without a place stay", []Flag{{Severity: Warn, Other: "LAYER A"}, {Severity: Warn, Other: "LAYER A"}}, 2},
	} {
		got := withoutHidden(c.flags)
		if len(got) != c.want || got[0].Severity != slices.MinFunc(c.flags, func(a, b Flag) int { return rank(a.Severity) - rank(b.Severity) }).Severity {
			t.Errorf("%s: %d flags, want %d:\n%s", c.name, len(got), c.want, listed(got))
		}
	}
}

func TestOrder(t *testing.T) {
	tpl := template(t, top+"sink 800,45 1560,500; hole 1180,560 d35; hole 400,40 d35; "+
		"outline 0,1000 2400,1000 2400,1640 0,1640; sink 800,1045 1560,1500")
	tpl.Problems = []piece.Problem{{Kind: piece.UnmappedLayer, Layer: "X", Count: 2}, {Kind: piece.UnitsUnknown}}
	report := Run(input(tpl))
	if !slices.IsSortedFunc(report.Flags, func(a, b Flag) int { return rank(a.Severity) - rank(b.Severity) }) {
		t.Errorf("not by severity:\n%s", listed(report.Flags))
	}
	if report.Flags[0].Rule != "units-unknown" {
		t.Errorf("the unit comes first:\n%s", listed(report.Flags[:1]))
	}
	keys := map[string]bool{}
	for _, f := range report.Flags {
		if f.Key == "" || keys[f.Key] {
			t.Errorf("key %q is empty or there twice", f.Key)
		}
		keys[f.Key] = true
	}
}
