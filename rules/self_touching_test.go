package rules

import (
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

// One closed line that touches itself in a point comes apart there, and is a stop at
// that point; lines of their own that touch, a spike and a line in to a hole are not.
func TestOutlinesThatTouchThemselves(t *testing.T) {
	for _, c := range []struct {
		name, drawing string
		at            *geom.Point
	}{
		{"hourglass", "COUNTER 0,0 1000,0 500,300 1000,600 0,600 500,300 close", &geom.Point{X: 500, Y: 300}},
		{"a corner on the other side", "COUNTER 0,0 2000,0 2000,600 1200,600 1000,0 800,600 0,600 close", &geom.Point{X: 1000, Y: 0}},
		{"a ring that closes in a point", "COUNTER 0,0 2000,0 2000,900 1000,900 1400,300 600,300 1000,900 0,900 close", &geom.Point{X: 1000, Y: 900}},
		{"hourglass of loose lines", "COUNTER loose 0,0 1000,600 1000,0 0,600 close", &geom.Point{X: 500, Y: 300}},
		{"hourglass of lines that end at the crossing", "COUNTER loose 0,0 500,300 0,600 close; COUNTER loose 1000,0 500,300 1000,600 close", &geom.Point{X: 500, Y: 300}},
		{"hourglass of one whole line and two halves", "COUNTER loose 0,0 1000,600 1000,0 500,300; COUNTER loose 500,300 0,600 0,0", &geom.Point{X: 500, Y: 300}},
		{"tops of loose lines side by side", "COUNTER loose 0,0 1000,0 1000,600 0,600 close; COUNTER loose 1000,0 2000,0 2000,500 1000,500 close", nil},
		{"four tops around a corner", "COUNTER loose 0,0 2000,0 2000,1200 0,1200 close; COUNTER loose 1000,0 1000,1200; COUNTER loose 0,600 2000,600", nil},
		{"two tops corner to corner", "COUNTER 0,0 1000,0 1000,600 0,600 close; COUNTER 1000,600 2000,600 2000,1200 1000,1200 close", nil},
		{"two tops side by side", "COUNTER 0,0 1000,0 1000,600 0,600 close; COUNTER 1000,0 2000,0 2000,600 1000,600 close", nil},
		{"a spike", "COUNTER 0,0 1000,0 1000,-400 1000,0 2400,0 2400,640 0,640 close", nil},
		{"a line in to a hole and back", "COUNTER 0,0 2400,0 2400,640 1200,640 1200,500 1500,500 1500,200 900,200 900,500 1200,500 1200,640 0,640 close", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			flags, _ := check(t, selfCrossing(), input(drawn(t, c.drawing)))
			switch {
			case c.at == nil && len(flags) > 0:
				t.Errorf("not silent:\n%s", listed(flags))
			case c.at != nil && (len(flags) != 1 || flags[0].At.Distance(*c.at) > 1e-6 || !(strings.Contains(flags[0].Message, "itself") || strings.Contains(flags[0].Message, "comes together in a point"))):
				t.Errorf("want one at %v:\n%s", *c.at, listed(flags))
			}
		})
	}
}
