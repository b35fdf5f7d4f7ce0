package dxfio

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

const sink = "0 BLOCK 8 0 2 SINK 70 0 10 10 20 0 0 LINE 8 0 10 10 20 0 11 12 21 0 0 ARC 8 OWN 10 10 20 0 40 2 50 0 51 90 0 ENDBLK "

// A point p of the block goes to insert + R (offset + S (p - base)) (DXF
// Reference, INSERT; array offsets turn but are not scaled: from memory, and as
// ezdxf does).
func TestInsert(t *testing.T) {
	for _, tc := range []struct {
		name, insert string
		want         []geom.Curve // of the line 0,0 2,0 and the arc about 0,0 from 2,0 to 0,2
	}{
		{"moved by the base point", "10 100 20 50", []geom.Curve{curve(100, 50, 102, 50, 0), curve(102, 50, 100, 52, quarterBulge)}},
		{"turned", "10 0 20 0 50 90", []geom.Curve{curve(0, 0, 0, 2, 0), curve(0, 2, -2, 0, quarterBulge)}},
		{"scaled", "10 0 20 0 41 3 42 3 43 3", []geom.Curve{curve(0, 0, 6, 0, 0), curve(6, 0, 0, 6, quarterBulge)}},
		{"mirrored: arcs turn the other way", "10 0 20 0 41 -1", []geom.Curve{curve(0, 0, -2, 0, 0), curve(-2, 0, 0, 2, -quarterBulge)}},
		{"mirrored twice", "10 0 20 0 41 -1 42 -1", []geom.Curve{curve(0, 0, -2, 0, 0), curve(-2, 0, 0, -2, quarterBulge)}},
		{"seen from below: normal 0,0,-1 mirrors x", "10 100 20 50 210 0 220 0 230 -1", []geom.Curve{curve(-100, 50, -102, 50, 0), curve(-102, 50, -100, 52, -quarterBulge)}},
		{"array, turned: offsets turn with it and are not scaled", "10 0 20 0 50 90 41 2 42 2 70 2 71 1 44 10 45 99",
			[]geom.Curve{curve(0, 0, 0, 4, 0), curve(0, 4, -4, 0, quarterBulge), curve(0, 10, 0, 14, 0), curve(0, 14, -4, 10, quarterBulge)}},
		{"rows", "10 0 20 0 71 2 45 5", []geom.Curve{curve(0, 0, 2, 0, 0), curve(2, 0, 0, 2, quarterBulge), curve(0, 5, 2, 5, 0), curve(2, 5, 0, 7, quarterBulge)}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := mustRead(t, withBlocks(sink, "0 INSERT 8 TOP 2 sink "+tc.insert))
			wantCurves(t, d, tc.want...)
			if got := d.Layers[d.Curves[0].Layer].Name + "," + d.Layers[d.Curves[1].Layer].Name; got != "TOP,OWN" {
				t.Errorf("layers %s: layer 0 is inherited, others are not", got)
			}
		})
	}
}

// A circle scaled 2 by 1 is an ellipse with half axes 200 and 100, whose
// perimeter is 968.8448 (numerical integration).
func TestInsertStretchesCircle(t *testing.T) {
	d := mustRead(t, withBlocks("0 BLOCK 2 BOWL 10 0 20 0 0 CIRCLE 8 0 10 0 20 0 40 100 0 LWPOLYLINE 8 0 70 1 10 -100 20 0 42 1 10 100 20 0 42 1 0 ENDBLK",
		"0 INSERT 8 TOP 2 BOWL 10 7 20 8 41 2 42 1 50 30"))
	if got := length(d); math.Abs(got-2*968.8448) > 0.02 {
		t.Errorf("length %v", got)
	}
	if len(d.Changes) != 2 || d.Changes[0].Kind != CurveToArcs || !(d.Changes[0].Size <= 0.01) {
		t.Errorf("changes %+v", d.Changes)
	}
	circle := d.Curves[0].Entity
	for i, c := range d.Curves {
		next := d.Curves[0]
		if i+1 < len(d.Curves) {
			next = d.Curves[i+1]
		}
		if c.Entity == circle && next.Entity != circle {
			next = d.Curves[0]
		}
		if c.Entity == circle && c.B != next.A {
			t.Errorf("curve %d ends at %v, the next starts at %v", i, c.B, next.A)
		}
	}
}

func TestNestedInsert(t *testing.T) {
	blocks := sink + "0 BLOCK 2 PAIR 10 1 20 1 0 INSERT 8 0 2 SINK 10 1 20 1 0 INSERT 8 LEFT 2 SINK 10 11 20 1 50 180 0 ENDBLK"
	d := mustRead(t, withBlocks(blocks, "0 INSERT 8 TOP 2 PAIR 10 100 20 0 50 90"))
	wantCurves(t, d, curve(100, 0, 100, 2, 0), curve(100, 2, 98, 0, quarterBulge), curve(100, 10, 100, 8, 0), curve(100, 8, 102, 10, quarterBulge))
	if got := d.Layers[d.Curves[0].Layer].Name + "," + d.Layers[d.Curves[2].Layer].Name; got != "TOP,LEFT" {
		t.Errorf("layers %s", got)
	}
}

// A frozen layer hides what is inserted on it altogether; one switched off
// hides only what lies on layer 0 of the block.
func TestInsertOnHiddenLayer(t *testing.T) {
	layers := section("TABLES", "0 TABLE 2 LAYER 0 LAYER 2 COLD 70 1 0 LAYER 2 DARK 70 0 62 -7 0 ENDTAB")
	read := func(layer string) *Drawing {
		return mustRead(t, layers+section("BLOCKS", sink)+section("ENTITIES", "0 INSERT 8 "+layer+" 2 SINK 10 0 20 0")+pairs("0 EOF"))
	}
	cold := read("COLD")
	wantCurves(t, cold)
	wantUnread(t, cold, Unread{"INSERT", "COLD", "layer frozen", 1})
	dark := read("DARK")
	wantCurves(t, dark, curve(2, 0, 0, 2, quarterBulge))
	wantUnread(t, dark, Unread{"LINE", "DARK", "layer switched off", 1})
}

func TestBlocksBehindEntities(t *testing.T) {
	d := mustRead(t, section("ENTITIES", "0 INSERT 8 TOP 2 SINK 10 0 20 0 0 INSERT 8 TOP 2 GONE 10 0 20 0")+section("BLOCKS", sink)+pairs("0 EOF"))
	wantCurves(t, d, curve(0, 0, 2, 0, 0), curve(2, 0, 0, 2, quarterBulge))
	wantUnread(t, d, Unread{"INSERT", "TOP", "block not defined", 1})
}

func TestLayoutBlocks(t *testing.T) {
	d := mustRead(t, withBlocks("0 BLOCK 2 *Model_Space 0 LINE 8 TOP 10 0 20 0 11 3 21 0 0 ENDBLK 0 BLOCK 2 *Paper_Space0 0 LINE 8 TOP 10 0 20 0 11 9 21 0 0 ENDBLK", ""))
	wantCurves(t, d, curve(0, 0, 3, 0, 0))
	wantUnread(t, d, Unread{"LINE", "TOP", "paper space", 1})
}

// Drawings before R13 store the lines that fill a hatch in a block named *X.
func TestHatchPatternBlock(t *testing.T) {
	d := mustRead(t, withBlocks("0 BLOCK 2 *X3 70 1 0 LINE 8 0 10 0 20 0 11 1 21 0 0 ENDBLK", "0 INSERT 8 TOP 2 *X3 10 0 20 0"))
	wantUnread(t, d, Unread{"INSERT", "TOP", "lines that fill a hatch", 1})
}

func TestExternalReference(t *testing.T) {
	d := mustRead(t, withBlocks("0 BLOCK 2 SITE 70 4 1 site.dwg 0 ENDBLK", "0 INSERT 8 TOP 2 SITE 10 0 20 0"))
	wantUnread(t, d, Unread{"INSERT", "TOP", "external reference: its drawing is another file", 1})
}

// Attributes stand in the drawing's own coordinates, not in the block's.
func TestAttributes(t *testing.T) {
	d := mustRead(t, withBlocks("0 BLOCK 2 TAG 10 0 20 0 0 ATTDEF 8 0 2 NAME 1 x 10 0 20 0 40 5 70 0 0 ATTDEF 8 0 2 SHOP 1 fixed 10 1 20 0 40 5 70 2 0 ENDBLK",
		"0 INSERT 8 TOP 2 TAG 66 1 10 100 20 0 0 ATTRIB 8 TOP 2 NAME 1 ISLAND 10 105 20 3 40 5 70 0 0 ATTRIB 8 TOP 1 secret 10 0 20 0 40 5 70 1 0 SEQEND"+
			" 0 INSERT 8 TOP 2 TAG 66 1 67 1 10 100 20 0 0 ATTRIB 8 TOP 1 SHEET 10 0 20 0 40 5 70 0 0 SEQEND"))
	if len(d.Texts) != 2 || d.Texts[0].Value != "fixed" || d.Texts[1].Value != "ISLAND" || d.Texts[1].At != (geom.Point{X: 105, Y: 3}) || d.Texts[1].Height != 5 {
		t.Errorf("%+v", d.Texts)
	}
	wantUnread(t, d, Unread{"ATTDEF", "TOP", "attribute definition", 1}, Unread{"ATTRIB", "TOP", "invisible", 1},
		Unread{"ATTRIB", "TOP", "paper space", 1}, Unread{"INSERT", "TOP", "paper space", 1})
}

// Arbitrary axis algorithm, worked from its definition (DXF Reference): the
// axes of four extrusion directions.
func TestObjectSystem(t *testing.T) {
	a, b := 1/math.Sqrt2, 1/math.Sqrt(6)
	for _, tc := range []struct{ n, x, y vec3 }{
		{vec3{0, 0, 1}, vec3{1, 0, 0}, vec3{0, 1, 0}},
		{vec3{0, 0, -1}, vec3{-1, 0, 0}, vec3{0, 1, 0}},
		{vec3{1, 0, 0}, vec3{0, 1, 0}, vec3{0, 0, 1}},
		{vec3{0, 1, 0}, vec3{-1, 0, 0}, vec3{0, 0, 1}},
		{vec3{1, 1, 1}, vec3{-a, a, 0}, vec3{-b, -b, 2 * b}},
		{vec3{0, 0, 0}, vec3{1, 0, 0}, vec3{0, 1, 0}}, // exporters that write no direction at all
		{vec3{1e12, 1e12, 1e12}, vec3{-a, a, 0}, vec3{-b, -b, 2 * b}},
	} {
		m := objectSystem(tc.n)
		if m.x.sub(tc.x).norm() > 1e-12 || m.y.sub(tc.y).norm() > 1e-12 {
			t.Errorf("%v: axes %v %v, want %v %v", tc.n, m.x, m.y, tc.x, tc.y)
		}
	}
	// On both sides of 1/64 the other world axis is taken.
	inside, outside := objectSystem(vec3{0.0156, 0, 1}), objectSystem(vec3{0.0157, 0, 1})
	if math.Abs(inside.x.x) < 0.9 || math.Abs(outside.x.y) < 0.9 {
		t.Errorf("axes %v and %v", inside.x, outside.x)
	}
}

// Entities off the drawing plane are seen from above, and say so.
func TestFlattened(t *testing.T) {
	for _, tc := range []struct {
		name, content string
		length, size  float64 // size 0: flat, no change
	}{
		{"line with a rise", "0 LINE 8 TOP 10 0 20 0 30 0 11 40 21 0 31 30", 40, 30},
		{"line at a height", "0 LINE 8 TOP 10 0 20 0 30 900 11 40 21 0 31 900", 40, 0},
		{"3D polyline", "0 POLYLINE 8 TOP 70 8 0 VERTEX 10 0 20 0 30 -3 0 VERTEX 10 40 20 0 30 4 0 SEQEND", 40, 7},
		{"polyline at a height", "0 LWPOLYLINE 8 TOP 38 900 10 0 20 0 10 40 20 0", 40, 0},
		{"upright polyline: normal along y", "0 LWPOLYLINE 8 TOP 210 0 220 1 230 0 10 0 20 0 10 40 20 0 10 40 20 30", 40, 30},
		{"circle tilted by 60 degrees: half axes 20 and 10", "0 CIRCLE 8 TOP 10 0 20 0 40 20 210 0 220 0.8660254037844386 230 0.5", 96.88448, 40 * math.Sqrt(3) / 2},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := mustRead(t, entities(tc.content))
			if got := length(d); math.Abs(got-tc.length) > 1e-4*tc.length {
				t.Errorf("length %v, want %v", got, tc.length)
			}
			size := 0.0
			for _, c := range d.Changes {
				if c.Kind == Flattened {
					size = c.Size
				}
			}
			if math.Abs(size-tc.size) > 1e-9 {
				t.Errorf("flattened by %v, want %v", size, tc.size)
			}
		})
	}
}

// What references show has a bound of its own, far under that of what is drawn.
func TestExpandedIsBound(t *testing.T) {
	content := withBlocks("0 BLOCK 2 A 0 TEXT 8 NOTES 10 0 20 0 40 1 1 WORD 0 ENDBLK", "0 INSERT 2 A 70 30000 71 30000 44 1 45 1")
	if e := readError(t, content, Options{}); !strings.Contains(e.Error(), "reading.expanded (now 250000)") || e.Line == 0 {
		t.Errorf("%v", e)
	}
	readError(t, content, Options{Limits: Limits{Expanded: 1000}})
}

func TestBlockFaults(t *testing.T) {
	deep := strings.Builder{}
	for i := range 40 {
		fmt.Fprintf(&deep, "0 BLOCK 2 B%d 0 INSERT 2 B%d 10 0 20 0 0 ENDBLK ", i, i+1)
	}
	for _, tc := range []struct{ name, blocks, content, want string }{
		{"block in itself", "0 BLOCK 2 A 0 INSERT 2 A 10 0 20 0 0 ENDBLK", "0 INSERT 2 A 10 0 20 0", "block A contains itself"},
		{"circle of three", "0 BLOCK 2 A 0 INSERT 2 B 0 ENDBLK 0 BLOCK 2 B 0 INSERT 2 C 0 ENDBLK 0 BLOCK 2 C 0 INSERT 2 A 0 ENDBLK", "0 INSERT 2 B 10 0 20 0", "block B contains itself"},
		{"nested too deep", deep.String(), "0 INSERT 2 B0 10 0 20 0", "reading.nesting_depth"},
		{"array of a thousand million", sink, "0 INSERT 2 SINK 70 32767 71 32767 44 1 45 1", "reading.curves"},
		{"array of nothing", "0 BLOCK 2 A 0 ENDBLK", "0 INSERT 2 A 70 2000000000 71 2000000000", "reading.curves"},
		{"thousand times a thousand times ...", "0 BLOCK 2 A 0 INSERT 2 B 70 1000 0 ENDBLK 0 BLOCK 2 B 0 INSERT 2 C 70 1000 0 ENDBLK 0 BLOCK 2 C 0 INSERT 2 D 70 1000 0 ENDBLK 0 BLOCK 2 D 0 LINE 11 1 0 ENDBLK",
			"0 INSERT 2 A 10 0 20 0", "reading.curves"},
		{"scaled out of range", sink, "0 INSERT 2 SINK 41 1e12", "reading.coordinate"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			e := readError(t, withBlocks(tc.blocks, tc.content), Options{Limits: Limits{Curves: 100_000}})
			if !strings.Contains(e.Error(), tc.want) || e.Line == 0 {
				t.Errorf("%v, want %q", e, tc.want)
			}
		})
	}
}
