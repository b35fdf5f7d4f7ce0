package rules

import (
	"math"
	"testing"
)

func TestUnfinishedCorner(t *testing.T) {
	const quarter = "^0.414213562373095"
	rounded := "outline 0,0 2350,0" + quarter + " 2400,50 2400,640 0,640; finished 1; finished 3"
	mid := 2350 + 50*math.Sqrt2/2
	runCases(t, unfinishedCorner(), []ruleCase{
		{"round between two finished edges", rounded, nil, []want{{Warn, 50 * math.Pi / 2, 0, at(mid, 50-50*math.Sqrt2/2), 50 * math.Pi / 2, "radius 50 mm, 78.5 mm long"}}, "a quarter of 2 pi 50"},
		{"marked too", rounded + "; finished 2", nil, nil, "all three are finished"},
		{"one neighbour is unmarked", "outline 0,0 2350,0" + quarter + " 2400,50 2400,640 0,640; finished 1", nil, nil, "the corner may end the finish"},
		{"the neighbour stands against a wall", "outline 0,0 2350,0" + quarter + " 2400,50 2400,640 0,640; finished 1; wall 3", nil, nil, "nobody sees the wall's edge"},
		{"a hair of a round", "outline 0,0 2397,0" + quarter + " 2400,3 2400,640 0,640; finished 1; finished 3", nil, nil, "a quarter of 2 pi 3 is 4.7 mm"},
		{"clipped corner", "outline 0,0 2350,0 2400,50 2400,640 0,640; finished 1; finished 3", nil, []want{{Warn, 50 * math.Sqrt2, 0, at(2375, 25), 0, "70.7 mm long"}}, "50 sqrt 2"},
		{"too long for a clip: a side", "outline 0,0 2340,0 2400,60 2400,640 0,640; finished 1; finished 3", nil, nil, "60 sqrt 2 = 84.9 mm"},
		{"a step, not a clip", "outline 0,0 1200,0 1200,-40 2400,-40 2400,640 0,640; finished 1; finished 3", nil, nil, "it bends in and out"},
		{"a rounded step", "outline 0,0 1188,0^-0.414213562373095 1200,-12 1200,-40 2400,-40 2400,640 0,640; finished 1; finished 4", nil, nil, "the riser runs on from its round"},
		{"inside round of an L", "outline 0,0 2400,0 2400,650 670,650^-0.414213562373095 650,670 650,1850 0,1850; finished 3; finished 5", nil,
			[]want{{Warn, 20 * math.Pi / 2, 0, at(670-20*math.Sqrt2/2, 670-20*math.Sqrt2/2), 0, "radius 20 mm"}}, "a quarter of 2 pi 20"},
		{"two arcs are one corner", "outline 0,0 2300,0^0.198912367379658 2370.710678,29.289322^0.198912367379658 2400,100 2400,640 0,640; finished 1; finished 4", nil,
			[]want{{Warn, 100 * math.Pi / 2, 0, at(2370.710678, 29.289322), 0, "157.1 mm long"}}, "two eighths of 2 pi 100"},
		{"the round end of a top that is finished all around else", "outline 0,0 2000,0^1 2000,640 0,640; finished 1; finished 3; finished 4", nil,
			[]want{{Warn, 320 * math.Pi, 0, at(2320, 320), 0, "radius 320 mm"}}, "half of 2 pi 320"},
	})
}
