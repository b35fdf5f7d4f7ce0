package rules

import "testing"

func TestSharpPoint(t *testing.T) {
	runCases(t, sharpPoint(), []ruleCase{
		{"right-angled triangle, 3-4-5", "outline 0,0 400,0 0,300", nil, []want{{Warn, 36.869898, 45, at(400, 0), 0, "36.9 degrees"}}, "atan(3/4)"},
		{"45 degrees pass", "outline 0,0 1000,0 1000,600 600,600", nil, nil, "atan 1 = 45: equal passes"},
		{"mitre at a seam", "outline 0,0 1000,0 1500,600 0,600; seam 2", func(in *Input) { in.Settings.SharpPoint = 51 },
			[]want{{Warn, 50.194429, 51, at(1500, 600), 0, ""}}, "atan(600/500); a mitre's point counts"},
		{"rounded point", "outline 0,0 400,0 0,300 r5", nil, nil, "a rounding of 5 mm"},
		{"rounding that nobody notices", "outline 0,0 400,0 0,300 r0.1", nil, []want{{Warn, 36.869898, 45, nil, 0, ""}}, "0.1 mm round 143 degrees is 0.25 mm long"},
		{"clipped point", "outline 0,0 396,0 396,3 0,300", nil, nil, "two corners of 90 and 126.9 degrees"},
		{"between two arcs", "outline 0,0^0.1 1000,0^0.1", nil, []want{{Warn, 22.842377, 45, at(0, 0), 0, ""}, {Warn, 22.842377, 45, at(1000, 0), 0, ""}},
			"tangents at half the included angle: 2 x 2 atan 0.1"},
		{"stone's point in a cutout", top + "cutout 800,100 1600,100 1600,500 1200,500 1180,140 1160,500 800,500", nil,
			[]want{{Warn, 6.359660, 45, at(1180, 140), 0, ""}}, "2 atan(20/360)"},
	})
}
