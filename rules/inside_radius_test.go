package rules

import "testing"

func TestInsideRadius(t *testing.T) {
	runCases(t, insideRadius(), []ruleCase{
		{"sharp sink corners", top + "sink 800,100 1560,500", nil, []want{
			{Stop, 0, 9.525, at(800, 100), 0, "is sharp"}, {Stop, 0, 9.525, at(1560, 100), 0, ""}, {Stop, 0, 9.525, at(1560, 500), 0, ""}, {Stop, 0, 9.525, at(800, 500), 0, ""}}, "by hand"},
		{"nominal 3/8 in", top + "sink 800,100 1560,500 r9.525", nil, nil, "3/8 in = 9.525 mm"},
		{"9.5 passes by the grace", top + "sink 800,100 1560,500 r9.5", nil, nil, "grace 0.05: 9.525 - 9.5 = 0.025"},
		{"9.4 does not", "outline 0,0 1000,0 1000,600 0,600 r9.4; sink 300,100 700,500 r9.4", nil, []want{
			{Stop, 9.4, 9.525, nil, 0, "9.4 mm"}, {Stop, 9.4, 9.525, nil, 0, ""}, {Stop, 9.4, 9.525, nil, 0, ""}, {Stop, 9.4, 9.525, nil, 0, ""}}, "outside roundings do not count"},
		{"one inside corner of an L", "outline 0,0 2400,0 2400,650 650,650 650,1850 0,1850", nil, []want{{Stop, 0, 9.525, at(650, 650), 0, "outline"}}, "by hand"},
		{"arc in the inside corner of an L", "outline 0,0 2400,0 2400,650 656,650^-0.41421356237 650,656 650,1850 0,1850", nil,
			[]want{{Stop, 6, 9.525, at(651.757359, 651.757359), 0, "6 mm"}}, "quarter of radius 6: its middle lies 6 (1 - 1/sqrt 2) = 1.757359 from both lines"},
		{"warning of the material", top + "sink 800,100 1560,500 r11", func(in *Input) { in.Settings.InsideRadius = 12 }, []want{
			{Warn, 11, 12, nil, 0, "11 mm"}, {Warn, 11, 12, nil, 0, ""}, {Warn, 11, 12, nil, 0, ""}, {Warn, 11, 12, nil, 0, ""}}, "settings"},
		{"round hole is drilled", top + "hole 1200,300 d12", nil, nil, "12 mm hole has a radius of 6, but no corner"},
		{"slight bend of a wall", "outline 0,0 2400,0 2400,640 1200,635 0,640", nil, nil, "turns by 0.5 degrees"},
		{"a bend that a rounding hardly notices", "outline 0,0 2400,0 2400,640 1200,520 0,640", nil, nil, "turns by 11.4 degrees: 9.525 (1/cos 5.7 - 1) = 0.047 mm"},
		{"a bend that it does", "outline 0,0 2400,0 2400,640 1200,500 0,640", nil, []want{{Stop, 0, 9.525, at(1200, 500), 0, "is sharp"}},
			"turns by 13.3 degrees: 9.525 (1/cos 6.65 - 1) = 0.065 mm"},
		{"notch for a column", "outline 0,0 2400,0 2400,640 1300,640 1300,560 1200,560 1200,640 0,640", nil,
			[]want{{Stop, 0, 9.525, at(1300, 560), 0, ""}, {Stop, 0, 9.525, at(1200, 560), 0, ""}}, "two corners, 100 apart"},
		{"rounding drawn with chords is one corner", "outline 0,0 2400,0 2400,650 660,650 655,651.33975 651.33975,655 650,660 650,1850 0,1850", nil,
			[]want{{Stop, 0, 9.525, nil, 0, "is sharp"}}, "radius 10 in three chords of 30 degrees"},
		{"compound rounding is one corner", "outline 0,0 2400,0 2400,650 660,650^-0.19891237 652.928932,652.928932^-0.19891237 650,660 650,1850 0,1850", nil, nil,
			"two eighths of radius 10"},
	})
}
