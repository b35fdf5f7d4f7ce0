package rules

import (
	"math"
	"strings"
	"testing"
)

// A wall beside the top that marks none of its edges was taken for one in use. The
// remedy, the wall on the edge, clears the flag. Distances as drawn.
func TestStrayWall(t *testing.T) {
	const top = "COUNTER 0,0 2400,0 2400,640 0,640 close; "
	for _, c := range []struct {
		name, walls string
		told        []float64 // distances
		says        string
	}{
		{"on the edge", "WALL 0,640 2400,640", nil, ""},
		{"12 mm behind it", "WALL 0,652 2400,652", []float64{12}, "The wall (LWPOLYLINE of 2400 mm on layer WALL) from (0, 652) to (2400, 652) marks no edge: the nearest, edge 3 of piece A, lies 12 mm away, and marks count within 1 mm"},
		{"on the edge, and its other face", "WALL 0,640 2400,640; WALL 0,730 2400,730", nil, ""},
		{"a room around the top", "WALL -500,640 2400,640 2400,-3000 -500,-3000 close", nil, ""},
		{"a room in loose lines", "WALL loose -500,640 2400,640 2400,-3000 -500,-3000 close", nil, ""},
		{"the far wall of a room", "WALL 0,640 2400,640; WALL 0,-2000 2400,-2000", nil, ""},
		{"walls in the wrong place", "WALL 0,2640 2400,2640", []float64{2000}, ""},
		{"a wall that ends at the top", "WALL 2000,640 2000,900; WALL 0,640 2000,640", nil, ""},
		{"a wall that the top goes into", "WALL 2000,500 2000,900", []float64{140}, "from (2000, 500) to (2000, 900) lies in the stone of piece A for 140 mm and marks no edge"},
		{"in the stone beside a finished edge", "FINISHED 0,0 2400,0; WALL 0,640 2400,640; WALL 300,200 1500,200", []float64{1200}, "lies in the stone of piece A for 1200 mm"},
		{"through the stone", "WALL 0,640 2400,640; WALL 1200,-100 1200,900", []float64{640}, "lies in the stone"},
		{"beside a finished edge", "FINISHED 0,0 0,640; WALL -30,0 -30,640; WALL 0,640 2400,640", nil, ""},
		{"beside the end, with the back marked", "WALL -30,0 -30,640; WALL 0,640 2400,640", []float64{30}, "edge 4 of piece A"},
	} {
		t.Run(c.name, func(t *testing.T) {
			flags, _ := check(t, strayWall(), input(drawn(t, top+c.walls)))
			if len(flags) != len(c.told) {
				t.Fatalf("want %v:\n%s", c.told, listed(flags))
			}
			for i, f := range flags {
				if math.Abs(f.Measured-c.told[i]) > 1e-9 || f.Severity != Warn || f.Limit != 1 && !f.NoLimit || !strings.Contains(f.Message+" "+f.Remedy, c.says) {
					t.Errorf("want %v, %q: %s", c.told[i], c.says, listed(flags))
				}
			}
		})
	}
	if flags := Run(input(drawn(t, top+"WALL 0,640 2400,640"))).Flags; ruleIDs(t, drawn(t, top+"WALL 0,640 2400,640"))["warn stray-wall"] > 0 {
		t.Error(listed(flags))
	}
}

// The remedy done, the flag is gone and no other one has come.
func TestRemediesOfMarks(t *testing.T) {
	const top, apron = "COUNTER 0,0 2400,0 2400,640 0,640 close; ", "SINK 800,-20 1500,-20 1500,500^0.41421356237 1480,520 820,520^0.41421356237 800,500 close; "
	for _, c := range []struct {
		rule                  Rule
		name, drawing, mended string
	}{
		{strayWall(), "the wall drawn on the edge", top + "WALL 0,652 2400,652", top + "WALL 0,640 2400,640"},
		{strayWall(), "the wall on an ignored layer", top + "WALL 0,652 2400,652", top},
		{cutoutOverEdge(), "the front marked beside the sink", top + apron + "FINISHED 0,0 0,640", top + apron + "FINISHED 800,0 0,0 0,640; FINISHED 1500,0 2400,0"},
		{cutoutOverEdge(), "the sink moved to the front", "COUNTER 0,0 2400,0 2400,640 0,640 close; " + apron + "FINISHED 0,640 2400,640", top +
			"SINK 800,660 1500,660 1500,140^-0.41421356237 1480,120 820,120^-0.41421356237 800,140 close; FINISHED 0,640 2400,640"},
		{cutoutOverEdge(), "the sink moved into the stone", top + apron + "FINISHED 0,640 2400,640", top +
			"SINK 820,90 1480,90^0.41421356237 1500,110 1500,530^0.41421356237 1480,550 820,550^0.41421356237 800,530 800,110^0.41421356237 close; FINISHED 0,640 2400,640"},
	} {
		before, after := ruleIDs(t, drawn(t, c.drawing)), ruleIDs(t, drawn(t, c.mended))
		if before["warn "+c.rule.ID] != 1 {
			t.Errorf("%s: %v", c.name, before)
		}
		for k, n := range after {
			if n > before[k] || k == "warn "+c.rule.ID {
				t.Errorf("%s: %v, mended %v", c.name, before, after)
			}
		}
	}
}
