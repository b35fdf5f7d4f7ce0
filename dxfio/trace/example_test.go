package trace_test

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// lines are the straight lines of a drawing, each with its number as ID.
func lines(ends ...[4]float64) []trace.Curve {
	var out []trace.Curve
	for i, e := range ends {
		c := geom.Line(geom.Point{X: e[0], Y: e[1]}, geom.Point{X: e[2], Y: e[3]})
		out = append(out, trace.Curve{Curve: c, ID: int32(i), Entity: -1})
	}
	return out
}

// Four loose lines, in no order and no direction, that miss two of their corners:
// the upper line stops 2 mm short of the left one, the right one runs 1.5 mm past
// the lower one. Both are put right, and both are told. One line was drawn twice.
//
// By hand: with its corners restored the top is 2400 x 640 = 1 536 000 mm2. A
// repair is placed in the middle between the two ends, or at the end cut off.
func ExampleClose() {
	result, err := trace.Close(nil, lines(
		[4]float64{2400, 640, 2, 640},
		[4]float64{0, 0, 0, 640},
		[4]float64{2400, -1.5, 2400, 640},
		[4]float64{2400, 0, 0, 0},
		[4]float64{0, 640, 0, 0},
	), trace.Default())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, face := range result.Faces {
		fmt.Printf("a face of %d sides, %.0f mm2\n", len(face.Outer), face.Outer.Geom().Area())
	}
	for _, r := range result.Repairs {
		fmt.Printf("%s at %g, %g: %.1f mm\n", r.Kind, r.At.X, r.At.Y, r.Size)
	}
	// Unordered output:
	// a face of 4 sides, 1536000 mm2
	// corner-restored at 1, 640: 2.0 mm
	// overshoot-trimmed at 2400, -1.5: 1.5 mm
	// duplicate-removed at 0, 320: 640.0 mm
}

// A gap wider than the shop lets pass is not closed: it is for the templater to
// say what belongs there. By hand: the gap is 2400 - 2393 = 7 mm.
func ExampleClose_open() {
	settings := trace.Default()
	settings.Bridge = 3 // mm
	result, err := trace.Close(nil, lines(
		[4]float64{0, 0, 2393, 0},
		[4]float64{2400, 0, 2400, 640},
		[4]float64{2400, 640, 0, 640},
		[4]float64{0, 640, 0, 0},
	), settings)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("faces:", len(result.Faces))
	for _, open := range result.Open {
		fmt.Printf("a chain of %d curves with a gap of %.1f mm\n", len(open.Curves), open.Gap)
	}
	// Output:
	// faces: 0
	// a chain of 4 curves with a gap of 7.0 mm
}

// An apron sink cut out of the front of a top: the cutout runs over the edge and
// leaves a notch. By hand: 2400*640 - 800*500 = 1 136 000 mm2, in 8 sides.
func ExampleSubtract() {
	box := func(x, y, length, width float64) geom.Loop {
		return geom.Polygon(geom.Point{X: x, Y: y}, geom.Point{X: x + length, Y: y},
			geom.Point{X: x + length, Y: y + width}, geom.Point{X: x, Y: y + width})
	}
	parts, err := trace.Subtract(nil, box(0, 0, 2400, 640), []geom.Loop{box(700, -50, 800, 550)})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, part := range parts {
		fmt.Printf("%d sides, %.0f mm2\n", len(part.Outer), part.Area())
	}
	// Output:
	// 8 sides, 1136000 mm2
}
