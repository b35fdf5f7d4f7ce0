package pipeline

import (
	"math"
	"testing"

	"trueup/pipeline/settings"
	"trueup/rules"
)

func warnings(measuredAt ...float64) (out []sceneWant) {
	for i := 0; i+2 < len(measuredAt); i += 3 {
		out = append(out, sceneWant{rules.Warn, measuredAt[i], pt(measuredAt[i+1], measuredAt[i+2])})
	}
	return out
}

// Cabinets that stand out past the stone.
func TestCabinetProud(t *testing.T) {
	kitchen := func() *scene {
		return straightTop().line("FINISHED", 0, 0, 2400, 0, 2400, 640).line("WALL", 0, 0, 0, 640, 2400, 640)
	}
	island := func() *scene { return new(scene).box("COUNTER", 0, 0, 2000, 900) }
	runScenes(t, "cabinet-proud", []sceneCase{
		{"38 mm behind the front", kitchen().box("CABINET", 0, 38, 2370, 640), nil, nil, nil, "within the stone"},
		{"20 mm before the front", kitchen().box("CABINET", 0, -20, 2370, 640), nil, warnings(20, 1185.495, -10),
			[]string{"The cabinet under edge 1 of piece A stands out 20 mm past the stone", "over 2369 mm", "let the stone reach at least 20 mm farther"}, "from 1 mm off the corner to 0.01 mm before 2370"},
		{"as far as it may", kitchen().box("CABINET", 0, -4.8, 2370, 640), nil, nil, nil, "4.8 mm passes"},
		{"a little farther", kitchen().box("CABINET", 0, -4.9, 2370, 640), nil, warnings(4.9, 1185.495, -2.45), nil, "past 4.8 mm"},
		{"past the finished end", kitchen().box("CABINET", 0, 38, 2440, 640), nil, warnings(40, 2420, 338.505), nil, "from 38.01 to 639 mm of the end"},
		{"into the wall, as units are drawn", kitchen().box("CABINET", -15, 38, 2370, 660), nil, nil, nil, "edges at walls are not looked at"},
		{"where another top carries on", kitchen().box("CABINET", 0, 38, 3000, 640), nil, nil, nil, "600 mm on"},
		{"a tall unit beside the top", kitchen().box("CABINET", 0, 38, 2400, 640).box("CABINET", 2400, 0, 2500, 640), nil, nil, nil, "it begins beyond the edge"},
		{"onto the next piece", kitchen().box("CABINET", 0, 38, 2500, 640).box("COUNTER", 2403, 0, 3000, 640).line("FINISHED", 2403, 0, 3000, 0), nil, nil, nil, "stone lies on it"},
		{"a dishwasher at the end", kitchen().box("CABINET", 0, 38, 2390, 640).box("CABINET", 2390, 38, 2450, 640).box("DISHWASHER", 2390, 38, 2450, 640), nil, nil, nil, "it begins at the end of the stone, and is an opening"},
		{"island, all round", island().box("CABINET", -10, -10, 2010, 910), nil, warnings(10, 1000, -5, 10, 2005, 450, 10, 1000, 905, 10, -5, 450), nil, "by hand"},
		{"island against a wall", island().box("CABINET", 0, 50, 2000, 920).line("WALL", -500, 915, 3000, 915), nil, nil, nil, "the wall ends the cabinet"},
		{"no mark on a piece with finished edges", straightTop().line("FINISHED", 0, 0, 2400, 0).box("CABINET", 0, 38, 2400, 660), nil, nil, nil, "the wall is there"},
		{"an end without a mark in a drawing with walls", straightTop().line("FINISHED", 0, 0, 2400, 0).line("WALL", 0, 0, 0, 640, 2400, 640).box("CABINET", 0, 38, 2440, 640), nil,
			warnings(40, 2420, 338.505), nil, "the wall is drawn elsewhere"},
		{"a notch round a post", new(scene).area("COUNTER", 0, 0, 2400, 0, 2400, 640, 1300, 640, 1300, 500, 1150, 500, 1150, 640, 0, 640).line("FINISHED", 0, 0, 2400, 0).line("WALL", 0, 640, 1150, 640).line("WALL", 1300, 640, 2400, 640).
			box("CABINET", 0, 38, 2400, 640), nil, nil, nil, "stone on both sides"},
		{"a notch in a corner", new(scene).area("COUNTER", 0, 0, 2400, 0, 2400, 500, 2250, 500, 2250, 640, 0, 640).line("FINISHED", 0, 0, 2400, 0).line("WALL", 0, 640, 2250, 640).box("CABINET", 0, 38, 2400, 640), nil, nil, nil, "stone beside it, and no finish"},
		{"a slanting front", kitchen().area("CABINET", 0, 38, 2400, -20, 2400, 640, 0, 640), nil,
			warnings(20-58.0/2400, 2399, -(20-58.0/2400)/2), nil, "1 mm before the corner: 20 - 58/2400"},
		{"bowed stone over a square cabinet", new(scene).bowed().bow("FINISHED", 100).box("CABINET", 0, -20, 2400, 640), func(s *settings.Settings) { s.Rules.CabinetProud = 20 }, nil, nil, "the stone reaches past it in the middle, at its ends it hangs 20 mm back at most"},
		{"an apron sink", new(scene).area("COUNTER", 0, 0, 800, 0, 800, 450, 1500, 450, 1500, 0, 2400, 0, 2400, 640, 0, 640).rounded("SINK", 800, -20, 1500, 450, 1).line("FINISHED", 0, 0, 800, 0).line("FINISHED", 1500, 0, 2400, 0).
			box("CABINET", 0, 38, 2400, 640), nil, nil, nil, "inside the sink nothing stands out"},
	})
	// The remedy: the stone reaches farther.
	s := new(scene).area("COUNTER", 0, -20, 2400, -20, 2400, 640, 0, 640).line("FINISHED", 0, -20, 2400, -20).box("CABINET", 0, -20, 2370, 640)
	if got := of(s.flagsOf(t, drawn{}, nil), "cabinet-proud"); len(got) > 0 {
		t.Error(told(got))
	}
}

// Sinks across the side of a cabinet.
func TestSinkOverCabinetSide(t *testing.T) {
	with := func(x1, x2 float64) *scene { return straightTop().rounded("SINK", x1, 120, x2, 520, 20) }
	runScenes(t, "sink-over-cabinet-side", []sceneCase{
		{"in its cabinet", with(850, 1550).box("CABINET", 800, 38, 1600, 640), nil, nil, nil, "800 to 1600"},
		{"40 mm over its side", with(850, 1640).box("CABINET", 800, 38, 1600, 640), nil, warnings(40, 1620, 320),
			[]string{"The sink A-1 stands over the side of a cabinet at (1600, 320) and reaches 40 mm past it", "Move the sink or the cabinet 40 mm"}, "1640 - 1600"},
		{"as far as it may", with(850, 1603.2).box("CABINET", 800, 38, 1600, 640), nil, nil, nil, "3.2 mm passes"},
		{"between two cabinets", with(850, 1640).box("CABINET", 800, 38, 1600, 640).box("CABINET", 1600, 38, 2200, 640), nil, warnings(40, 1620, 320), nil, "one side for both"},
		{"between two with a filler", with(850, 1660).box("CABINET", 800, 38, 1600, 640).box("CABINET", 1620, 38, 2200, 640), nil, warnings(60, 1630, 320), nil, "it has to pass both: 1660 - 1600"},
		{"over two sides", with(780, 1640).box("CABINET", 800, 38, 1600, 640), nil, warnings(40, 1620, 320, 20, 790, 320), nil, "by hand"},
		{"over its back", with(850, 1550).box("CABINET", 800, 38, 1600, 500), nil, nil, nil, "along the sink's long side"},
		{"island, back to back", with(850, 1550).box("CABINET", 800, 38, 1600, 500).box("CABINET", 800, 500, 1600, 640), nil, warnings(20, 1200, 510), nil, "520 - 500"},
		{"apron sink over the front", new(scene).area("COUNTER", 0, 0, 850, 0, 850, 450, 1550, 450, 1550, 0, 2400, 0, 2400, 640, 0, 640).rounded("SINK", 850, -40, 1550, 450, 1).box("CABINET", 800, 38, 1600, 640), nil, nil, nil, "its design"},
		{"into a dishwasher", with(850, 1640).box("CABINET", 0, 38, 2400, 640).box("DISHWASHER", 1600, 38, 2200, 640), nil, warnings(40, 1620, 320), nil, "the opening has a side too"},
		{"a panel drawn as a line", with(850, 1640).line("CABINET", 1600, 38, 1600, 640), nil, warnings(40, 1620, 320), nil, "by hand"},
		{"no cabinets", with(850, 1640), nil, nil, nil, "nothing is across"},
	})
	if got := of(with(810, 1600).box("CABINET", 800, 38, 1600, 640).flagsOf(t, drawn{}, nil), "sink-over-cabinet-side"); len(got) > 0 {
		t.Error("moved by 40 mm:", told(got))
	}
}

// Cooktops near walls.
func TestCooktopNearWall(t *testing.T) {
	with := func(x, back float64) *scene {
		return straightTop().rounded("COOKTOP", x, 80, x+560, back, 10).line("WALL", 0, 0, 0, 640, 2400, 640)
	}
	runScenes(t, "cooktop-near-wall", []sceneCase{
		{"80 mm before the wall", with(900, 560), nil, nil, nil, "640 - 560"},
		{"as near as it may lie", with(900, 590), nil, nil, nil, "50 mm passes"},
		{"30 mm before the wall", with(900, 610), nil, warnings(30, 1180, 625), []string{"The cooktop A-1 lies 30 mm from the wall at (1180, 640); at least 50 mm is usual", "Move the cooktop 20 mm away from the wall"}, "640 - 610"},
		{"beside a wall too", with(20, 610), nil, warnings(30, 300, 625, 20, 10, 345), nil, "by hand"},
		{"a wall that stands 5 mm off the stone", straightTop().rounded("COOKTOP", 900, 80, 1460, 610, 10).line("WALL", -500, 645, 3000, 645), nil, warnings(35, 1180, 627.5), nil, "645 - 610"},
		{"no wall", straightTop().rounded("COOKTOP", 900, 80, 1460, 610, 10), nil, nil, nil, "nothing is near"},
		{"round, to a wall", straightTop().hole("COOKTOP", 1200, 400, 400).line("WALL", 0, 640, 2400, 640), nil, warnings(40, 1200, 620), nil, "640 - 400 - 200"},
		{"another limit", with(900, 610), func(s *settings.Settings) { s.Rules.CooktopWall = 30 }, nil, nil, "equal passes"},
	})
	if got := of(with(900, 590).flagsOf(t, drawn{}, nil), "cooktop-near-wall"); len(got) > 0 {
		t.Error("moved by 20 mm:", told(got))
	}
}

// Splashes against the edges they stand on.
func TestSplashDiffers(t *testing.T) {
	walls := func() *scene { return straightTop().line("WALL", 0, 640, 2400, 640) }
	corner := func() *scene { return straightTop().line("WALL", 0, 0, 0, 640, 2400, 640) }
	splash := func(s *scene, lengths ...float64) *scene {
		for i, l := range lengths {
			s.box("SPLASH", 0, 2000+300*float64(i), l, 2100+300*float64(i))
		}
		return s
	}
	one := func(off, length float64) []sceneWant { return warnings(off, length/2, 2050) }
	runScenes(t, "splash-differs", []sceneCase{
		{"as long as the wall", splash(walls(), 2400), nil, nil, nil, "by hand"},
		{"100 mm short", splash(walls(), 2300), nil, one(100, 2300), []string{"Splash A is 2300 mm long", "it is 100 mm shorter than the nearest", "draw it 2400 mm long"}, "by hand"},
		{"100 mm long", splash(walls(), 2500), nil, one(100, 2500), []string{"100 mm longer"}, "by hand"},
		{"as far off as it may be", splash(walls(), 2396.8), nil, nil, nil, "3.2 mm passes"},
		{"in two", splash(walls(), 1400, 1000), nil, nil, nil, "1400 + 1000"},
		{"in three", splash(walls(), 1200, 800, 400), nil, nil, nil, "1200 + 800 + 400"},
		{"behind another one", splash(corner(), 2370, 640), nil, nil, nil, "2400 - 30; 640"},
		{"side behind the front", splash(corner(), 2400, 610-35), nil, nil, nil, "640 - 30 - 35"},
		{"side much shorter", splash(corner(), 2400, 560), nil, warnings(10, 280, 2350), nil, "640 - 30 - 40 = 570"},
		{"on stretches of two tops", splash(new(scene).box("COUNTER", 0, 0, 1000, 640).box("COUNTER", 1000, 0, 2400, 640).line("SEAM", 1000, 0, 1000, 640).line("WALL", 0, 640, 2400, 640), 2400), nil, nil, nil, "1000 + 1400"},
		{"on one of them", splash(new(scene).box("COUNTER", 0, 0, 1000, 640).box("COUNTER", 1000, 0, 2400, 640).line("SEAM", 1000, 0, 1000, 640).line("WALL", 0, 640, 2400, 640), 1400), nil, nil, nil, "by hand"},
		{"no walls drawn", splash(straightTop(), 2400), nil, nil, nil, "the edges that are neither finished nor at a seam"},
		{"no walls drawn, and none as long", splash(straightTop(), 2200), nil, one(140, 2200), nil, "2400 - 2 x 30 - 2200: splashes may stand at both ends"},
		{"as wide as a stretch, and upright", splash(new(scene).box("COUNTER", 0, 0, 400, 640).line("WALL", 0, 640, 400, 640)).box("SPLASH", 0, 2000, 400, 2600), nil, nil, nil, "400 x 600, full height"},
		{"along a curved wall", splash(new(scene).bowed().bow("WALL", 100), 2*7250*math.Asin(1200.0/7250)), nil, nil, nil, "its length along the arc"},
	})
	s := splash(new(scene), 2400)
	r := s.flagsOf(t, drawn{}, nil)
	found := false
	for _, u := range r.Unchecked {
		found = found || u.Rule == "splash-differs"
	}
	if !found {
		t.Error("a splash without a top is not told as unchecked")
	}
}
