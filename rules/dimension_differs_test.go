package rules

import (
	"math"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// What a dimension says against what it spans; the ways it can be drawn are checked
// from the file on (pipeline, TestDimensionDiffers).
func TestDimensionDiffers(t *testing.T) {
	for _, c := range []struct {
		name   string
		kind   dxfio.DimensionKind
		to     geom.Point // from 0,0
		text   string
		shown  float64
		want   float64 // difference in mm, 0 for none
		unit   dxfio.Unit
		source string
	}{
		{"radius", dxfio.RadiusDimension, geom.Point{X: 30, Y: 40}, "R50", 0, 0, dxfio.UnitMillimetre, "3-4-5"},
		{"another radius", dxfio.RadiusDimension, geom.Point{X: 30, Y: 40}, "R60", 0, 10, dxfio.UnitMillimetre, "3-4-5"},
		{"diameter", dxfio.DiameterDimension, geom.Point{X: 35}, "∅35", 0, 0, dxfio.UnitMillimetre, "as written"},
		{"another diameter", dxfio.DiameterDimension, geom.Point{X: 35}, "4x ∅38", 0, 3, dxfio.UnitMillimetre, "38 - 35"},
		{"arc's radius without a text", dxfio.RadiusDimension, geom.Point{X: 30, Y: 40}, "", 0, 0, dxfio.UnitMillimetre, "it shows what it spans"},
		{"decimal comma", dxfio.AlignedDimension, geom.Point{X: 876.3}, "876,3", 0, 0, dxfio.UnitMillimetre, "as written"},
		{"thousands", dxfio.AlignedDimension, geom.Point{X: 1500}, "1,500", 0, 0, dxfio.UnitMillimetre, "as written"},
		{"bare number, drawing in inches", dxfio.AlignedDimension, geom.Point{X: 876.3}, "34 1/2", 0, 0, dxfio.UnitInch, "34.5 x 25.4"},
		{"one inch more", dxfio.AlignedDimension, geom.Point{X: 876.3}, "35½", 0, 25.4, dxfio.UnitInch, "35.5 - 34.5"},
		{"bare millimetres in a drawing in inches", dxfio.AlignedDimension, geom.Point{X: 876.3}, "876", 0, 0, dxfio.UnitInch, "as written"},
		{"inches are meant where they are written", dxfio.AlignedDimension, geom.Point{X: 876.3}, `876"`, 0, 876*25.4 - 876.3, dxfio.UnitInch, "876 x 25.4"},
		{"tolerance", dxfio.AlignedDimension, geom.Point{X: 600}, "600 ±2", 0, 0, dxfio.UnitMillimetre, "as written"},
		{"word before it", dxfio.AlignedDimension, geom.Point{X: 600}, "TYP 620", 0, 20, dxfio.UnitMillimetre, "620 - 600"},
		{"number of a note", dxfio.AlignedDimension, geom.Point{X: 600}, "SINK 3 FRONT", 0, 0, dxfio.UnitMillimetre, "no length of 600 mm"},
		{"shown in inches by the export", dxfio.AlignedDimension, geom.Point{X: 2400}, "", 2400 / 25.4, 0, dxfio.UnitMillimetre, "94.488 in"},
		{"alone a hundred times what it spans", dxfio.AlignedDimension, geom.Point{X: 2400}, "", 240000, 237600, dxfio.UnitMillimetre, "240000 - 2400"},
		{"alone twice what it spans", dxfio.AlignedDimension, geom.Point{X: 2400}, "", 4800, 2400, dxfio.UnitMillimetre, "4800 - 2400"},
		{"scaled, and 20 mm off", dxfio.AlignedDimension, geom.Point{X: 2400}, "", 242000, 239600, dxfio.UnitMillimetre, "242000 - 2400"},
		{"shown in the drawing's unit", dxfio.AlignedDimension, geom.Point{X: 600}, "", 580, 20, dxfio.UnitMillimetre, "600 - 580"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := input(template(t, top))
			in.Template.Units.Drawing = c.unit
			in.Template.Units.Lengths.Inches = c.unit == dxfio.UnitInch
			in.Template.Dimensions = []piece.Dimension{{Dimension: dxfio.Dimension{Kind: c.kind, To: c.to, Text: c.text, Shown: c.shown}}}
			got, _ := check(t, dimensionDiffers(), in)
			if c.want == 0 && len(got) > 0 || c.want > 0 && (len(got) != 1 || math.Abs(got[0].Measured-c.want) > near || got[0].Severity != Stop) {
				t.Errorf("want %v (%s): %s", c.want, c.source, listed(got))
			}
			for _, f := range got {
				if math.Abs(f.Witness.Length()-f.Measured) > near {
					t.Errorf("the witness shows %v", f.Witness.Length())
				}
			}
		})
	}
}

// Some exports write the measured length as the style shows it, which three dimensions
// prove and one does not; a style that shows the half or the double proves nothing.
func TestDimensionsOfAStyle(t *testing.T) {
	dimension := func(span, shown, factor float64) piece.Dimension {
		return piece.Dimension{Dimension: dxfio.Dimension{Kind: dxfio.AlignedDimension, From: geom.Point{Y: span / 4}, To: geom.Point{X: span, Y: span / 4}, Shown: shown, Factor: factor}}
	}
	for _, c := range []struct {
		name       string
		dimensions []piece.Dimension
		want       []float64
	}{
		{"a hundred times, three of them", []piece.Dimension{dimension(2400, 240000, 1), dimension(640, 64000, 1), dimension(1200, 120000, 1)}, nil},
		{"a hundred times, one of three", []piece.Dimension{dimension(2400, 240000, 1), dimension(640, 640, 1), dimension(1200, 1200, 1)}, []float64{237600}},
		{"a factor of 100, three of them", []piece.Dimension{dimension(2400, 0, 100), dimension(640, 0, 100), dimension(1200, 0, 100)}, nil},
		{"a factor of inches", []piece.Dimension{dimension(2400, 2400, 1/25.4)}, nil},
		{"a factor of a half", []piece.Dimension{dimension(2400, 0, 0.5)}, []float64{1200}},
		{"twice, all of three", []piece.Dimension{dimension(2400, 0, 2), dimension(640, 640, 2), dimension(1200, 1200, 2)}, []float64{640, 1200, 2400}},
	} {
		in := input(template(t, top))
		in.Template.Units.Drawing = dxfio.UnitMillimetre
		in.Template.Dimensions = c.dimensions
		got, _ := check(t, dimensionDiffers(), in)
		if len(got) != len(c.want) {
			t.Errorf("%s: %s", c.name, listed(got))
			continue
		}
		for i := range got {
			if math.Abs(got[i].Measured-c.want[i]) > near || got[i].Severity != Stop {
				t.Errorf("%s: %s", c.name, listed(got))
			}
		}
	}
}

func TestWrittenLengths(t *testing.T) {
	find := newLengthPatterns()
	for _, c := range []struct {
		text string
		want []writtenLength
	}{
		{`34 1/2"`, []writtenLength{{34.5, dxfio.UnitInch, false}}},
		{`34-1/2`, []writtenLength{{34.5, dxfio.UnitNone, false}}},
		{`2'-10 1/2"`, []writtenLength{{34.5, dxfio.UnitInch, false}}},
		{`2' 10"`, []writtenLength{{34, dxfio.UnitInch, false}}},
		{`2 ft 10.5 in`, []writtenLength{{34.5, dxfio.UnitInch, false}}},
		{`2’-10½”`, []writtenLength{{34.5, dxfio.UnitInch, false}}},
		{`2'`, []writtenLength{{24, dxfio.UnitInch, false}}},
		{`3/4 in.`, []writtenLength{{0.75, dxfio.UnitInch, false}}},
		{`876.3mm`, []writtenLength{{876.3, dxfio.UnitMillimetre, false}}},
		{`1,5 m`, []writtenLength{{1.5, dxfio.UnitMetre, false}}},
		{`1.234,5`, []writtenLength{{1234.5, dxfio.UnitNone, false}}},
		{`2 400`, []writtenLength{{2400, dxfio.UnitNone, false}}},
		{"12\u202f345,5 mm", []writtenLength{{12345.5, dxfio.UnitMillimetre, false}}},
		{`34 1/2`, []writtenLength{{34.5, dxfio.UnitNone, false}}},
		{`1,500`, []writtenLength{{1.5, dxfio.UnitNone, false}, {1500, dxfio.UnitNone, false}}},
		{`0.875`, []writtenLength{{0.875, dxfio.UnitNone, false}}},
		{`R10`, []writtenLength{{10, dxfio.UnitNone, false}}},
		{`4X ∅35`, []writtenLength{{35, dxfio.UnitNone, false}}},
		{`600 x 400 mm`, []writtenLength{{600, dxfio.UnitNone, false}, {400, dxfio.UnitMillimetre, false}}},
		{`(600)`, []writtenLength{{600, dxfio.UnitNone, false}}},
		{`600 ± 2 mm`, []writtenLength{{600, dxfio.UnitNone, false}}},
		{`600 +2`, []writtenLength{{600, dxfio.UnitNone, false}, {2, dxfio.UnitNone, true}}},
		{`NOTE 3`, []writtenLength{{3, dxfio.UnitNone, true}}},
		{`A-1`, []writtenLength{{1, dxfio.UnitNone, true}}},
		{`width = 600`, []writtenLength{{600, dxfio.UnitNone, false}}},
		{`5 minutes`, []writtenLength{{5, dxfio.UnitNone, false}}},
		{`1/0`, []writtenLength{{0, dxfio.UnitNone, false}}},
		{``, nil},
	} {
		got := find.writtenLengths(c.text)
		same := len(got) == len(c.want)
		for i := 0; same && i < len(got); i++ {
			same = math.Abs(got[i].value-c.want[i].value) < 1e-12 && got[i].unit == c.want[i].unit && got[i].named == c.want[i].named
		}
		if !same {
			t.Errorf("%q: %v, want %v", c.text, got, c.want)
		}
	}
}

// Texts come from strangers.
func FuzzWrittenLengths(f *testing.F) {
	for _, s := range []string{`2'-10 1/2"`, "1.2,3.4", "9999999999999999999999", "½½½", "x", "4x", "∅", "\xff1/2'"} {
		f.Add(s)
	}
	find := newLengthPatterns()
	f.Fuzz(func(t *testing.T, s string) {
		for _, w := range find.writtenLengths(s) {
			if w.value < 0 || math.IsNaN(w.value) {
				t.Errorf("%q: %v", s, w)
			}
		}
	})
}
