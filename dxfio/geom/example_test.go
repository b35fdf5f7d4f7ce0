package geom_test

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
)

// A top of 2400 x 640 mm whose corners have a radius of 25 mm, and the exact
// area, perimeter and centre of it: no arc is replaced by chords.
//
// By hand: length x width less the four corners' waste is
// 2400*640 - (4-pi)*25*25 = 1 535 463.50 mm2, and the way around is
// 2*(2400+640) - 8*25 + 2*pi*25 = 6037.08 mm.
func ExampleLoop_Area() {
	const length, width, radius = 2400.0, 640.0, 25.0
	quarter := math.Tan(math.Pi / 8) // the bulge of a quarter circle: tan of a quarter of its angle
	at := func(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }
	corner := func(a, b geom.Point) geom.Curve { return geom.Curve{A: a, B: b, Bulge: quarter} }
	top := geom.Loop{
		geom.Line(at(radius, 0), at(length-radius, 0)),
		corner(at(length-radius, 0), at(length, radius)),
		geom.Line(at(length, radius), at(length, width-radius)),
		corner(at(length, width-radius), at(length-radius, width)),
		geom.Line(at(length-radius, width), at(radius, width)),
		corner(at(radius, width), at(0, width-radius)),
		geom.Line(at(0, width-radius), at(0, radius)),
		corner(at(0, radius), at(radius, 0)),
	}
	fmt.Printf("area      %.2f mm2\n", top.Area())
	fmt.Printf("perimeter %.2f mm\n", top.Length())
	fmt.Printf("centre    %.1f, %.1f\n", top.Centroid().X, top.Centroid().Y)
	fmt.Printf("clockwise %.2f mm2\n", top.Reverse().Area())
	// Output:
	// area      1535463.50 mm2
	// perimeter 6037.08 mm
	// centre    1200.0, 320.0
	// clockwise -1535463.50 mm2
}

// The stone between a tap hole of 35 mm, 60 mm behind the front edge, and that
// edge. By hand: 60 - 35/2 = 42.5 mm, straight below the hole's centre.
func ExampleNearest() {
	front := geom.Line(geom.Point{X: 0, Y: 0}, geom.Point{X: 2400, Y: 0})
	best := geom.Witness{From: front.A, To: geom.Point{X: math.Inf(1)}}
	for _, half := range geom.Circle(geom.Point{X: 1200, Y: 60}, 35.0/2) {
		if w := geom.Nearest(half, front); w.Shorter(best) {
			best = w
		}
	}
	fmt.Printf("%.1f mm, from %.1f, %.1f to %.1f, %.1f\n", best.Length(), best.From.X, best.From.Y, best.To.X, best.To.Y)
	// Output:
	// 42.5 mm, from 1200.0, 42.5 to 1200.0, 0.0
}

// A seam at 45 degrees across the corner of a top meets the front edge once and
// the side once. By hand: the line x + y = 300 meets y = 0 at 300, 0 and x = 0
// at 0, 300.
func ExampleIntersect() {
	seam := geom.Line(geom.Point{X: 400, Y: -100}, geom.Point{X: -100, Y: 400})
	for _, edge := range geom.Polygon(geom.Point{}, geom.Point{X: 2400}, geom.Point{X: 2400, Y: 640}, geom.Point{Y: 640}) {
		for _, hit := range geom.Intersect(seam, edge) {
			fmt.Printf("%.0f, %.0f crossing: %t\n", hit.P.X, hit.P.Y, hit.Kind == geom.Crossing)
		}
	}
	// Output:
	// 300, 0 crossing: true
	// 0, 300 crossing: true
}

// What is inside a top with a hole in it, and what is on its edge. By hand: the
// area is 1000*600 less pi*50*50 = 592 146.02 mm2.
func ExampleRegion() {
	top := geom.Region{
		Outer: geom.Polygon(geom.Point{}, geom.Point{X: 1000}, geom.Point{X: 1000, Y: 600}, geom.Point{Y: 600}),
		Holes: []geom.Loop{geom.Circle(geom.Point{X: 500, Y: 300}, 50).Reverse()}, // holes run clockwise
	}
	fmt.Printf("%.2f mm2\n", top.Area())
	for _, p := range []geom.Point{{X: 100, Y: 100}, {X: 500, Y: 300}, {X: 550, Y: 300}, {X: 1200, Y: 0}} {
		where := map[geom.Location]string{geom.Inside: "stone", geom.On: "edge", geom.Outside: "no stone"}[top.Locate(p)]
		fmt.Printf("%.0f, %.0f: %s\n", p.X, p.Y, where)
	}
	// Output:
	// 592146.02 mm2
	// 100, 100: stone
	// 500, 300: no stone
	// 550, 300: edge
	// 1200, 0: no stone
}

// The smallest rectangle around a top that was drawn turned by 30 degrees gives
// its length and width back.
func ExampleSmallestRectangle() {
	top := geom.Polygon(geom.Point{}, geom.Point{X: 2400}, geom.Point{X: 2400, Y: 640}, geom.Point{Y: 640})
	r := geom.SmallestRectangle(top.Rotate(math.Pi / 6))
	fmt.Printf("%.1f x %.1f mm at %.1f degrees\n", r.Length, r.Width, r.AngleDeg)
	// Output:
	// 2400.0 x 640.0 mm at 30.0 degrees
}
