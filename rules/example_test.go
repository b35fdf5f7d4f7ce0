package rules_test

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules"
	"trueup/rules/shop"
)

// box is a rectangle, counter-clockwise.
func box(x, y, length, width float64) geom.Loop {
	return geom.Polygon(geom.Point{X: x, Y: y}, geom.Point{X: x + length, Y: y},
		geom.Point{X: x + length, Y: y + width}, geom.Point{X: x, Y: y + width})
}

// Every rule looks at a small template: a top of 1800 x 600 mm on a cabinet of
// the same size, with a tap hole of 35 mm whose centre is 40 mm from the front.
//
// By hand: the stone before the hole is 40 - 35/2 = 22.5 mm. The limit is set to
// 25 mm, and everything else about this top is as it should be. The way into the
// house is not known, and the report says that nobody looked at it.
func ExampleRun() {
	top := piece.Piece{ID: "A", Kind: piece.Counter, Outline: box(0, 0, 1800, 600), Material: "granite", Thickness: 30,
		Cutouts: []piece.Cutout{{ID: "A-1", Kind: piece.Hole, Diameter: 35, Loop: geom.Circle(geom.Point{X: 900, Y: 40}, 17.5).Reverse()}}}
	for i, c := range top.Outline {
		top.Edges = append(top.Edges, piece.Edge{N: i + 1, Kind: piece.LineEdge, Curves: []geom.Curve{c}, CornerDeg: 90, Finish: piece.Unmarked})
	}
	template := &piece.Template{
		Pieces: []piece.Piece{top}, HasSupport: true,
		Supports: []piece.Support{{Area: box(0, 0, 1800, 600), Layer: "CABINET"}},
	}
	limits, machines := rules.Default(), shop.Default()
	limits.HoleStone = 25 // mm
	machines.Lift.Crew = 4
	setup := shop.SetUp(&template.Pieces[0], template, &machines)

	report := rules.Run(&rules.Input{
		Template: template, Settings: &limits, Shop: &machines, Setups: map[string]*shop.Setup{"A": &setup},
		Role: func(string) piece.Role { return piece.NoRole },
	})
	for _, f := range report.Flags {
		fmt.Printf("%s %s on piece %s: %.1f %s, limit %.1f\n", f.Severity, f.Rule, f.Piece, f.Measured, f.Unit, f.Limit)
		fmt.Printf("  from %.1f, %.1f to %.1f, %.1f\n", f.Witness.From.X, f.Witness.From.Y, f.Witness.To.X, f.Witness.To.Y)
	}
	for _, u := range report.Unchecked {
		fmt.Printf("not checked: %s: %s\n", u.Rule, u.Why)
	}
	// Output:
	// warn hole-spacing on piece A: 22.5 mm, limit 25.0
	//   from 900.0, 22.5 to 900.0, 0.0
	// not checked: drawing-not-kept: the template was not made from a drawing
	// not checked: too-big-for-access: no corridor width in the settings
}

// A shop's own severity for one rule, and one that is switched off: a rule that
// did not look says so. By hand: the point of a top that narrows from 400 mm to
// nothing over 1000 mm has an angle of atan(400/1000) = 21.8 degrees.
func ExampleRun_settings() {
	outline := geom.Polygon(geom.Point{X: 0, Y: 0}, geom.Point{X: 1000, Y: 0}, geom.Point{X: 0, Y: 400})
	template := &piece.Template{Pieces: []piece.Piece{{ID: "A", Kind: piece.Counter, Outline: outline, Material: "granite", Thickness: 30}}}
	limits, machines := rules.Default(), shop.Default()
	limits.Severity = map[string]string{"sharp-point": "stop"}
	for _, r := range rules.Catalogue() {
		if r.ID != "sharp-point" && r.ID != "overhang" {
			limits.Off = append(limits.Off, r.ID)
		}
	}
	report := rules.Run(&rules.Input{Template: template, Settings: &limits, Shop: &machines})
	for _, f := range report.Flags {
		fmt.Printf("%s %s: %.1f %s\n", f.Severity, f.Rule, f.Measured, f.Unit)
	}
	for _, u := range report.Unchecked {
		if u.Rule == "overhang" || u.Rule == "narrow-section" {
			fmt.Printf("not checked: %s: %s\n", u.Rule, u.Why)
		}
	}
	// Output:
	// stop sharp-point: 21.8 deg
	// not checked: narrow-section: switched off in the settings (rules.off)
	// not checked: overhang: the drawing has no support layer
}

// The catalogue is what `trueup rules` prints: what a rule finds, why, how it
// measures and which settings it compares with.
func ExampleFind() {
	rule, ok := rules.Find("hole-spacing")
	fmt.Println(ok, rule.Severities, rule.What)
	fmt.Println(rule.Limits)
	// Output:
	// true [warn] Round holes with too little stone around them.
	// [rules.hole_stone pieces.hole_diameter]
}
