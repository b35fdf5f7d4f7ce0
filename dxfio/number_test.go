package dxfio

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

func TestParseFloat(t *testing.T) {
	for _, tc := range []struct {
		in   string
		want float64
		ok   bool
	}{
		{"0", 0, true}, {"-0", math.Copysign(0, -1), true}, {" 12.5 ", 12.5, true}, {"\t-.5", -0.5, true}, {"+7.", 7, true}, {"1e3", 1000, true}, {"-2.5E-2", -0.025, true},
		{"0.1", 0.1, true}, {"123456789012345678901234567890", 123456789012345678901234567890, true}, {"0.000000000000000000000000001", 1e-27, true},
		{"9007199254740993", 9007199254740992, true}, // halfway, to even
		{"9007199254740995", 9007199254740996, true},
		{"1e999", math.Inf(1), true}, {"nan", math.NaN(), true}, {"-inf", math.Inf(-1), true},
		{"", 0, false}, {".", 0, false}, {"-", 0, false}, {"12,5", 0, false}, {"1 2", 0, false}, {"0x10", 0, false}, {"1_0", 0, false}, {"abc", 0, false}, {"1e", 0, false}, {"--1", 0, false},
	} {
		got, ok := parseFloat([]byte(tc.in))
		same := got == tc.want && math.Signbit(got) == math.Signbit(tc.want) || math.IsNaN(got) && math.IsNaN(tc.want)
		if ok != tc.ok || ok && !same {
			t.Errorf("%q: %v %v, want %v %v", tc.in, got, ok, tc.want, tc.ok)
		}
	}
}

// The exact path against strconv, digit by digit.
func TestParseFloatAgainstStrconv(t *testing.T) {
	const seed = 1
	rng := rand.New(rand.NewPCG(seed, seed))
	for range 150_000 {
		digits := 1 + rng.IntN(19)
		s := make([]byte, 0, 24)
		if rng.IntN(2) == 0 {
			s = append(s, '-')
		}
		point := rng.IntN(digits + 1)
		for i := range digits {
			if i == point {
				s = append(s, '.')
			}
			s = append(s, byte('0'+rng.IntN(10)))
		}
		got, ok := parseFloat(s)
		want, err := strconv.ParseFloat(string(s), 64)
		if !ok || err != nil || math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("seed %d: %s: %v, want %v", seed, s, got, want)
		}
	}
	// Numbers as programs print them, and their neighbours.
	for range 15_000 {
		f := math.Float64frombits(rng.Uint64()&^(0x7ff<<52) | uint64(1023+rng.IntN(40)-10)<<52)
		for _, format := range []string{"%v", "%.16g", "%.17g", "%.6f", "%.16f", "%e"} {
			s := fmt.Sprintf(format, f)
			got, ok := parseFloat([]byte(s))
			want, _ := strconv.ParseFloat(s, 64)
			if !ok || got != want {
				t.Fatalf("seed %d: %s: %v, want %v", seed, s, got, want)
			}
		}
	}
}

func TestParseInt(t *testing.T) {
	for _, tc := range []struct {
		in   string
		want int64
		ok   bool
	}{
		{"     1", 1, true}, {"-7", -7, true}, {"+3", 3, true}, {"128 ", 128, true}, {"4.0", 4, true}, {"999999999999999999", 999999999999999999, true},
		{"", 0, false}, {"4.5", 0, false}, {"x", 0, false}, {"-", 0, false}, {strings.Repeat("9", 40), 0, false}, {"nan", 0, false},
	} {
		if got, ok := parseInt([]byte(tc.in)); ok != tc.ok || ok && got != tc.want {
			t.Errorf("%q: %d %v, want %d %v", tc.in, got, ok, tc.want, tc.ok)
		}
	}
}

func TestParseHandle(t *testing.T) {
	for in, want := range map[string]uint64{"2AF": 0x2AF, " ff": 0xff, "": 0, "xyz": 0, "FFFFFFFFFFFFFFFF": math.MaxUint64, "10000000000000000": 0} {
		if got := parseHandle([]byte(in)); got != want {
			t.Errorf("%q: %x, want %x", in, got, want)
		}
	}
}
