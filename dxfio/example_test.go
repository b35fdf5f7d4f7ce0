package dxfio_test

import (
	"bytes"
	"fmt"
	"strings"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// pairs lays out a DXF: group codes and values in turn, each on its own line.
func pairs(text string) string { return strings.Join(strings.Fields(text), "\n") + "\n" }

// Read takes a drawing from anywhere. What it could use are curves and texts;
// everything else is counted, never dropped without a word.
//
// By hand: $INSUNITS 1 is the inch (DXF Reference), so that the line of 96 in is
// 2438.4 mm (25.4 mm an inch, NIST SP 811). A circle is two half circles,
// together pi*1.375 = 4.320 in long.
func ExampleRead() {
	drawing, err := dxfio.Read(strings.NewReader(pairs(`
		0 SECTION 2 HEADER
		9 $INSUNITS 70 1
		0 ENDSEC
		0 SECTION 2 ENTITIES
		0 LINE 8 COUNTER 10 100 20 50 11 196 21 50
		0 CIRCLE 8 TAP_HOLE 10 148 20 53 40 0.6875
		0 TEXT 8 COUNTER 10 104 20 54 40 1.5 1 ISLAND
		0 DIMENSION 8 NOTES 10 100 20 40
		0 ENDSEC 0 EOF`)), dxfio.Options{File: "island.dxf"})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("unit:", drawing.Units)
	for _, l := range drawing.Layers {
		fmt.Printf("layer %s: %.3f of curves\n", l.Name, l.Length)
	}
	for _, t := range drawing.Texts {
		fmt.Printf("text %q at %g, %g\n", t.Value, t.At.X, t.At.Y)
	}
	for _, u := range drawing.Unread {
		fmt.Printf("not used: %d %s on %s, %s\n", u.Count, u.Type, u.Layer, u.Why)
	}

	local, shift := drawing.Millimetres(drawing.Units)
	fmt.Printf("local: %.1f mm long, shifted by %.0f, %.0f mm\n", local.Curves[0].Length(), shift.X, shift.Y)
	// Output:
	// unit: in
	// layer COUNTER: 96.000 of curves
	// layer TAP_HOLE: 4.320 of curves
	// layer NOTES: 0.000 of curves
	// text "ISLAND" at 104, 54
	// not used: 1 DIMENSION on NOTES, not geometry: its text is compared with what it spans
	// local: 2438.4 mm long, shifted by 2540, 1270 mm
}

// A file that is no drawing, or half of one, ends in an error that names the
// file, the place, what was found and what to do.
func ExampleRead_broken() {
	_, err := dxfio.Read(strings.NewReader(pairs("0 SECTION 2 ENTITIES 0 LINE 8 COUNTER 10 0 20 zero")),
		dxfio.Options{File: "kitchen.dxf"})
	fmt.Println(err)
	// Output:
	// kitchen.dxf, line 12: group 20 holds "zero", which is not a number; export the drawing again
}

// Write writes closed outlines and texts, and what Read gives back is the same.
//
// By hand: a round table of 1200 mm is pi*1200 = 3769.91 mm around; a circle is
// two arcs of bulge 1.
func ExampleWrite() {
	var file bytes.Buffer
	err := dxfio.Write(&file, &dxfio.Sheet{
		Unit:      dxfio.UnitMillimetre,
		Layers:    []dxfio.SheetLayer{{Name: "OUTLINE", Color: 7}},
		Polylines: []dxfio.Polyline{{Layer: "OUTLINE", Curves: geom.Circle(geom.Point{X: 600, Y: 600}, 600), Closed: true}},
		Texts:     []dxfio.Label{{Layer: "OUTLINE", Value: "Café table", At: geom.Point{X: 500, Y: 600}, Height: 40}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	back, err := dxfio.Read(&file, dxfio.Options{File: "table.dxf"})
	if err != nil {
		fmt.Println(err)
		return
	}
	around := 0.0
	for _, c := range back.Curves {
		fmt.Printf("from %.0f, %.0f to %.0f, %.0f with bulge %g\n", c.A.X, c.A.Y, c.B.X, c.B.Y, c.Bulge)
		around += c.Length()
	}
	fmt.Printf("%.2f %s around, named %s\n", around, back.Units, back.Texts[0].Value)
	// Output:
	// from 1200, 600 to 0, 600 with bulge 1
	// from 0, 600 to 1200, 600 with bulge 1
	// 3769.91 mm around, named Café table
}
