package report

import (
	"fmt"
	"math"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules"
	"trueup/rules/shop"
)

func pt(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

// edgesOf makes the edges of an outline that starts at its lowest, leftmost
// corner, a curve an edge, with the finishes in turn.
func edgesOf(l geom.Loop, finishes ...piece.Finish) []piece.Edge {
	var out []piece.Edge
	for i, c := range l {
		before := l[(i+len(l)-1)%len(l)]
		turn := math.Atan2(before.Tangent(1).Cross(c.Tangent(0)), before.Tangent(1).Dot(c.Tangent(0)))
		kind := piece.LineEdge
		if c.Bulge != 0 {
			kind = piece.ArcEdge
		}
		finish := piece.Unmarked
		if i < len(finishes) {
			finish = finishes[i]
		}
		out = append(out, piece.Edge{N: i + 1, Kind: kind, Curves: []geom.Curve{c}, CornerDeg: 180 - turn*180/math.Pi, Finish: finish})
	}
	return out
}

// rounded is a clockwise rectangle with rounded corners.
func rounded(x, y, w, h, r float64) geom.Loop {
	b := math.Tan(math.Pi / 8)
	arc := func(ax, ay, bx, by float64) geom.Curve { return geom.Curve{A: pt(ax, ay), B: pt(bx, by), Bulge: b} }
	ccw := geom.Loop{
		geom.Line(pt(x+r, y), pt(x+w-r, y)), arc(x+w-r, y, x+w, y+r),
		geom.Line(pt(x+w, y+r), pt(x+w, y+h-r)), arc(x+w, y+h-r, x+w-r, y+h),
		geom.Line(pt(x+w-r, y+h), pt(x+r, y+h)), arc(x+r, y+h, x, y+h-r),
		geom.Line(pt(x, y+h-r), pt(x, y+r)), arc(x, y+r, x+r, y),
	}
	return ccw.Reverse()
}

func hole(x, y, d float64) geom.Loop { return geom.Circle(pt(x, y), d/2).Reverse() }

func line(points ...float64) geom.Loop {
	var ps []geom.Point
	for i := 0; i+1 < len(points); i += 2 {
		ps = append(ps, pt(points[i], points[i+1]))
	}
	return geom.Polygon(ps...)
}

// kitchen is an L-shaped kitchen with a stepped seam, sink, cooktop, tap hole,
// splash and an island with rounded corners, on cabinets with a dishwasher.
func kitchen() *piece.Template {
	fin, wall, seam := piece.Finished, piece.Wall, piece.SeamEdge
	b90 := math.Tan(math.Pi / 8)
	a := line(0, 0, 2400, 0, 2400, 40, 2438.1, 40, 2438.1, 650, 0, 650)
	b := geom.Loop{
		geom.Line(pt(2440, -1200), pt(3050, -1200)), geom.Line(pt(3050, -1200), pt(3090, -1160)),
		geom.Line(pt(3090, -1160), pt(3090, 650)), geom.Line(pt(3090, 650), pt(2439.6, 650)),
		geom.Line(pt(2439.6, 650), pt(2439.6, 38.5)), geom.Line(pt(2439.6, 38.5), pt(2401.5, 38.5)),
		geom.Line(pt(2401.5, 38.5), pt(2401.5, 10)), {A: pt(2401.5, 10), B: pt(2411.5, 0), Bulge: b90},
		geom.Line(pt(2411.5, 0), pt(2440, 0)), geom.Line(pt(2440, 0), pt(2440, -1200)),
	}
	island := geom.Loop{
		geom.Line(pt(250, -1900), pt(1950, -1900)), {A: pt(1950, -1900), B: pt(2100, -1750), Bulge: b90},
		geom.Line(pt(2100, -1750), pt(2100, -1050)), {A: pt(2100, -1050), B: pt(1950, -900), Bulge: b90},
		geom.Line(pt(1950, -900), pt(250, -900)), {A: pt(250, -900), B: pt(100, -1050), Bulge: b90},
		geom.Line(pt(100, -1050), pt(100, -1750)), {A: pt(100, -1750), B: pt(250, -1900), Bulge: b90},
	}
	splash := line(0, 760, 2438, 760, 2438, 860, 0, 860)
	t := &piece.Template{
		Pieces: []piece.Piece{
			{ID: "A", Kind: piece.Counter, Outline: a, Edges: edgesOf(a, fin, seam, seam, seam, wall, wall), Material: "granite", Thickness: 30,
				Cutouts: []piece.Cutout{
					{ID: "A-1", Kind: piece.Sink, Loop: rounded(800, 110, 762, 432, 19)},
					{ID: "A-2", Kind: piece.Hole, Loop: hole(1180, 590, 35), Diameter: 35},
				}},
			{ID: "B", Kind: piece.Counter, Outline: b, Edges: edgesOf(b, fin, fin, wall, wall, seam, seam, seam, fin, fin, fin), Material: "granite", Thickness: 30,
				Cutouts: []piece.Cutout{{ID: "B-1", Kind: piece.Cooktop, Loop: rounded(2510, -800, 490, 560, 3)}}},
			{ID: "C", Kind: piece.Counter, Outline: island, Edges: edgesOf(island, fin, fin, fin, fin, fin, fin, fin, fin), Material: "granite", Thickness: 30},
			{ID: "D", Kind: piece.Splash, Outline: splash, Edges: edgesOf(splash, wall, fin, fin, fin), Material: "granite", Thickness: 20},
		},
		Seams: []piece.Seam{{ID: "S1", Kind: piece.SteppedSeam, Pieces: [2]string{"A", "B"},
			Chains: [2][]geom.Curve{{a[1], a[2], a[3]}, {b[4], b[5], b[6]}}, Length: 688.1, MaxGap: 1.5, MinGap: 1.5,
			Steps: []piece.SeamStep{{Piece: "A", At: 40, Depth: 38.1, Place: pt(2400, 40)}, {Piece: "B", At: 611.5, Depth: 38.1, Place: pt(2439.6, 38.5)}}}},
		Supports: []piece.Support{
			{Area: line(0, 40, 900, 40, 900, 640, 0, 640), Layer: "CABINET"},
			{Area: line(1500, 40, 3080, 40, 3080, 640, 1500, 640), Layer: "CABINET"},
			{Area: line(2480, -1180, 3080, -1180, 3080, 40, 2480, 40), Layer: "CABINET"},
			{Area: line(200, -1500, 2000, -1500, 2000, -920, 200, -920), Layer: "CABINET"},
		},
		Openings:   []piece.Opening{{Area: line(900, 40, 1500, 40, 1500, 640, 900, 640), Layer: "DISHWASHER"}},
		Walls:      []geom.Curve{geom.Line(pt(-20, 655), pt(3100, 655)), geom.Line(pt(3095, 655), pt(3095, -1300))},
		Repairs:    []piece.Repair{{Kind: "gap-closed", At: pt(2438.1, 650), Size: 0.21, Layer: "COUNTER"}, {Kind: "facets-to-arc", At: pt(2025, -1825), Size: 0.32, Layer: "COUNTER", Radius: 150}},
		Shift:      pt(5000, 12000),
		Units:      piece.Units{Drawing: dxfio.UnitInch, From: "header"},
		Unread:     []dxfio.Unread{{Type: "DIMENSION", Layer: "DIMS", Why: "not geometry", Count: 14}},
		HasSupport: true,
	}
	return t
}

// kitchenInput is the kitchen with flags of every severity, set-up figures and
// one decision.
func kitchenInput() Input {
	w := func(a, b geom.Point) *geom.Witness { return &geom.Witness{From: a, To: b} }
	flag := func(rule string, s rules.Severity, id, other string, wit *geom.Witness, stretch, measured, limit float64, unit, message, remedy string) rules.Flag {
		f := rules.Flag{Rule: rule, Severity: s, Piece: id, Other: other, Witness: wit, Stretch: stretch, Measured: measured, Limit: limit,
			Unit: unit, Message: message, Remedy: remedy}
		if wit != nil {
			f.At = wit.Middle()
		}
		f.Key = fmt.Sprintf("%s/%s/%d,%d", rule, id, int(f.At.X)/50, int(f.At.Y)/50)
		return f
	}
	return Input{
		Source: Source{File: "kitchen.dxf", SHA256: "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08", Bytes: 48211},
		Job:    "harbour/müller-kitchen", Revision: 2, Template: kitchen(),
		Findings: rules.Report{
			Flags: []rules.Flag{
				flag("unsupported-span", rules.Stop, "C", "", w(pt(1100, -1900), pt(1100, -1500)), 0, 400, 254, "mm",
					"Piece C overhangs its support by 400 mm; the limit for 30 mm stone is 254 mm.", "Add brackets or a support panel so that no more than 254 mm stays free, or shorten the piece by 146 mm."),
				flag("narrow-section", rules.Stop, "A", "A-1", w(pt(1180, 572.5), pt(1180, 542)), 35, 30.5, 50, "mm",
					"Only 30.5 mm of stone is left between the tap hole and sink A-1.", "Move the tap hole 19.5 mm to the back."),
				flag("inside-radius", rules.Stop, "B", "B-1", w(pt(2510, -240), pt(2513, -237)), 0, 3, 9.525, "mm",
					"An inside corner of cooktop B-1 has a radius of 3 mm; the router bit needs 9.5 mm.", "Open the four corners to a radius of 9.5 mm or more."),
				flag("seam-near-cutout", rules.Warn, "B", "S1", w(pt(2755, -240), pt(2755, 0)), 490, 120, 150, "mm",
					"Seam S1 runs 120 mm from cooktop B-1.", "Move the seam 30 mm away from the cutout."),
				flag("too-heavy", rules.Warn, "C", "", nil, 0, 160.2, 90, "kg", "Piece C has a mass of 160.2 kg, more than two people may lift.", "Plan lifting gear."),
				flag("saw-short", rules.Note, "A", "A-1", w(pt(800, 110), pt(880, 110)), 0, 108.5, 0, "mm", "The saw stops 108.5 mm short of the corners of sink A-1.", "The router finishes them."),
			},
			Unchecked: []rules.Unchecked{
				{Rule: "too-big-for-access", Why: "no access width is set"},
				{Rule: "bending-stress", Why: "the material granite (splash) has no flexural strength in the settings"},
			},
		},
		Setups: map[string]*shop.Setup{
			"A": {Mass: 99.4, Handling: shop.Handling{Persons: 5, PersonLoad: 23, Rails: []shop.Rails{{Cutout: "A-1"}}}, Holes: 1, Cuts: []shop.SawCut{{Edges: []int{1}, To: pt(2400, 0), Length: 2400}, {Cutout: "A-1", From: pt(908, 110), To: pt(1454, 110), Length: 545, Start: shop.Stop{Short: 108.5}, End: shop.Stop{Short: 108.5}}}, SawLength: 6120, RouterLeft: 1480, RunMinutes: 14.2, Polish: []shop.PolishPass{
				{Edges: []int{1}, Length: 2400, Minutes: 1.6},
				{Edges: []int{2, 4}, Length: 650, Minutes: 0.5, StepsLeadStart: []shop.Step{{At: 40, Offset: 38.1}}, StepsLeadEnd: []shop.Step{{At: 610, Offset: -38.1}}},
			}},
			"B": {Mass: 85.1, SawLength: 5480, RouterLeft: 1210, RunMinutes: 12.8, Polish: []shop.PolishPass{{Edges: []int{1, 2, 10}, Length: 1866, Minutes: 1.3}}},
			"C": {Mass: 160.2, Handling: shop.Handling{Persons: 7, PersonLoad: 23}, Curves: []shop.FinishedCurve{{Edge: 2, Length: 235.6, Radius: 150, Outside: true, Why: "a curve: finish it by hand"}}, SawLength: 4800, RouterLeft: 942.5, RunMinutes: 11.1, Polish: []shop.PolishPass{{Edges: []int{1, 3, 5, 7}, Length: 5742, Minutes: 3.9}}},
			"D": {Mass: 13.2, SawLength: 5076, RunMinutes: 4.2, Polish: []shop.PolishPass{{Edges: []int{2, 3, 4}, Length: 2638, Minutes: 1.8}}},
		},
		Decisions:     map[string]Decision{"seam-near-cutout/B/55,-2": {Choice: Accept, By: "Ana Brandt", Why: "customer wants it here", Revision: 1}},
		SeamSupported: func(string) (bool, bool) { return true, true },
	}
}
