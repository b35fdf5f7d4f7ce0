package dxfio

import (
	"errors"
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

// pairs turns "0 LINE 8 TOP 10 5" into DXF pairs, a line each. A ~ in a value
// stands for a blank.
func pairs(s string) string {
	var b strings.Builder
	for _, word := range strings.Fields(s) {
		b.WriteString(strings.ReplaceAll(word, "~", " ") + "\n")
	}
	return b.String()
}

// section returns a section of a drawing.
func section(name, content string) string {
	return pairs("0 SECTION 2 "+name) + pairs(content) + pairs("0 ENDSEC")
}

const millimetreHeader = "9 $ACADVER 1 AC1015 9 $INSUNITS 70 4"

// entities returns a drawing in millimetres with the given entities.
func entities(content string) string {
	return section("HEADER", millimetreHeader) + section("ENTITIES", content) + pairs("0 EOF")
}

// withBlocks returns a drawing in millimetres with blocks and entities.
func withBlocks(blocks, content string) string {
	return section("HEADER", millimetreHeader) + section("BLOCKS", blocks) + section("ENTITIES", content) + pairs("0 EOF")
}

func mustRead(t *testing.T, text string) *Drawing {
	t.Helper()
	d, err := Read(strings.NewReader(text), Options{File: "t.dxf", AreaLayer: func(l string) bool { return strings.HasPrefix(l, "TOP") }})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// readError returns the error of a drawing that must not read.
func readError(t *testing.T, text string, o Options) *Error {
	t.Helper()
	o.File = "t.dxf"
	_, err := Read(strings.NewReader(text), o)
	var e *Error
	if !errors.As(err, &e) {
		t.Fatalf("got %v, want an *Error", err)
	}
	if e.File != "t.dxf" || e.Found == "" || e.Do == "" {
		t.Errorf("error without file, found or what to do: %+v", e)
	}
	return e
}

func length(d *Drawing) float64 {
	sum := 0.0
	for _, c := range d.Curves {
		sum += c.Length()
	}
	return sum
}

func near(a, b geom.Point, tolerance float64) bool { return a.Distance(b) <= tolerance }

// wantCurves compares ends and bulges.
func wantCurves(t *testing.T, d *Drawing, want ...geom.Curve) {
	t.Helper()
	if len(d.Curves) != len(want) {
		t.Fatalf("%d curves, want %d: %v", len(d.Curves), len(want), d.Curves)
	}
	for i, w := range want {
		c := d.Curves[i]
		if !near(c.A, w.A, 1e-9) || !near(c.B, w.B, 1e-9) || math.Abs(c.Bulge-w.Bulge) > 1e-9 {
			t.Errorf("curve %d: %v, want %v", i, c.Curve, w)
		}
	}
}

func wantUnread(t *testing.T, d *Drawing, want ...Unread) {
	t.Helper()
	if len(d.Unread) != len(want) {
		t.Fatalf("unread %v, want %v", d.Unread, want)
	}
	for i := range want {
		if d.Unread[i] != want[i] {
			t.Errorf("unread %d: %+v, want %+v", i, d.Unread[i], want[i])
		}
	}
}

func curve(ax, ay, bx, by, bulge float64) geom.Curve {
	return geom.Curve{A: geom.Point{X: ax, Y: ay}, B: geom.Point{X: bx, Y: by}, Bulge: bulge}
}

// quarterBulge is tan(90 deg / 4).
var quarterBulge = math.Sqrt2 - 1

func TestCurves(t *testing.T) {
	for _, tc := range []struct {
		name, content string
		want          []geom.Curve
		source        string
	}{
		{"line", "0 LINE 8 TOP 10 1 20 2 11 3 21 4", []geom.Curve{curve(1, 2, 3, 4, 0)}, "DXF Reference, LINE"},
		{"line in space of old drawings", "0 3DLINE 8 TOP 10 1 20 2 30 7 11 3 21 4 31 7", []geom.Curve{curve(1, 2, 3, 4, 0)}, "drawings of R10"},
		{"arc, counter-clockwise from start to end", "0 ARC 8 TOP 10 5 20 0 40 10 50 0 51 90",
			[]geom.Curve{curve(15, 0, 5, 10, quarterBulge)}, "DXF Reference, ARC"},
		{"arc over the x axis", "0 ARC 8 TOP 10 0 20 0 40 10 50 270 51 0", []geom.Curve{curve(0, -10, 10, 0, quarterBulge)}, "same"},
		{"arc of more than a half turn in two", "0 ARC 8 TOP 10 0 20 0 40 10 50 0 51 270",
			[]geom.Curve{
				{A: geom.Point{X: 10}, B: geom.Point{X: -10 / math.Sqrt2, Y: 10 / math.Sqrt2}, Bulge: math.Tan(135 * math.Pi / 720)},
				{A: geom.Point{X: -10 / math.Sqrt2, Y: 10 / math.Sqrt2}, B: geom.Point{Y: -10}, Bulge: math.Tan(135 * math.Pi / 720)},
			}, "same"},
		{"full arc", "0 ARC 8 TOP 10 0 20 0 40 10 50 90 51 450",
			[]geom.Curve{curve(0, 10, 0, -10, 1), curve(0, -10, 0, 10, 1)}, "0 and 360 degrees are one direction"},
		{"circle", "0 CIRCLE 8 TOP 10 1 20 2 40 3", []geom.Curve{curve(4, 2, -2, 2, 1), curve(-2, 2, 4, 2, 1)}, "DXF Reference, CIRCLE"},
		{"polyline", "0 LWPOLYLINE 8 TOP 90 3 70 0 10 0 20 0 42 0.5 10 100 20 0 42 -1 10 100 20 50",
			[]geom.Curve{curve(0, 0, 100, 0, 0.5), curve(100, 0, 100, 50, -1)}, "DXF Reference, LWPOLYLINE"},
		{"closed polyline", "0 LWPOLYLINE 8 TOP 70 1 10 0 20 0 10 9 20 0 10 0 20 9 42 1",
			[]geom.Curve{curve(0, 0, 9, 0, 0), curve(9, 0, 0, 9, 0), curve(0, 9, 0, 0, 1)}, "same; flag 1"},
		{"first vertex repeated", "0 LWPOLYLINE 8 TOP 70 129 10 0 20 0 10 9 20 0 10 0 20 9 10 0 20 0 42 1",
			[]geom.Curve{curve(0, 0, 9, 0, 0), curve(9, 0, 0, 9, 0), curve(0, 9, 0, 0, 0)}, "a bulge between coincident vertices has no arc"},
		{"bulge past a half turn", "0 LWPOLYLINE 8 TOP 10 0 20 0 42 2.414213562373095 10 10 20 0",
			[]geom.Curve{curve(0, 0, 5, -5*2.414213562373095, math.Tan(135*math.Pi/720)), curve(5, -5*2.414213562373095, 10, 0, math.Tan(135*math.Pi/720))},
			"tan(270/4) = 2.414214; sagitta = bulge*chord/2, to the right"},
		{"count that lies", "0 LWPOLYLINE 8 TOP 90 2000000000 10 0 20 0 10 9 20 0", []geom.Curve{curve(0, 0, 9, 0, 0)}, "the vertices are those that are there"},
		{"old polyline", "0 POLYLINE 8 TOP 66 1 70 1 0 VERTEX 8 TOP 10 0 20 0 42 1 0 VERTEX 10 5 20 0 0 SEQEND",
			[]geom.Curve{curve(0, 0, 5, 0, 1), curve(5, 0, 0, 0, 0)}, "DXF Reference, POLYLINE and VERTEX"},
		{"old polyline without SEQEND", "0 POLYLINE 8 TOP 0 VERTEX 10 0 20 0 0 VERTEX 10 5 20 0 0 LINE 8 TOP 10 0 20 0 11 1 21 0",
			[]geom.Curve{curve(0, 0, 5, 0, 0), curve(0, 0, 1, 0, 0)}, "the next entity ends the list"},
		{"spline-fit polyline without its frame", "0 POLYLINE 8 TOP 70 4 0 VERTEX 10 9 20 9 70 16 0 VERTEX 10 0 20 0 70 8 0 VERTEX 10 1 20 1 70 8 0 SEQEND",
			[]geom.Curve{curve(0, 0, 1, 1, 0)}, "VERTEX 70: 16 is a frame control point, not on the curve"},
		{"curve-fit polyline with its extra vertices", "0 POLYLINE 8 TOP 70 2 0 VERTEX 10 0 20 0 42 0.2 0 VERTEX 10 1 20 1 70 1 42 0.3 0 VERTEX 10 2 20 0 0 SEQEND",
			[]geom.Curve{curve(0, 0, 1, 1, 0.2), curve(1, 1, 2, 0, 0.3)}, "VERTEX 70: 1 is an extra vertex on the curve"},
		{"ellipse that is a circle", "0 ELLIPSE 8 TOP 10 0 20 0 11 0 21 5 40 1",
			[]geom.Curve{curve(0, 5, 0, -5, 1), curve(0, -5, 0, 5, 1)}, "DXF Reference, ELLIPSE"},
		{"solid, third and fourth corner crosswise", "0 SOLID 8 TOP 10 0 20 0 11 9 21 0 12 0 22 5 13 9 23 5",
			[]geom.Curve{curve(0, 0, 9, 0, 0), curve(9, 0, 9, 5, 0), curve(9, 5, 0, 5, 0), curve(0, 5, 0, 0, 0)}, "DXF Reference, SOLID"},
		{"solid of three corners", "0 TRACE 8 TOP 10 0 20 0 11 9 21 0 12 0 22 5",
			[]geom.Curve{curve(0, 0, 9, 0, 0), curve(9, 0, 0, 5, 0), curve(0, 5, 0, 0, 0)}, "same"},
		{"face with a hidden edge", "0 3DFACE 8 TOP 10 0 20 0 11 9 21 0 12 9 22 5 13 0 23 5 70 2",
			[]geom.Curve{curve(0, 0, 9, 0, 0), curve(9, 5, 0, 5, 0), curve(0, 5, 0, 0, 0)}, "3DFACE 70: 2 hides the second edge"},
		{"hatch of a polyline", "0 HATCH 8 TOP 10 0 20 0 30 0 2 SOLID 70 1 91 1 92 3 72 1 73 1 93 2 10 0 20 0 42 1 10 9 20 0 42 0 97 0 75 0 98 1 10 3 20 3",
			[]geom.Curve{curve(0, 0, 9, 0, 1), curve(9, 0, 0, 0, 0)}, "DXF Reference, HATCH; the seed point is no vertex"},
		{"hatch of edges", "0 HATCH 8 TOP 10 0 20 0 30 0 91 1 92 1 93 3 72 1 10 0 20 0 11 9 21 0 72 2 10 9 20 5 40 5 50 270 51 0 73 1 72 2 10 0 20 0 40 5 50 270 51 360 73 0 97 0 75 0",
			[]geom.Curve{curve(0, 0, 9, 0, 0), curve(9, 0, 14, 5, quarterBulge), curve(5, 0, 0, 5, quarterBulge)},
			"clockwise edges mirror their angles: 270 to 360 is 0 to 90"},
		{"group codes of applications", "0 LINE 8 TOP 102 {ACAD 10 77 102 } 10 0 20 0 11 5 21 0 1001 APP 1010 9 1020 9 1030 9", []geom.Curve{curve(0, 0, 5, 0, 0)},
			"DXF Reference, group 102 and extended data"},
		{"linear spline", "0 SPLINE 8 TOP 70 0 71 1 40 0 40 0 40 1 40 2 40 2 10 0 20 0 10 5 20 0 10 5 20 5", []geom.Curve{curve(0, 0, 5, 0, 0), curve(5, 0, 5, 5, 0)},
			"a spline of degree 1 is its control polygon"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := mustRead(t, entities(tc.content))
			wantCurves(t, d, tc.want...)
			wantUnread(t, d)
			for _, c := range d.Curves {
				if d.Layers[c.Layer].Name != "TOP" || c.Line == 0 {
					t.Errorf("curve without a source: %+v", c.Source)
				}
			}
		})
	}
}

// Arc by bulge, worked by hand: chord 100, bulge 0.5: radius 62.5, turn
// 106.2602 degrees, length 115.9119 (r = c (1 + b^2) / (4 b); DXF Reference,
// group 42).
func TestBulgeAgainstWorkedValues(t *testing.T) {
	d := mustRead(t, entities("0 LWPOLYLINE 8 TOP 10 0 20 0 42 0.5 10 100 20 0"))
	c := d.Curves[0]
	if math.Abs(c.Radius()-62.5) > 1e-9 || math.Abs(c.Length()-115.9119) > 5e-5 {
		t.Errorf("radius %v, length %v", c.Radius(), c.Length())
	}
	if got := d.Layers[0].Length; math.Abs(got-115.9119) > 5e-5 {
		t.Errorf("layer length %v", got)
	}
}

// What a drawing does not use is counted with the reason, never dropped.
func TestUnread(t *testing.T) {
	layers := section("TABLES", "0 TABLE 2 LAYER 70 2 0 LAYER 2 COLD 70 1 62 7 0 LAYER 2 DARK 70 0 62 -7 0 LAYER 2 EMPTY 70 0 62 7 0 ENDTAB")
	for _, tc := range []struct {
		name, content string
		want          Unread
	}{
		{"dimension", "0 DIMENSION 8 D 10 0", Unread{"DIMENSION", "D", WhyDimension, 1}},
		{"dimension of an angle", "0 DIMENSION 8 D 10 0 70 34", Unread{"DIMENSION", "D", "not geometry", 1}},
		{"broken dimension", "0 DIMENSION 8 D 13 abc 70 33", Unread{"DIMENSION", "D", "not geometry", 1}},
		{"dimension on a frozen layer", "0 DIMENSION 8 cold 13 0 14 5 70 33", Unread{"DIMENSION", "COLD", "layer frozen", 1}},
		{"unknown type", "0 FLOWERPOT 8 D 10 abc", Unread{"FLOWERPOT", "D", "unknown type", 1}},
		{"paper space by 67", "0 LINE 8 TOP 67 1 10 0 20 0 11 1 21 1", Unread{"LINE", "TOP", "paper space", 1}},
		{"layout by 410", "0 LINE 8 TOP 410 Layout1 10 0 20 0 11 1 21 1", Unread{"LINE", "TOP", "paper space", 1}},
		{"invisible", "0 LINE 8 TOP 60 1 10 0 20 0 11 1 21 1", Unread{"LINE", "TOP", "invisible", 1}},
		{"frozen layer, named without case", "0 LINE 8 cold 10 0 20 0 11 1 21 1", Unread{"LINE", "COLD", "layer frozen", 1}},
		{"layer switched off", "0 CIRCLE 8 DARK 10 0 20 0 40 1", Unread{"CIRCLE", "DARK", "layer switched off", 1}},
		{"zero length", "0 LINE 8 TOP 10 5 20 5 11 5 21 5", Unread{"LINE", "TOP", "zero length", 1}},
		{"polyline on one place", "0 LWPOLYLINE 8 TOP 70 1 10 5 20 5 42 1 10 5 20 5", Unread{"LWPOLYLINE", "TOP", "zero length", 1}},
		{"polyline without vertices", "0 LWPOLYLINE 8 TOP 90 4", Unread{"LWPOLYLINE", "TOP", "no vertices", 1}},
		{"negative radius", "0 CIRCLE 8 TOP 10 0 20 0 40 -3", Unread{"CIRCLE", "TOP", "radius is negative", 1}},
		{"arc without turn", "0 ARC 8 TOP 10 0 20 0 40 3 50 30 51 30", Unread{"ARC", "TOP", "zero length", 1}},
		{"mesh", "0 POLYLINE 8 TOP 70 64 0 VERTEX 10 0 20 0 70 128 0 SEQEND", Unread{"POLYLINE", "TOP", "mesh", 1}},
		{"block that is not there", "0 INSERT 8 TOP 2 SINK 10 0 20 0", Unread{"INSERT", "TOP", "block not defined", 1}},
		{"area on a layer without a cutting role", "0 SOLID 8 NOTES 10 0 20 0 11 9 21 0 12 0 22 5", Unread{"SOLID", "NOTES", "filled area on a layer without a cutting role", 1}},
		{"empty text", "0 TEXT 8 TOP 10 0 20 0 40 5", Unread{"TEXT", "TOP", "empty text", 1}},
		{"endless line", "0 XLINE 8 TOP 10 0 20 0", Unread{"XLINE", "TOP", "endless construction line", 1}},
		{"section plane, an entity named like a section", "0 SECTION 5 1F 8 TOP 10 0 20 0", Unread{"SECTION", "TOP", "not geometry", 1}},
		{"spline without knots", "0 SPLINE 8 TOP 71 3 10 0 20 0 10 1 20 1 10 2 20 0 10 3 20 0", Unread{"SPLINE", "TOP", "spline knots do not match its control points", 1}},
		{"spline with a weight of 0", "0 SPLINE 8 TOP 71 1 40 0 40 0 40 1 40 1 41 1 41 0 10 0 20 0 10 1 20 1", Unread{"SPLINE", "TOP", "spline weight is not positive", 1}},
		{"flat ellipse", "0 ELLIPSE 8 TOP 10 0 20 0 11 0 21 0 40 0.5", Unread{"ELLIPSE", "TOP", "ellipse without size", 1}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := mustRead(t, section("HEADER", millimetreHeader)+layers+section("ENTITIES", tc.content+" 0 LINE 8 TOP 10 0 20 0 11 7 21 0")+pairs("0 EOF"))
			wantUnread(t, d, tc.want)
			wantCurves(t, d, curve(0, 0, 7, 0, 0))
		})
	}
}

func TestLayers(t *testing.T) {
	d := mustRead(t, section("TABLES", "0 TABLE 2 LAYER 0 LAYER 2 Top~Edge 70 0 62 7 0 LAYER 2 EMPTY 70 0 62 3 0 LAYER 2 OFF 70 4 62 -1 0 ENDTAB")+
		section("ENTITIES", "0 LINE 8 TOP~EDGE 10 0 20 0 11 3 21 4 0 LINE 10 0 20 0 11 1 21 0 0 CIRCLE 8 top~edge 10 0 20 0 40 1 0 POINT 8 HOLES 10 1 20 2 0 LINE 8 OFF 10 0 20 0 11 1 21 0")+pairs("0 EOF"))
	var names []string
	for _, l := range d.Layers {
		names = append(names, l.Name)
	}
	if got := strings.Join(names, ","); got != "Top Edge,EMPTY,OFF,0,HOLES" {
		t.Fatalf("layers %s", got)
	}
	top := d.Layers[0]
	if top.Entities["LINE"] != 1 || top.Entities["CIRCLE"] != 1 || math.Abs(top.Length-(5+2*math.Pi)) > 1e-12 {
		t.Errorf("%+v", top)
	}
	if !d.Layers[2].Hidden || d.Layers[2].Length != 0 || d.Layers[1].Hidden {
		t.Errorf("%+v", d.Layers)
	}
	if len(d.Marks) != 1 || d.Marks[0].At != (geom.Point{X: 1, Y: 2}) || d.Marks[0].Type != EntityPoint {
		t.Errorf("marks %+v", d.Marks)
	}
}

// A layer table behind the entities still hides them.
func TestLayersHiddenLate(t *testing.T) {
	d := mustRead(t, section("ENTITIES", "0 CIRCLE 8 COLD 10 0 20 0 40 1 0 LINE 8 TOP 10 0 20 0 11 1 21 0 0 TEXT 8 COLD 1 A 40 3 10 0 20 0")+
		section("TABLES", "0 TABLE 2 LAYER 0 LAYER 2 COLD 70 1 0 ENDTAB")+pairs("0 EOF"))
	wantCurves(t, d, curve(0, 0, 1, 0, 0))
	wantUnread(t, d, Unread{"CIRCLE", "COLD", "layer frozen", 1}, Unread{"TEXT", "COLD", "layer frozen", 1})
	if len(d.Texts) != 0 {
		t.Errorf("texts %v", d.Texts)
	}
}

// Unit codes by the DXF Reference, header variable INSUNITS.
func TestUnits(t *testing.T) {
	for _, tc := range []struct {
		header string
		want   Unit
	}{
		{"9 $INSUNITS 70 1", UnitInch}, {"9 $INSUNITS 70 2", UnitFoot}, {"9 $INSUNITS 70 4", UnitMillimetre}, {"9 $INSUNITS 70 5", UnitCentimetre},
		{"9 $INSUNITS 70 6", UnitMetre}, {"9 $INSUNITS 70 21", UnitSurveyFoot}, {"9 $INSUNITS 70 0", UnitNone}, {"9 $INSUNITS 70 99", UnitNone},
		{"9 $INSUNITS 70 -4", UnitNone}, {"9 $MEASUREMENT 70 1", UnitNone}, {"9 $insunits 70 4", UnitMillimetre},
	} {
		d := mustRead(t, section("HEADER", tc.header)+section("ENTITIES", "")+pairs("0 EOF"))
		if d.Units != tc.want {
			t.Errorf("%s: %v, want %v", tc.header, d.Units, tc.want)
		}
	}
}

// Where a curve came from stays with it.
func TestSource(t *testing.T) {
	text := "999\nby hand\n" + entities("0 LINE 5 2AF 8 TOP 10 0 20 0 11 1 21 0 0 CIRCLE 5 2b0 8 TOP 10 0 20 0 40 1")
	d := mustRead(t, text)
	line, circle := d.Curves[0].Source, d.Curves[1].Source
	if line.Handle != 0x2AF || circle.Handle != 0x2B0 || circle.Entity != d.Curves[2].Entity || circle.Entity == line.Entity {
		t.Errorf("%+v %+v", line, circle)
	}
	lines := strings.Split(text, "\n")
	if lines[line.Line-1] != "0" || lines[line.Line] != "LINE" || lines[circle.Line] != "CIRCLE" {
		t.Errorf("lines %d and %d", line.Line, circle.Line)
	}
}
