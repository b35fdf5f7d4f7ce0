package report

import (
	"math"
	"testing"
)

// One inch is 25.4 mm exactly (NIST SP 811); fractions are reduced.
func TestInchText(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		want string
	}{
		{0, `0"`}, {25.4, `1"`}, {38.1, `1 1/2"`}, {1.5875, `1/16"`}, {0.79, `0"`}, {0.8, `1/16"`}, {2438.4, `96"`}, {650, `25 9/16"`},
		{876.3, `34 1/2"`}, {-38.1, `-1 1/2"`}, {-0.1, `0"`}, {25.39, `1"`}, {19.05, `3/4"`}, {9.525, `3/8"`}, {15.875, `5/8"`},
	} {
		if got := inchText(c.mm); got != c.want {
			t.Errorf("%v mm: %s, want %s", c.mm, got, c.want)
		}
	}
}

// Every sixteenth of a foot, written, read back and compared.
func TestFractionIsReduced(t *testing.T) {
	for n := range 12 * 16 {
		whole, numerator, denominator := fraction(float64(n) / 16)
		if back := float64(whole) + float64(numerator)/float64(denominator); back != float64(n)/16 {
			t.Errorf("%d/16 becomes %d %d/%d", n, whole, numerator, denominator)
		}
		if numerator%2 == 0 && numerator != 0 {
			t.Errorf("%d/16 is not reduced: %d/%d", n, numerator, denominator)
		}
	}
}

func TestInchFormat(t *testing.T) {
	for inches, want := range map[float64]string{1: "0", 1.5: "# ?/2", 1.25: "# ?/4", 1.125: "# ?/8", 1.0625: "# ?/16", -1.5: "# ?/2", 25.4833: "# ?/2", 0.01: "0"} {
		if got := inchFormat(inches); got != want {
			t.Errorf("%v: %s, want %s", inches, got, want)
		}
	}
}

func TestLabels(t *testing.T) {
	for units, want := range map[string]string{UnitsMM: "2438.4 mm", UnitsInch: `96"`, UnitsBoth: `2438.4 mm [96"]`} {
		if got := (Settings{Units: units}).text(2438.4); got != want {
			t.Errorf("%s: %q, want %q", units, got, want)
		}
	}
	if got := mmText(-0.01); got != "0" {
		t.Errorf("-0.01 is written %q", got)
	}
	if got := mmText(math.Nextafter(650, 0)); got != "650" {
		t.Errorf("almost 650 is written %q", got)
	}
}

func TestSettingsValidate(t *testing.T) {
	if err := Default().Validate(); err != nil {
		t.Error(err)
	}
	for _, s := range []Settings{{Units: "cm", Paper: PaperA4}, {Units: UnitsMM, Paper: "a3"}, {}} {
		if s.Validate() == nil {
			t.Errorf("%+v passes", s)
		}
	}
}
