package rules

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"trueup/dxfio/piece"
)

// lengthWords finds lengths, areas, masses, loads and stresses in sentences: one, or two that share their unit.
var lengthWords = regexp.MustCompile(`(?:([\d.]+)( x | and ))?([\d.]+) (mm2?|in2?|kg|lb|N|lbf|MPa|psi)\b`)

// namedPlaces are the places of a drawing in mm as sentences in inches have them.
var namedPlaces = regexp.MustCompile(`(\(-?\d+) mm(, -?\d+) mm(\))|([xy] = -?\d+) mm`)

// sameInInches checks that a rule says the same in inches as in mm: the same
// words around the same lengths (1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1 lbf = 4.448222 N,
// 1 psi = 0.006894757 MPa, NIST SP 811), each as near as the roughest figure allows,
// a tenth of its unit, whole ones of loads, a hundredth of a MPa. Thicknesses of slabs are named in mm
// everywhere.
func sameInInches(t testing.TB, r *Rule, in *Input, flags []Flag) {
	t.Helper()
	if in.Template.Units.Lengths.Inches {
		return
	}
	tpl := *in.Template
	tpl.Units.Lengths.Inches = true
	found := runRule(r, &Input{Template: &tpl, Settings: in.Settings, Shop: in.Shop, Setups: in.Setups, Role: in.Role, Released: in.Released})
	inches := withoutHidden(found.flags)
	sortFlags(Catalogue(), inches)
	if len(inches) != len(flags) {
		t.Errorf("%d flags in mm, %d in inches", len(flags), len(inches))
		return
	}
	for i := range flags {
		sameLengths(t, flags[i].Message, inches[i].Message)
		sameLengths(t, flags[i].Remedy, inches[i].Remedy)
	}
}

func sameLengths(t testing.TB, mm, in string) {
	t.Helper()
	in = namedPlaces.ReplaceAllString(in, "$1$2$3$4")
	if a, b := lengthWords.ReplaceAllString(mm, "#"), lengthWords.ReplaceAllString(in, "#"); a != b {
		t.Errorf("not the same words:\n%s\n%s", mm, in)
		return
	}
	inInches := lengthWords.FindAllStringSubmatch(in, -1)
	for i, a := range lengthWords.FindAllStringSubmatch(mm, -1) {
		b := inInches[i]
		scale := map[string]float64{"mm in": 25.4, "mm2 in2": 25.4 * 25.4, "kg lb": 0.45359237, "N lbf": 4.448222, "MPa psi": 0.006894757, "mm mm": 1}[a[4]+" "+b[4]]
		slack := scale/20 + 0.5
		switch a[4] {
		case "N":
			slack = scale/2 + 0.5
		case "MPa":
			slack = scale/2 + 0.005
		}
		if scale == 1 && a[0] != b[0] {
			t.Errorf("%s is %s: %s", a[0], b[0], in)
		}
		for _, k := range [2]int{1, 3} {
			if x, y := value(t, a[k]), value(t, b[k])*scale; math.Abs(x-y) > slack {
				t.Errorf("%s is %s: %s", a[0], b[0], in)
			}
		}
	}
}

func value(t testing.TB, s string) float64 {
	t.Helper()
	if s == "" {
		return 0
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Errorf("%q is no length", s)
	}
	return v
}

// The published limits are 36 and 24 in of span, 10 and 6 in of overhang
// (Dimension Stone Design Manual 8.0 (2016), ch. 17); the settings have them in
// whole mm.
func TestSupportLimitsInInches(t *testing.T) {
	in := Input{Settings: &Settings{}, Template: &piece.Template{}}
	in.Template.Units.Lengths.Inches = true
	in.Settings.Support.Grace = 0.5
	for limit, want := range map[float64]string{914: "36 in", 610: "24 in", 254: "10 in", 152: "6 in", 250: "9.84 in", 914.4: "36 in"} {
		if got := in.bearable(limit); got != want {
			t.Errorf("%g mm: %s, want %s", limit, got, want)
		}
	}
	in.Template.Units.Lengths.Inches = false
	if got := in.bearable(914); got != "914 mm" {
		t.Errorf("%s", got)
	}
}

// Loads and stresses go with the lengths: 200 lbf is 889.6 N (ANSI/AWI 1236-2022
// 3.3.4), 1200 psi 8.27 MPa (ASTM C615); a third of that is 400 psi.
func TestLoadsAndStressesInPounds(t *testing.T) {
	in := Input{Template: &piece.Template{}}
	for inches, want := range map[bool]string{false: "890 N, 8.27 MPa, 2.76 MPa, 45.4 kg", true: "200 lbf, 1199 psi, 400 psi, 100.1 lb"} {
		in.Template.Units.Lengths.Inches = inches
		if got := strings.Join([]string{in.force(889.6), in.stress(8.27), in.stress(8.27 / 3), in.mass(45.4)}, ", "); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// One support halves 72 in, 1828.8 mm, to twice 36 in, which passes by the grace.
func TestOneSupportHalvesSixFeet(t *testing.T) {
	rule, top := unsupportedSpan(), carriedTop(box(0, 0, 3028.8, 638), box(0, 0, 600, 638), box(2428.8, 0, 3028.8, 638))
	found := runRule(&rule, supportInput(top))
	if len(found.flags) != 1 || !strings.HasPrefix(found.flags[0].Remedy, "A support under the span, from (1514") {
		t.Fatalf("%+v", found.flags)
	}
}
