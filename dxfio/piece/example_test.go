package piece_test

import (
	"bytes"
	"context"
	"fmt"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
)

// box is a closed rectangle on a layer.
func box(layer string, x, y, length, width float64) dxfio.Polyline {
	return dxfio.Polyline{Layer: layer, Closed: true, Curves: geom.Polygon(geom.Point{X: x, Y: y}, geom.Point{X: x + length, Y: y},
		geom.Point{X: x + length, Y: y + width}, geom.Point{X: x, Y: y + width})}
}

// drawing writes a sheet of lines and reads it back, as if it came from a device.
func drawing(lines ...dxfio.Polyline) (*dxfio.Drawing, error) {
	sheet := &dxfio.Sheet{Unit: dxfio.UnitMillimetre, Polylines: lines}
	listed := map[string]bool{}
	for _, p := range lines {
		if !listed[p.Layer] {
			listed[p.Layer] = true
			sheet.Layers = append(sheet.Layers, dxfio.SheetLayer{Name: p.Layer, Color: 7})
		}
	}
	var file bytes.Buffer
	if err := dxfio.Write(&file, sheet); err != nil {
		return nil, err
	}
	return dxfio.Read(&file, dxfio.Options{File: "site.dxf"})
}

// From a drawing to its pieces: a counter with a sink and a tap hole, its front
// marked to be polished, and a splash below it. What a layer means follows from
// its name; the patterns are settings.
//
// By hand: the counter is 2400*640 = 1 536 000 mm2 gross, less the sink of
// 760*430 and the hole of pi*17.5*17.5: 1 208 237.89 mm2 of stone.
func ExampleBuild() {
	read, err := drawing(
		box("COUNTER", 5000, 3000, 2400, 640),
		box("SINK", 5800, 3105, 760, 430),
		dxfio.Polyline{Layer: "TAP HOLE", Curves: geom.Circle(geom.Point{X: 6180, Y: 3580}, 17.5), Closed: true},
		dxfio.Polyline{Layer: "FINISHED", Curves: []geom.Curve{geom.Line(geom.Point{X: 5000, Y: 3000}, geom.Point{X: 7400, Y: 3000})}},
		box("SPLASH", 5000, 2800, 2400, 100),
	)
	if err != nil {
		fmt.Println(err)
		return
	}
	local, shift := read.Millimetres(read.Units)
	template, err := piece.Build(context.Background(), local, piece.Default(), trace.Default())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("drawn at %.0f, %.0f\n", shift.X, shift.Y)
	for _, p := range template.Pieces {
		fmt.Printf("%s, a %s: %.2f of %.0f mm2\n", p.ID, p.Kind, p.NetArea(), p.Outline.Area())
		for _, e := range p.Edges {
			fmt.Printf("  edge %d: %s, %.0f mm, %s\n", e.N, e.Kind, e.Length(), e.Finish)
		}
		for _, c := range p.Cutouts {
			fmt.Printf("  %s: %s, inside radius %.1f mm\n", c.ID, c.Kind, c.MinRadius())
		}
	}
	// Output:
	// drawn at 5000, 2800
	// A, a counter: 1208237.89 of 1536000 mm2
	//   edge 1: line, 2400 mm, finished
	//   edge 2: line, 640 mm, unmarked
	//   edge 3: line, 2400 mm, unmarked
	//   edge 4: line, 640 mm, unmarked
	//   A-1: sink, inside radius 0.0 mm
	//   A-2: hole, inside radius 17.5 mm
	// B, a splash: 240000.00 of 240000 mm2
	//   edge 1: line, 2400 mm, unmarked
	//   edge 2: line, 100 mm, unmarked
	//   edge 3: line, 2400 mm, unmarked
	//   edge 4: line, 100 mm, unmarked
}

// Which role a layer has, and by which pattern: what `trueup layers` shows.
func ExampleRoles_Of() {
	roles := piece.Default().Roles
	for _, layer := range []string{"KITCHEN SINK", "Sink_Cabinet", "SPLASH OUTLINE", "Layer 7"} {
		role, pattern := roles.Of(layer)
		fmt.Printf("%-15s %q by %q\n", layer, role, pattern)
	}
	roles.Outline = append(roles.Outline, "layer 7") // as a shop adds it under pieces.roles
	role, _ := roles.Of("Layer 7")
	fmt.Printf("%-15s %q\n", "Layer 7", role)
	// Output:
	// KITCHEN SINK    "cutout" by "sink"
	// Sink_Cabinet    "support" by "sink cabinet"
	// SPLASH OUTLINE  "splash" by "splash"
	// Layer 7         "" by ""
	// Layer 7         "outline"
}
