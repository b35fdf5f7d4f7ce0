package rules

import (
	"strings"
	"testing"
)

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
			[]want{{Stop, 6.359660, 15, at(1180, 140), 0, "feather of 6.4 degrees"}}, "2 atan(20/360)"},
		// It was a warning, and the advice was to round the point: a hole in the joint.
		{"butt seam into the round of an inside corner", "outline 0,650 670,650^-0.414213562373095 650,670 650,1850 0,1850; seam 1", nil,
			[]want{{Stop, 0, 15, at(670, 650), 0, "feather of 0 degrees"}}, "the seam is tangent to the arc"},
		{"at the limit of a feather", "outline 0,0 1000,0 0,267.949192431123", nil, []want{{Warn, 15, 45, at(1000, 0), 0, "15 degrees"}}, "tan 15 = 0.267949: equal passes the stop"},
		{"feathers only warned of", "outline 0,0 1000,0 0,100", func(in *Input) { in.Settings.SharpStop = 0 }, []want{{Warn, 5.710593, 45, at(1000, 0), 0, ""}}, "atan 0.1"},
	})
}

// A point at the end of a seam is not rounded: what the remedy says depends on
// what the seam runs into.
func TestSharpPointAtSeamRemedy(t *testing.T) {
	for _, c := range []struct{ name, drawing, says, not string }{
		{"into a rounding", "outline 0,650 670,650^-0.414213562373095 650,670 650,1850 0,1850; seam 1", "Move the seam at least 20 mm sideways, off the rounding to (650, 670), or mitre it", "Round the point"},
		{"into the middle of it, 25.8 degrees", "outline 0,652 661.282202112919,652^-0.2792 650,670 650,1850 0,1850; seam 1", "Move the seam at least 18 mm sideways", "Round the point"},
		{"askew to a straight edge", "outline 0,0 1000,0 1800,600 0,600; seam 2", "Turn the seam so that it meets the edge at (1800, 600) in 45 degrees or more", "Round the point"},
		{"no seam", "outline 0,0 400,0 0,300", "Round the point with a radius of 5 mm", "seam"},
	} {
		t.Run(c.name, func(t *testing.T) {
			flags, _ := check(t, sharpPoint(), input(template(t, c.drawing)))
			if len(flags) != 1 || !strings.Contains(flags[0].Remedy, c.says) || strings.Contains(flags[0].Remedy, c.not) {
				t.Errorf("want %q:\n%s", c.says, listed(flags))
			}
		})
	}
}
