package dxfio

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// Inches are exact multiples of 25.4 mm (NIST SP 811, table of conversion factors).
func TestLengths(t *testing.T) {
	mm, in := Lengths{}, Lengths{Inches: true}
	for _, tc := range []struct{ name, got, want string }{
		{"a tenth", mm.Of(41.24), "41.2 mm"},
		{"whole", mm.Of(600), "600 mm"},
		{"no -0", mm.Of(-0.01), "0 mm"},
		{"36 inches", in.Of(914.4), "36 in"},
		{"one and a half", in.Of(38.1), "1.5 in"},
		{"a hundredth", in.Of(41.24), "1.62 in"},
		{"three eighths", in.Of(9.525), "0.375 in"},
		{"a thirty-second", in.Of(0.79375), "0.031 in"},
		{"no -0 in", in.Of(-0.001), "0 in"},
		{"ten inches keep their nought", in.Of(254), "10 in"},
		{"fine", mm.Fine(0.8), "0.80 mm"},
		{"fine in", in.Fine(1.6), "0.063 in"}, // 0.06299
		{"rough", mm.Rough(412.3), "412 mm"},
		{"rough in", in.Rough(412.3), "16.2 in"},
		{"rough hundreds", mm.Rough(400), "400 mm"},
		{"radius", mm.Radius(9.525), "9.525 mm"},
		{"radius in", in.Radius(9.525), "0.375 in"},
		{"size", mm.Size(3010, 1324), "3010 x 1324 mm"},
		{"size in", in.Size(3048, 1397), "120 x 55 in"},
		{"pair", mm.Pair(3.5, 4), "3.5 and 4 mm"},
		{"up", mm.Up(3.01), "3.1 mm"},
		{"up in", in.Up(3.01), "0.119 in"}, // 0.1185
		{"up stays", in.Up(25.4), "1 in"},
		{"down", mm.Down(3.09), "3 mm"},
		{"down in", in.Down(1500), "59.05 in"}, // 59.0551
		{"down stays", in.Down(1524), "60 in"},
		{"area", mm.Area(1.84e6), "1.84 m2"},
		{"area in", in.Area(1.84e6), "19.8 ft2"}, // 1.84 m2 of 10.7639 ft2
		{"small area", mm.Area(300), "300 mm2"},
		{"small area in", in.Area(6.4516 * 75), "0.75 in2"},
		{"a square foot", in.Area(92903.04 * 2), "2 ft2"},
		{"under its limit", mm.Under(49.98, 50), "49.980 mm"},
		{"under its limit in", in.Under(50.79, 50.8), "1.9996 in"},
		{"far under", in.Under(41.24, 50.8), "1.62 in"},
	} {
		if tc.got != tc.want {
			t.Errorf("%s: %q, want %q", tc.name, tc.got, tc.want)
		}
	}
}

// What is rounded one way never lies on the other side of the length, and never
// further off than its last digit.
func TestLengthsRoundOneWay(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 20_000 {
		v := math.Exp(r.Float64()*12 - 3) // 0.05 mm to 8 m
		for _, l := range []Lengths{{}, {Inches: true}} {
			read := func(s string) float64 {
				number, unit, _ := strings.Cut(s, " ")
				x, err := strconv.ParseFloat(number, 64)
				if err != nil {
					t.Fatal(err)
				}
				if unit == "in" {
					x *= 25.4
				}
				return x
			}
			if up := read(l.Up(v)); up < v-2e-6 || up > v+0.2541 {
				t.Errorf("%v: %g mm up is %g", l, v, up)
			}
			if down := read(l.Down(v)); down > v+2e-6 || down < v-0.2541 {
				t.Errorf("%v: %g mm down is %g", l, v, down)
			}
			if limit := v + r.Float64()*0.01 + 0.003; read(l.Under(v, limit)) >= limit {
				t.Errorf("%v: %g under %g is written %s", l, v, limit, l.Under(v, limit))
			}
		}
	}
}

func TestUnitsInSentences(t *testing.T) {
	for unit, want := range map[Unit]string{
		UnitInch: "inches", UnitFoot: "feet", UnitYard: "yards", UnitMillimetre: "mm", UnitMetre: "m",
		UnitSurveyFoot: "survey feet", UnitSurveyInch: "survey inches", UnitNone: "none",
	} {
		if got := unit.Plural(); got != want {
			t.Errorf("%v: %q, want %q", unit, got, want)
		}
	}
}
