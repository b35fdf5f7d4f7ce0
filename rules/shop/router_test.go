package shop

import "testing"

// What is left for the router is told by its kinds, which add up. By hand, with
// short3cm at each inside corner of the blade (chord of a circle): an L with a
// rounded front corner and a notch of 30 x 40 mm.
func TestRouterLeftByKind(t *testing.T) {
	const quarter = 78.53981634 // a quarter circle of radius 50
	for _, tc := range []struct {
		name, text                string
		corners, arcs, shortLines float64
	}{
		{"straight top", "COUNTER: 0,0 2400,0 2400,650 0,650 close", 0, 0, 0},
		{"rounded corner", "COUNTER: 0,0 2350,0^0.41421356237 2400,50 2400,650 0,650 close", 0, quarter, 0},
		{"inside corner and arc", "COUNTER: 0,0 2350,0^0.41421356237 2400,50 2400,650 650,650 650,1850 0,1850 close", 2 * short3cm, quarter, 0},
		// The clip of 30 mm is shorter than the shortest cut of 50 mm, a default.
		{"short clip", "COUNTER: 0,0 2400,0 2400,620 2370,620 2370,650 0,650 close", 30 + 30, 0, 0},
		{"short clip of an outside corner", "COUNTER: 0,0 2380,0 2400,20 2400,650 0,650 close", 0, 0, 28.28427125},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, s := onePiece(t, tc.text)
			near(t, "inside corners", s.RouterCorners, tc.corners, 1e-6)
			near(t, "arcs", s.RouterArcs, tc.arcs, 1e-6)
			near(t, "straights", s.RouterStraights, tc.shortLines, 1e-6)
			near(t, "all", s.RouterCorners+s.RouterArcs+s.RouterStraights, s.RouterLeft, 1e-9)
		})
	}
}

// What goes by hand takes the polisher no minutes; those of its passes add up to
// the piece's.
func TestHandWorkTakesNoPolisherMinutes(t *testing.T) {
	_, s := onePiece(t, "COUNTER: 0,0 2400,0 2400,600 2350,650 0,650 close\nFINISHED: 0,0 2400,0 2400,600 2350,650")
	if len(s.Polish) != 3 {
		t.Fatalf("%d sides", len(s.Polish))
	}
	sum, hand := 0.0, 0
	for _, p := range s.Polish {
		sum += p.FeedMinutes
		if p.HandWork != "" {
			hand++
			near(t, "minutes by hand", p.Minutes+p.FeedMinutes, 0, 0)
		}
	}
	if hand != 1 {
		t.Errorf("%d sides by hand, want the clip of 71 mm", hand)
	}
	near(t, "polisher", sum, s.PolishMinutes, 1e-12)
}
