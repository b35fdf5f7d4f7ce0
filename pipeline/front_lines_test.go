package pipeline

import (
	"testing"

	"trueup/pipeline/settings"
	"trueup/report"
	"trueup/rules"
)

// A cabinet drawn as its front line reaches back to the wall, and the report says that
// this was taken so. A line that may be anything else carries as a line.
func TestFrontLines(t *testing.T) {
	top := func() *scene {
		return straightTop().line("FINISHED", 0, 0, 2400, 0).line("WALL", 0, 640, 2400, 640)
	}
	one := func(deep, x, y float64) []sceneWant { return []sceneWant{{rules.Warn, deep, pt(x, y)}} }
	runScenes(t, "cabinet-assumed", []sceneCase{
		{"along the front, a wall behind", top().line("CABINET", 0, 30, 2400, 30), nil, one(610, 1200, 335),
			[]string{"Under piece A only the front of the cabinets is drawn, one line of 2400 mm on layer CABINET", "reach back to the edge behind, 610 mm at (1200, 335)", "closed areas"}, "640 - 30"},
		{"a line a cabinet", top().line("BASE CABINETS", 0, 30, 900, 30).line("BASE CABINETS", 900, 30, 1350, 30).line("BASE CABINETS", 1350, 30, 2400, 30), nil, one(610, 1875, 335), []string{"3 lines of 2400 mm"}, "by hand"},
		{"no wall drawn, the front finished", straightTop().line("FINISHED", 0, 0, 2400, 0).line("CABINET", 0, 30, 2400, 30), nil, one(610, 1200, 335), nil, "the back is where nothing is said"},
		{"a dishwasher between", top().line("CABINET", 0, 38, 2400, 38).box("DISHWASHER", 900, 38, 1500, 640), nil, one(602, 1200, 339), nil, "640 - 38"},
		{"nothing says where the front is", straightTop().line("CABINET", 0, 30, 2400, 30), nil, nil, nil, "no marks at all"},
		{"finished all round", straightTop().line("FINISHED", 0, 0, 2400, 0, 2400, 640, 0, 640, 0, 0).line("CABINET", 0, 30, 2400, 30), nil, nil, nil, "an island's back shows"},
		{"a rail", top().line("SUPPORT RAIL", 0, 30, 2400, 30), nil, nil, nil, "a rail has no back"},
		{"a panel beside the end", new(scene).box("COUNTER", 0, 0, 690, 640).line("FINISHED", 0, 0, 690, 0, 690, 640).line("WALL", 0, 0, 0, 640, 690, 640).line("CABINET", 670, 60, 670, 640), nil, nil, nil, "580 long, 670 before the wall"},
		{"a deep bar", new(scene).box("COUNTER", 0, 0, 2400, 900).line("FINISHED", 0, 0, 2400, 0).line("WALL", 0, 900, 2400, 900).line("CABINET", 0, 30, 2400, 30), nil, nil, nil, "870 mm are no cabinet"},
		{"behind the middle", top().line("CABINET", 0, 400, 2400, 400), nil, nil, nil, "a back panel"},
		{"in a cabinet that is drawn", top().box("CABINET", 0, 30, 2400, 640).line("CABINET", 0, 90, 2400, 90), nil, nil, nil, "the toe kick"},
		{"a line is only a line here", top().line("CABINET", 0, 30, 2400, 30), func(s *settings.Settings) { s.Pieces.FrontLine = 0 }, nil, nil, "by settings"},
	})
}

// What a cabinet drawn as its front line carries is ready; what reaches past it hangs.
func TestFrontLinesCarry(t *testing.T) {
	corner := func() *scene {
		return new(scene).area("COUNTER", 0, 0, 2400, 0, 2400, 640, 655, 640, 640, 655, 640, 1340, 0, 1340).line("WALL", 0, 1340, 0, 0, 2400, 0).line("FINISHED", 2400, 640, 655, 640)
	}
	top := func() *scene {
		return straightTop().line("FINISHED", 0, 0, 2400, 0).line("WALL", 0, 640, 2400, 640)
	}
	for _, tc := range []struct {
		name  string
		scene *scene
		stop  string
	}{
		{"straight", top().line("CABINET", 0, 30, 2400, 30), ""},
		{"with a dishwasher", top().line("CABINET", 0, 30, 2400, 30).box("DISHWASHER", 900, 30, 1500, 640), ""},
		{"round a corner", corner().line("CABINET", 2400, 610, 610, 610, 610, 1340), ""},
		{"a seam over it", straightTop().line("FINISHED", 0, 0, 2400, 0).line("WALL", 0, 640, 2400, 640).line("SEAM", 1200, 0, 1200, 640).line("CABINET", 0, 30, 2400, 30), ""},
		{"the end hangs", top().line("CABINET", 0, 30, 2000, 30), "overhang"},
		{"a range too wide", top().line("CABINET", 0, 30, 2400, 30).box("OPENING", 700, 30, 1700, 640), "unsupported-span"},
		{"nothing says where the front is", straightTop().line("CABINET", 0, 30, 2400, 30), "overhang"},
		{"two panels of 1100", new(scene).box("COUNTER", 0, 0, 1100, 640).line("FINISHED", 0, 0, 1100, 0, 1100, 640).line("WALL", 0, 0, 0, 640, 1100, 640).line("CABINET", 20, 0, 20, 640).line("CABINET", 1080, 0, 1080, 640), "unsupported-span"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, w := range append(drawnWays(), drawn{name: "as drawn"}) {
				r := tc.scene.flagsOf(t, w, nil)
				if tc.stop == "" && r.Verdict != report.Ready || tc.stop != "" && len(of(r, tc.stop)) == 0 {
					t.Errorf("%s: %s, %s", w.name, r.Verdict, told(r.Flags))
				}
			}
		})
	}
}
