package dxfio

import (
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

// Groups 13 and 14 are what a dimension spans, 10 and 15 the ends of a radius or
// diameter, 50 the direction of a rotated one, 42 the measured length, 1 the text
// (DXF Reference, DIMENSION).
func TestDimensions(t *testing.T) {
	const points = " 10 1 20 90 13 100 23 50 14 400 24 450 15 4 25 5"
	for _, tc := range []struct {
		name, content string
		want          Dimension // without Source
		length        float64
		source        string
	}{
		{"rotated, level", "0 DIMENSION 8 D 70 32 1 300" + points, Dimension{LinearDimension, geom.Point{X: 100, Y: 50}, geom.Point{X: 400, Y: 450}, geom.Point{X: 1}, "300", 0, 1, Source{}}, 300, "400 - 100"},
		{"rotated, upright", "0 DIMENSION 8 D 70 32 50 90 42 400" + points, Dimension{LinearDimension, geom.Point{X: 100, Y: 50}, geom.Point{X: 400, Y: 450}, geom.Point{Y: 1}, "", 400, 1, Source{}}, 400, "450 - 50"},
		{"aligned", "0 DIMENSION 8 D 70 161 1 <>~TYP" + points, Dimension{AlignedDimension, geom.Point{X: 100, Y: 50}, geom.Point{X: 400, Y: 450}, geom.Point{}, "<> TYP", 0, 1, Source{}}, 500, "3-4-5"},
		{"radius", "0 DIMENSION 8 D 70 4 1 R5 10 1 20 1 15 4 25 5", Dimension{RadiusDimension, geom.Point{X: 1, Y: 1}, geom.Point{X: 4, Y: 5}, geom.Point{}, "R5", 0, 1, Source{}}, 5, "3-4-5"},
		{"diameter", "0 DIMENSION 8 D 70 3 1 %%c5 10 1 20 1 15 4 25 5", Dimension{DiameterDimension, geom.Point{X: 1, Y: 1}, geom.Point{X: 4, Y: 5}, geom.Point{}, "∅5", 0, 1, Source{}}, 5, "3-4-5"},
		{"stacked fraction", `0 DIMENSION 8 D 70 33 1 34\S1/2;" 13 0 23 0 14 1 24 0`, Dimension{AlignedDimension, geom.Point{}, geom.Point{X: 1}, geom.Point{}, `34 1/2"`, 0, 1, Source{}}, 1, "as CAD shows it"},
		{"without points", "0 DIMENSION 8 D 70 33 1 34", Dimension{AlignedDimension, geom.Point{}, geom.Point{}, geom.Point{}, "34", 0, 1, Source{}}, 0, "nothing is spanned"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := mustRead(t, entities(tc.content))
			if len(d.Dimensions) != 1 {
				t.Fatalf("%d dimensions", len(d.Dimensions))
			}
			got := d.Dimensions[0]
			got.Source = Source{}
			got.Along = geom.Point{X: math.Round(got.Along.X*1e9) / 1e9, Y: math.Round(got.Along.Y*1e9) / 1e9}
			if got != tc.want || math.Abs(got.Length()-tc.length) > 1e-9 {
				t.Errorf("%+v of %v, want %+v of %v", got, got.Length(), tc.want, tc.length)
			}
			if len(d.Unread) != 1 || d.Unread[0].Count != 1 || len(d.Curves) > 0 {
				t.Errorf("unread %v, %d curves", d.Unread, len(d.Curves))
			}
		})
	}
}

// A block drawn in inches in a drawing in mm: points and measured length grow with it.
func TestDimensionInABlock(t *testing.T) {
	d := mustRead(t, withBlocks("0 BLOCK 2 TOP 10 0 20 0 0 DIMENSION 8 0 70 32 50 90 42 25 13 0 23 0 14 5 24 25 0 ENDBLK", "0 INSERT 2 TOP 8 D 10 100 20 0 41 25.4 42 25.4 43 25.4 50 90"))
	if len(d.Dimensions) != 1 {
		t.Fatal(d.Dimensions)
	}
	m := d.Dimensions[0]
	if math.Abs(m.Length()-635) > 1e-9 || math.Abs(m.Shown-635) > 1e-9 || m.To.Distance(geom.Point{X: 100 - 635, Y: 127}) > 1e-9 {
		t.Errorf("%+v of %v", m, m.Length())
	}
	mm, shift := d.Millimetres(UnitInch)
	if n := mm.Dimensions[0]; math.Abs(n.Length()-635*25.4) > 1e-6 || math.Abs(n.Shown-635*25.4) > 1e-6 || n.To.Add(shift).Distance(m.To.Mul(25.4)) > 1e-6 {
		t.Errorf("in mm %+v", n)
	}
}

// A layer that turns out to be hidden takes its dimensions along, and a note that is
// broken or far away ends no drawing.
func TestDimensionsNotTakenUp(t *testing.T) {
	for name, text := range map[string]string{
		"hidden behind": section("HEADER", millimetreHeader) + section("ENTITIES", "0 DIMENSION 8 COLD 70 33 13 0 14 5") +
			section("TABLES", "0 TABLE 2 LAYER 70 1 0 LAYER 2 COLD 70 1 62 7 0 ENDTAB") + pairs("0 EOF"),
		"not a number":    entities("0 DIMENSION 8 D 70 33 13 zero 14 5"),
		"without a type":  entities("0 DIMENSION 8 D 70 x 13 0 14 5"),
		"beyond measure":  entities("0 DIMENSION 8 D 70 33 13 0 14 1e300"),
		"in paper space":  entities("0 DIMENSION 8 D 67 1 70 33 13 0 14 5"),
		"of an ordinate":  entities("0 DIMENSION 8 D 70 70 13 0 14 5"),
		"in a huge block": withBlocks("0 BLOCK 2 B 10 0 20 0 0 DIMENSION 8 0 70 33 13 0 14 5e8 0 ENDBLK", "0 INSERT 2 B 8 D 10 0 20 0 41 1e8 42 1e8"),
	} {
		d, err := Read(strings.NewReader(text), Options{File: "t.dxf"})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(d.Dimensions) != 0 || len(d.Unread) != 1 || d.Unread[0].Type != "DIMENSION" {
			t.Errorf("%s: %v, unread %v", name, d.Dimensions, d.Unread)
		}
	}
}

// DIMLFAC of the style (144 in the table) or of the dimension alone (extended data of
// ACAD, DSTYLE) turns the measured length into the shown one; the dimension's own wins,
// a negative one holds in paper space only (DXF Reference, DIMSTYLE and DIMENSION).
func TestDimensionFactor(t *testing.T) {
	const own = " 1001 ACAD 1000 DSTYLE 1002 { 1070 140 1040 30 1070 144 1040 2 1002 }"
	for _, tc := range []struct {
		name, style, content string
		want                 float64
	}{
		{"none", "", "", 1},
		{"of the style", "2 HALF 144 0.5", " 3 half", 0.5},
		{"of another style", "2 HALF 144 0.5", " 3 STANDARD", 1},
		{"its own", "", own, 2},
		{"its own before the style's", "2 HALF 144 0.5", " 3 HALF" + own, 2},
		{"its own of 1 before the style's", "2 HALF 144 0.5", " 3 HALF 1001 ACAD 1000 DSTYLE 1002 { 1070 144 1040 1 1002 }", 1},
		{"in paper space", "2 HALF 144 -0.5", " 3 HALF", 1},
		{"no number", "2 HALF 144 half", " 3 HALF", 1},
		{"of somebody else's data", "", " 1001 OTHER 1070 144 1040 2", 1},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tables := ""
			if tc.style != "" {
				tables = section("TABLES", "0 TABLE 2 DIMSTYLE 70 1 0 DIMSTYLE "+tc.style+" 0 ENDTAB")
			}
			d := mustRead(t, section("HEADER", millimetreHeader)+tables+section("ENTITIES", "0 DIMENSION 8 D 70 33 13 0 14 5"+tc.content)+pairs("0 EOF"))
			if len(d.Dimensions) != 1 || d.Dimensions[0].Factor != tc.want {
				t.Errorf("%+v, want a factor of %v", d.Dimensions, tc.want)
			}
		})
	}
}
