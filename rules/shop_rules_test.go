package rules

import (
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/rules/shop"
)

// blade3cm is what a 400 mm blade, 2 mm into the table, stops short in 30 mm of
// stone: sqrt(32 x 368) - sqrt(2 x 398), by hand.
var blade3cm = math.Sqrt(32*368) - math.Sqrt(2*398)

func TestShopRules(t *testing.T) {
	const l = "outline 0,0 2400,0 2400,650 650,650 650,1850 0,1850"
	corridors := func(s *shop.Settings) { s.Access.From, s.Access.To, s.Access.Clearance = 900, 900, 100 }
	two := func(s *shop.Settings) { s.Lift.Crew = 2 }
	large := func(s *shop.Settings) { s.Slabs[0].Length, s.Slabs[0].Width, s.Slabs[0].Margin = 3000, 2000, 0 }
	for _, tc := range []struct {
		name, drawing string
		rule          func() Rule
		set           func(*shop.Settings)
		want          []want
		unchecked     string
		source        string
	}{
		{"slab: the usable size fits", "outline 0,0 3022.6,0 3022.6,1346.6 0,1346.6", tooBigForSlab, nil, nil, "",
			"3048 x 1372 less 12.7 all round"},
		{"slab: 10 mm too long", "outline 0,0 3032.6,0 3032.6,1346.6 0,1346.6", tooBigForSlab, nil,
			[]want{{Stop, 3032.6, 3022.6, at(1516.3, 673.3), 0, "fits no slab"}}, "",
			"turning a piece of the full width makes it wider, so it lies square"},
		{"slab: too wide", "outline 0,0 2400,0 2400,650 650,650 650,1850 0,1850", tooBigForSlab, nil,
			[]want{{Stop, 1850, 1346.6, at(1200, 925), 0, "2400 x 1850 mm"}}, "", "by hand"},
		{"slab: longer, but thin enough for the diagonal", "outline 0,0 3250,0 3250,60 0,60", tooBigForSlab, nil, nil, "",
			"diagonal sqrt(3022.6^2 + 1346.6^2) = 3309"},
		{"slab: veined, no diagonal", "outline 0,0 3250,0 3250,60 0,60", tooBigForSlab, func(s *shop.Settings) { s.Slabs[0].Veined = true },
			[]want{{Stop, 3250, 3022.6, at(1625, 30), 0, "fits no slab"}}, "", "by hand"},
		{"slab: of another stone", "outline 0,0 500,0 500,500 0,500", tooBigForSlab, func(s *shop.Settings) { s.Slabs[0].Material = "marble" },
			nil, "piece A: the settings have no slab of granite, 30.0 mm thick", ""},

		{"polisher: as tall as the line takes", "outline 0,0 2900,0 2900,2438 0,2438; finished 1", tooTallForPolisher, nil, nil, "", "96 in"},
		{"polisher: taller", "outline 0,0 2900,0 2900,2440 0,2440; finished 1", tooTallForPolisher, nil,
			[]want{{Warn, 2440, 2438, at(1450, 1220), 0, "2440 mm tall"}}, "", "by hand"},
		{"polisher: tall, but nothing is finished", "outline 0,0 2900,0 2900,2440 0,2440", tooTallForPolisher, nil, nil, "", "never goes there"},
		{"polisher: tall on its end only", "outline 0,0 2900,0 2900,650 0,650; finished 1; finished 2", tooTallForPolisher, nil,
			[]want{{Warn, 2900, 2438, at(1450, 325), 0, "edge 2 between y = 0 and y = 650"}}, "", "by hand"},
		{"polisher: 96 in to the tenth", "outline 0,0 2900,0 2900,2438.4 0,2438.4; finished 1", tooTallForPolisher, nil, nil, "", "96 in = 2438.4 mm"},
		{"polisher: a short end is done by hand anyway", "outline 0,0 2900,0 2900,300 0,300; finished 1; finished 2", tooTallForPolisher, nil, nil, "", "the line feeds from 305 mm"},
		{"polisher: set back behind the front", "outline 0,0 2900,0 2900,650 2500,650 2500,1050 0,1050; finished 3", tooTallForPolisher, nil, nil, "", "400 mm back, 305 mm is the deepest step"},

		{"mass: what two lift", "outline 0,0 1000,0 1000,567.9012 0,567.9012", tooHeavy, two, nil, "", "46 kg / 81 kg/m2"},
		{"mass: more", "outline 0,0 1000,0 1000,600 0,600", tooHeavy, two,
			[]want{{Warn, 48.6, 46, at(500, 300), 0, "weighs 48.6 kg"}}, "", "0.6 m2 x 81 kg/m2"},
		{"mass: the hole counts out", "outline 0,0 1000,0 1000,600 0,600; sink 250,200 750,400", tooHeavy, two, nil, "", "0.5 m2 x 81 kg/m2 = 40.5 kg"},
		{"mass: the shop named neither crew nor gear", "outline 0,0 3000,0 3000,1300 0,1300", tooHeavy, nil, nil, "neither crew nor lifting gear in the settings", "315.9 kg, and nobody asked"},
		{"mass: what the gear lifts", "outline 0,0 3000,0 3000,1000 0,1000", tooHeavy, func(s *shop.Settings) { s.Lift.Gear = 243 }, nil, "", "3 m2 x 81 kg/m2"},
		{"mass: more than the gear", "outline 0,0 3000,0 3000,1000 0,1000", tooHeavy, func(s *shop.Settings) { s.Lift.Gear = 242.9 },
			[]want{{Warn, 243, 242.9, at(1500, 500), 0, "the gear lifts 242.9 kg"}}, "", "by hand"},
		{"mass: gear beside a crew", "outline 0,0 1000,0 1000,600 0,600", tooHeavy, func(s *shop.Settings) { s.Lift.Gear, s.Lift.Crew = 100, 2 }, nil, "", "48.6 kg on a cart of 100"},
		{"mass: a crew stronger than its gear", "outline 0,0 1000,0 1000,600 0,600", tooHeavy, func(s *shop.Settings) { s.Lift.Gear, s.Lift.Crew = 40, 2 },
			[]want{{Warn, 48.6, 46, at(500, 300), 0, "a crew of 2 lifts 46 kg by hand"}}, "", "2 x 23"},
		{"mass: unknown stone", "outline 0,0 1000,0 1000,600 0,600", tooHeavy, func(s *shop.Settings) { s.Materials[0].Name, s.Lift.Crew = "other", 2 },
			nil, "the mass of piece A is not known", ""},

		{"hold: just large enough", "outline 0,0 200,0 200,75 0,75", tooSmallToHold, nil, nil, "", "equal passes"},
		{"hold: too short", "outline 0,0 190,0 190,150 0,150", tooSmallToHold, nil,
			[]want{{Warn, 190, 200, at(95, 75), 0, "190 mm long"}}, "", "by hand"},
		{"hold: too narrow", "outline 0,0 2000,0 2000,70 0,70", tooSmallToHold, nil,
			[]want{{Warn, 70, 75, at(1000, 35), 0, "70 mm wide"}}, "", "by hand"},
		{"hold: the worse of both", "outline 0,0 190,0 190,40 0,40", tooSmallToHold, nil,
			[]want{{Warn, 40, 75, at(95, 20), 0, "40 mm wide"}}, "", "40/75 < 190/200"},

		{"access: not asked", l, tooBigForAccess, nil, nil, "no corridor width in the settings", ""},
		{"access: passes", "outline 0,0 2285,0 2285,650 0,650", tooBigForAccess, corridors, nil, "",
			"equal corridors: 2 (900 sqrt 2 - 130) = 2285.58"},
		{"access: does not", "outline 0,0 2287,0 2287,650 0,650", tooBigForAccess, corridors,
			[]want{{Warn, 2287, 2*900*math.Sqrt2 - 260, at(1143.5, 325), 0, "2287 mm long"}}, "", "the same"},

		{"saw: nothing at outside corners", "outline 0,0 2400,0 2400,650 0,650", sawShort, nil, nil, "", "by hand"},
		{"saw: both sides of an inside corner", l, sawShort, large,
			[]want{{Note, 2 * blade3cm, 0, at(650+blade3cm/2, 650), 2 * blade3cm, "80.3 mm"}}, "", "c(32) - c(2), 400 mm blade"},
		{"saw: a sink, arcs left out", "outline 0,0 2400,0 2400,650 0,650; sink 800,100 1600,550 r20; hole 1200,600 d35", sawShort, nil,
			[]want{{Note, 8 * blade3cm, 0, nil, 8 * blade3cm, "at inside corners"}}, "", "eight ends"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			in := input(template(t, tc.drawing))
			if tc.set != nil {
				tc.set(in.Shop)
			}
			got, unchecked := check(t, tc.rule(), in)
			wantFlags(t, got, tc.want, func(p geom.Point) geom.Point { return p })
			switch {
			case tc.unchecked == "" && len(unchecked) > 0, tc.unchecked != "" && (len(unchecked) != 1 || unchecked[0].Why != tc.unchecked):
				t.Errorf("unchecked %v, want %q", unchecked, tc.unchecked)
			}
			for _, f := range got {
				if f.Remedy == "" {
					t.Errorf("no remedy: %+v", f)
				}
				if f.Witness != nil && f.Unit == "mm" && f.Rule != "saw-short" && math.Abs(f.Witness.Length()-f.Measured) > near {
					t.Errorf("the witness is %v long, measured %v", f.Witness.Length(), f.Measured)
				}
			}
		})
	}
}

// The figures of the job sheet are what the rules judge, when there are some.
func TestRulesTakeTheSetups(t *testing.T) {
	in := input(template(t, "outline 0,0 1000,0 1000,600 0,600"))
	in.Setups = map[string]*shop.Setup{"A": {Piece: "A", Mass: 100, Handling: shop.Handling{Persons: 5}, Slab: shop.SlabFit{Why: "nobody looked"}}}
	in.Shop.Lift.Crew = 2
	flags, _ := check(t, tooHeavy(), in)
	if len(flags) != 1 || flags[0].Measured != 100 || !strings.Contains(flags[0].Remedy, "5 people") {
		t.Errorf("%+v", flags)
	}
	if _, unchecked := check(t, tooBigForSlab(), in); len(unchecked) != 1 {
		t.Errorf("unchecked %v", unchecked)
	}
	if flags, _ := check(t, sawShort(), in); len(flags) != 0 {
		t.Errorf("%+v", flags)
	}
}

// Of a piece drawn at an angle the line that shows its length lies along it.
func TestWitnessOfATurnedPiece(t *testing.T) {
	tpl := template(t, "outline 0,0 3100,0 3100,650 0,650")
	for _, m := range redrawings() {
		in := input(moved(tpl, m))
		in.Shop.Access.From, in.Shop.Access.To, in.Shop.Access.Clearance = 900, 900, 100
		for _, r := range []Rule{tooBigForAccess(), tooBigForSlab()} {
			got, _ := check(t, r, in)
			if len(got) != 1 || got[0].Witness == nil || math.Abs(got[0].Witness.Length()-3100) > near ||
				got[0].At.Distance(m.move(geom.Point{X: 1550, Y: 325})) > near {
				t.Errorf("%s, %s: %s", m.name, r.ID, listed(got))
			}
		}
	}
}
