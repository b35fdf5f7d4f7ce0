package rules

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/rules/shop"
)

// randomSpannedTop draws a top over a gap between two supports: cabinets, or a
// cabinet and a leg or a side panel, with a lip in front, an end that hangs over, an
// opening and a seam now and then.
func randomSpannedTop(rng *rand.Rand) *dxfio.Drawing {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	s := newSheet()
	depth, lip := between(600, 660), between(5, 60)
	left := between(600, 900)
	right := left + between(450, 1300)
	long := right + between(500, 900)
	s.add("COUNTER", box(0, 0, long, depth)...)
	s.add("CABINET", box(between(0, 200), lip, left, depth)...)
	switch rng.IntN(4) {
	case 0:
		s.add("LEG", box(right, lip, right+60, lip+60)...)
		s.add("CABINET", box(right, lip+between(100, 200), long, depth)...)
	case 1:
		s.add("PANEL SUPPORT", box(right, lip, right+20, depth)...)
		s.add("CABINET", box(right+between(100, 250), lip, long, depth)...)
	default:
		s.add("CABINET", box(right, lip, long, depth)...)
	}
	if rng.IntN(3) == 0 {
		s.add("OPENING", box(left*0.3, lip, left*0.3+between(200, 300), depth)...)
	}
	if rng.IntN(3) == 0 {
		s.add("SEAM", geom.Line(xy(left*0.8, 0), xy(left*0.8, depth)))
	}
	return &s.Drawing
}

// TestSpansFromEverySide draws tops over gaps again, of which a line between supports
// and the gap behind it are equally bad.
func TestSpansFromEverySide(t *testing.T) {
	const scenes, ways = 60, 6
	told := 0
	for i := range scenes {
		rng := rand.New(rand.NewPCG(20260415, uint64(i)))
		d := randomSpannedTop(rng)
		first := see(t, d)
		if slices.ContainsFunc(first.flags, func(f Flag) bool { return f.Rule == "bending-stress" }) {
			told++
		}
		for _, v := range variants(rng, ways-2) {
			for _, difference := range compare(v, first, see(t, v.draw(d))) {
				t.Errorf("scene %d, %s: %s", i, v.name, difference)
			}
		}
	}
	if told < scenes/10 {
		t.Errorf("only %d of %d tops are stressed too far: the scenes test too little", told, scenes)
	}
}

// TestStressOfALipBeforeAnOpening holds one stress, that of the gap, for a gap with a lip
// before it: 1094 mm from cabinet to cabinet is as bad as the line along their fronts.
// The beam by AISC Steel Construction Manual, Table 3-23, cases 1 and 7.
func TestStressOfALipBeforeAnOpening(t *testing.T) {
	s := newSheet()
	s.add("COUNTER", box(0, 0, 3010, 655)...)
	s.add("CABINET", box(0, 31, 811, 655)...)
	s.add("CABINET", box(1905, 31, 3010, 655)...)
	rng := rand.New(rand.NewPCG(5, 6))
	var stresses []float64
	for _, v := range append(variants(rng, 12), variant{name: "as drawn", unit: dxfio.UnitMillimetre}) {
		for _, f := range see(t, v.draw(&s.Drawing)).flags {
			if f.Rule == "bending-stress" {
				stresses = append(stresses, f.Measured)
			}
		}
	}
	if len(stresses) != 15 {
		t.Fatalf("%d of 15 drawings tell the stress", len(stresses))
	}
	settings, m := Default(), shop.Default()
	granite, _ := m.Material("granite")
	const length, thick = 1905 - 811.0, 30.0
	wide := math.Min(655, settings.Support.Strip)
	weight := wide * thick * granite.Density * 1e-9 * 9.80665 // N/mm
	want := (weight*length*length/8 + settings.Support.PointLoad*length/4) / (wide * thick * thick / 6)
	for _, got := range stresses {
		if math.Abs(got-want) > 0.01 {
			t.Errorf("%.3f MPa, want %.3f", got, want)
		}
	}
}
