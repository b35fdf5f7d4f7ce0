package rules

import "testing"

func TestHoleSpacing(t *testing.T) {
	runCases(t, holeSpacing(), []ruleCase{
		{"tap hole near the front edge", top + "hole 1200,40 d35", nil, []want{{Warn, 22.5, 25, at(1200, 11.25), 0, "A-1 and the edge"}}, "by hand: 40 - 35/2"},
		{"equal to the limit", top + "hole 1200,42.5 d35", nil, nil, "the rule's own doc: equal passes"},
		{"front edge bows into the stone", "outline 0,0^-0.02 2400,0 2400,640 0,640; hole 1200,60 d35", nil,
			[]want{{Warn, 18.5, 25, at(1200, 33.25), 0, ""}}, "circular segment: sagitta = |bulge| chord / 2 = 24"},
		{"beside a sink", top + "sink 800,100 1560,500; hole 1180,530 d35", nil, []want{{Warn, 12.5, 25, at(1180, 506.25), 0, "the sink A-1"}}, "by hand: 30 - 35/2"},
		{"beside a sink's rounded corner", top + "sink 800,100 1560,500 r100; hole 1540,480 d35", nil,
			[]want{{Warn, 0, 25, nil, 0, "runs into"}}, "by hand: 80 sqrt 2 - 100 = 13.1 from the arc, less than the radius"},
		{"two holes, once", top + "hole 1000,300 d35; hole 1050,300 d35", nil, []want{{Warn, 15, 25, at(1025, 300), 0, "A-1 and the hole A-2"}}, "by hand: 50 - 35"},
		{"three in a row", top + "hole 1000,300 d35; hole 1050,300 d35; hole 1100,300 d35", nil,
			[]want{{Warn, 15, 25, at(1025, 300), 0, ""}, {Warn, 15, 25, at(1075, 300), 0, ""}}, "by hand"},
		{"touching holes", top + "hole 1000,300 d35; hole 1035,300 d35", nil, []want{{Warn, 0, 25, at(1017.5, 300), 0, "runs into"}}, "the rule's own doc: touching is 0"},
		{"in a corner: the edge once", top + "hole 40,38 d35", nil, []want{{Warn, 20.5, 25, at(40, 10.25), 0, ""}}, "by hand: 38 - 35/2"},
		{"at a seam", top + "hole 2380,300 d35; seam 2", nil, nil, "seam-near-cutout has it"},
		{"behind a sink from the other hole", top + "hole 1000,300 d10; cutout 1006,200 1010,400; hole 1016,300 d10", nil,
			[]want{{Warn, 1, 25, at(1005.5, 300), 0, ""}, {Warn, 1, 25, at(1010.5, 300), 0, ""}}, "by hand: the cutout lies between the two"},
		{"large round cutout is no hole", top + "round 1200,60 d80", nil, nil, "narrow-section has it"},
	})
}
