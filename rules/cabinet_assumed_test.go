package rules

import (
	"math"
	"strings"
	"testing"
)

// A cabinet drawn as its front line is told as assumed; figures by hand.
func TestCabinetAssumed(t *testing.T) {
	const top = "COUNTER 0,0 2400,0 2400,640 0,640 close; FINISHED 0,0 2400,0; WALL 0,640 2400,640; "
	for _, c := range []struct {
		name, drawing string
		deep, long    float64 // mm; 0: no flag
	}{
		{"a front line before a wall", top + "CABINET 0,30 2400,30", 610, 2400},
		{"two cabinets", top + "UNTERSCHRANK 0,30 900,30; UNTERSCHRANK 900,30 2400,30", 610, 2400},
		{"half of the run", top + "CABINET 0,38 1200,38", 602, 1200},
		{"a bracket", top + "BRACKET 0,30 2400,30", 0, 0},
		{"a back", top + "CABINET-BACK 0,30 2400,30", 0, 0},
		{"a cabinet with all its sides", top + "CABINET 0,30 2400,30 2400,640 0,640 close", 0, 0},
		{"shorter than it would be deep", top + "CABINET 0,30 450,30", 0, 0},
		{"aslant by 5 degrees", top + "CABINET 0,30 2400,240", 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			flags, _ := check(t, cabinetAssumed(), input(drawn(t, c.drawing)))
			if c.deep == 0 {
				if len(flags) > 0 {
					t.Errorf("told:\n%s", listed(flags))
				}
				return
			}
			if len(flags) != 1 || math.Abs(flags[0].Measured-c.deep) > 0.01 || math.Abs(flags[0].Stretch-c.long) > 0.01 || flags[0].Severity != Warn || !strings.Contains(flags[0].Message, "taken to reach back") {
				t.Errorf("want %g deep over %g:\n%s", c.deep, c.long, listed(flags))
			}
		})
	}
}
