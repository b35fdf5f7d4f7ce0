package rules

import (
	"slices"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

func TestInsideRadius(t *testing.T) {
	runCases(t, insideRadius(), []ruleCase{
		{"sharp sink corners", top + "sink 800,100 1560,500", nil, []want{
			{Stop, 0, 9.525, nil, 0, "4 inside corners of the sink A-1 are sharp"}}, "by hand; one decision for the sink"},
		{"two sockets", top + "cutout 300,500 380,560; cutout 420,500 500,560", nil, []want{
			{Stop, 0, 9.525, nil, 0, "4 inside corners of the cutout A-1"}, {Stop, 0, 9.525, nil, 0, "4 inside corners of the cutout A-2"}}, "one a cutout"},
		{"two corners sharp, two of 6 mm", top + "sink 800,100 1560,100^0 1560,494^0.41421356237 1554,500 806,500^0.41421356237 800,494", nil, []want{
			{Stop, 0, 9.525, nil, 0, "2 inside corners of the sink A-1 are sharp"}, {Stop, 6, 9.525, nil, 0, "2 inside corners of the sink A-1 have a radius of 6 mm"}}, "one a radius"},
		{"one of four is sharp", top + "sink 800,100 1550,100^0.41421356237 1560,110 1560,490^0.41421356237 1550,500 810,500^0.41421356237 800,490", nil, []want{
			{Stop, 0, 9.525, at(800, 100), 0, "The inside corner of the sink A-1 at"}}, "three of 10 mm pass"},
		{"nominal 3/8 in", top + "sink 800,100 1560,500 r9.525", nil, nil, "3/8 in = 9.525 mm"},
		{"9.5 passes by the grace", top + "sink 800,100 1560,500 r9.5", nil, nil, "grace 0.05: 9.525 - 9.5 = 0.025"},
		{"9.4 does not", "outline 0,0 1000,0 1000,600 0,600 r9.4; sink 300,100 700,500 r9.4", nil, []want{
			{Stop, 9.4, 9.525, nil, 0, "have a radius of 9.4 mm"}}, "outside roundings do not count"},
		{"one inside corner of an L", "outline 0,0 2400,0 2400,650 650,650 650,1850 0,1850", nil, []want{{Stop, 0, 9.525, at(650, 650), 0, "outline"}}, "by hand"},
		{"arc in the inside corner of an L", "outline 0,0 2400,0 2400,650 656,650^-0.41421356237 650,656 650,1850 0,1850", nil,
			[]want{{Stop, 6, 9.525, at(651.757359, 651.757359), 0, "6 mm"}}, "quarter of radius 6: its middle lies 6 (1 - 1/sqrt 2) = 1.757359 from both lines"},
		{"warning of the material", top + "sink 800,100 1560,500 r11", func(in *Input) { in.Settings.InsideRadius = 12 }, []want{
			{Warn, 11, 12, nil, 0, "have a radius of 11 mm, at"}}, "settings"},
		{"round hole is drilled", top + "hole 1200,300 d12", nil, nil, "12 mm hole has a radius of 6, but no corner"},
		{"slight bend of a wall", "outline 0,0 2400,0 2400,640 1200,635 0,640", nil, nil, "turns by 0.5 degrees"},
		{"a bend that a rounding hardly notices", "outline 0,0 2400,0 2400,640 1200,520 0,640", nil, nil, "turns by 11.4 degrees: 9.525 (1/cos 5.7 - 1) = 0.047 mm"},
		{"a cutout's bend that it does", "outline 0,0 2400,0 2400,640 0,640; cutout 600,100 1800,100 1800,400 1200,470 600,400", nil,
			[]want{{Stop, 0, 9.525, nil, 0, "5 inside corners of the cutout A-1"}}, "the fifth turns by 13.3 degrees: 9.525 (1/cos 6.65 - 1) = 0.065 mm"},
		{"a cutout's bend that it does not", "outline 0,0 2400,0 2400,640 0,640; cutout 600,100 1800,100 1800,400 1200,455 600,400", nil,
			[]want{{Stop, 0, 9.525, nil, 0, "4 inside corners of the cutout A-1"}}, "turns by 10.5 degrees"},
		{"an outline's bend of 13 degrees", "outline 0,0 2400,0 2400,640 1200,500 0,640", nil, nil, "2 atan(140/1200)"},
		{"an outline's bend of 45 degrees", "outline 0,0 2400,0 2400,1640 1200,1142.94373 0,1640", nil, nil, "2 atan(497.05627/1200)"},
		{"an outline's bend of 46 degrees", "outline 0,0 2400,0 2400,1640 1200,1130.63021 0,1640", nil, []want{{Stop, 0, 9.525, at(1200, 1130.63021), 0, "is sharp"}},
			"2 atan(509.36979/1200)"},
		{"a bend of 30 degrees where the shop wants 20", "outline 0,0 2400,0 2400,1640 1200,1318.46097 0,1640", func(in *Input) { in.Settings.InsideTurn = 20 },
			[]want{{Stop, 0, 9.525, at(1200, 1318.46097), 0, "is sharp"}}, "2 atan(321.53903/1200)"},
		{"an inside corner cut off by 7 mm", "outline 0,0 2400,0 2400,650 655,650 650,655 650,1850 0,1850", nil, []want{{Stop, 0, 9.525, nil, 0, "is sharp"}},
			"two bends of 45 degrees nearer than the radius are one corner of 90"},
		{"an inside corner cut off by 71 mm", "outline 0,0 2400,0 2400,650 700,650 650,700 650,1850 0,1850", nil, nil, "two bends of 45 degrees"},
		{"notch for a column", "outline 0,0 2400,0 2400,640 1300,640 1300,560 1200,560 1200,640 0,640", nil,
			[]want{{Stop, 0, 9.525, at(1300, 560), 0, ""}, {Stop, 0, 9.525, at(1200, 560), 0, ""}}, "two corners, 100 apart"},
		{"rounding drawn with chords is one corner", "outline 0,0 2400,0 2400,650 660,650 655,651.33975 651.33975,655 650,660 650,1850 0,1850", nil,
			[]want{{Stop, 0, 9.525, nil, 0, "is sharp"}}, "radius 10 in three chords of 30 degrees"},
		{"compound rounding is one corner", "outline 0,0 2400,0 2400,650 660,650^-0.19891237 652.928932,652.928932^-0.19891237 650,660 650,1850 0,1850", nil, nil,
			"two eighths of radius 10"},
	})
}

// The flag of a cutout carries every corner's place, in the sentence and as
// places of its own, wherever it is drawn; its key tells how many corners it is
// about, so that what was accepted for one corner is not taken for four.
func TestInsideRadiusPlaces(t *testing.T) {
	corners := []geom.Point{{X: 800, Y: 100}, {X: 800, Y: 500}, {X: 1560, Y: 100}, {X: 1560, Y: 500}}
	tpl := template(t, top+"sink 800,100 1560,500")
	key := ""
	for _, m := range redrawings() {
		in := input(moved(tpl, m))
		flags, _ := check(t, insideRadius(), in)
		giveKeys(Catalogue(), in.Template, flags)
		if len(flags) != 1 {
			t.Fatalf("%s: %s", m.name, listed(flags))
		}
		f := flags[0]
		places := append([]geom.Point{f.At}, f.Further...)
		for _, c := range corners {
			if !slices.ContainsFunc(places, func(p geom.Point) bool { return p.Distance(m.move(c)) < near }) || len(places) != 4 {
				t.Errorf("%s: places %v lack %v", m.name, places, m.move(c))
			}
			if !strings.Contains(f.Message, in.place(m.move(c))) {
				t.Errorf("%s: %q lacks %s", m.name, f.Message, in.place(m.move(c)))
			}
		}
		if key == "" {
			key = f.Key
		}
		if f.Key != key && m.name != "mirrored" { // a mirrored top is another top
			t.Errorf("%s: key %s, want %s", m.name, f.Key, key)
		}
	}
	for name, drawing := range map[string]string{
		"one corner":    "sink 800,100 1545,100^0.41421356237 1560,115 1560,485^0.41421356237 1545,500 815,500^0.41421356237 800,485",
		"three corners": "sink 800,100 1560,100 1560,500 815,500^0.41421356237 800,485",
		"elsewhere":     "sink 900,100 1660,500",
	} {
		in := input(template(t, top+drawing))
		flags, _ := check(t, insideRadius(), in)
		giveKeys(Catalogue(), in.Template, flags)
		if len(flags) != 1 || SameKey(flags[0].Key, key) {
			t.Errorf("%s: passes for the four sharp corners (%s): %s", name, key, listed(flags))
		}
	}
}
