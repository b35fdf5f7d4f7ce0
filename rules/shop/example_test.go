package shop_test

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/shop"
)

// How far a round blade's rim reaches along the top face when its lowest point
// is 32 mm below it: 30 mm of stone and 2 mm of table. By hand, for a diameter
// of 400 mm: sqrt(32*(400-32)) = 108.52 mm.
func ExampleChord() {
	fmt.Printf("%.2f mm\n", shop.Chord(400, 32))
	// Output:
	// 108.52 mm
}

// The set-up figures of a top of 2400 x 640 mm in 3 cm granite, with an opening
// of 760 x 430 mm that has sharp corners.
//
// By hand: the stone is 2400*640 - 760*430 = 1 209 200 mm2, so its mass is
// 1.2092 m2 * 0.03 m * 2700 kg/m3 = 97.95 kg: five people at 23 kg each (DHHS
// (NIOSH) 94-110). The saw runs past the outside corners, and cuts all of the
// outline, 6080 mm. At each end of the opening's four sides it stops
// sqrt(32*368) - sqrt(2*398) = 80.30 mm short, so that 8*80.30 = 642.43 mm are
// the router's, and 2*(760+430) - 642.43 = 1737.57 mm of the opening are sawn.
func ExampleSetUp() {
	box := func(x, y, length, width float64) geom.Loop {
		return geom.Polygon(geom.Point{X: x, Y: y}, geom.Point{X: x + length, Y: y},
			geom.Point{X: x + length, Y: y + width}, geom.Point{X: x, Y: y + width})
	}
	top := piece.Piece{ID: "A", Kind: piece.Counter, Outline: box(0, 0, 2400, 640), Material: "granite", Thickness: 30,
		Cutouts: []piece.Cutout{{ID: "A-1", Kind: piece.Sink, Loop: box(800, 105, 760, 430).Reverse()}}}
	for i, c := range top.Outline {
		top.Edges = append(top.Edges, piece.Edge{N: i + 1, Kind: piece.LineEdge, Curves: []geom.Curve{c}, CornerDeg: 90, Finish: piece.Unmarked})
	}
	settings := shop.Default()
	settings.Saw.Blade, settings.Saw.Overcut = 400, 2 // mm

	setup := shop.SetUp(&top, &piece.Template{Pieces: []piece.Piece{top}}, &settings)
	fmt.Printf("mass   %.2f kg, lifted by %d\n", setup.Mass, setup.Handling.Persons)
	fmt.Printf("saw    %.2f mm in %d cuts\n", setup.SawLength, len(setup.Cuts))
	fmt.Printf("router %.2f mm in %d corners\n", setup.RouterLeft, len(setup.Router))
	for _, cut := range setup.Cuts {
		if cut.Cutout != "" {
			fmt.Printf("  %s: %.2f mm, stops %.2f mm short: %s\n", cut.Cutout, cut.Length, cut.Start.Short, cut.Start.Why)
		}
	}
	fmt.Println("slab  ", setup.Slab.Slab)
	// Output:
	// mass   97.95 kg, lifted by 5
	// saw    7817.57 mm in 8 cuts
	// router 642.43 mm in 4 corners
	//   A-1: 269.39 mm, stops 80.30 mm short: inside corner
	//   A-1: 599.39 mm, stops 80.30 mm short: inside corner
	//   A-1: 269.39 mm, stops 80.30 mm short: inside corner
	//   A-1: 599.39 mm, stops 80.30 mm short: inside corner
	// slab   usual
}
