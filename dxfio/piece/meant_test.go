package piece

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// What is drawn closed is meant, however small: areas by hand.
func TestClosedIsMeant(t *testing.T) {
	const top = "COUNTER: 0,0 2400,0 2400,640 0,640 close\n"
	const whole = 2400 * 640.0
	square := func(layer string, x, y, w, h float64, how string) string {
		s := fmt.Sprintf("%s: %g,%g %g,%g %g,%g %g,%g ", layer, x, y, x+w, y, x+w, y+h, x, y+h)
		if how == "loose" {
			s += fmt.Sprintf("%g,%g ", x, y)
		}
		return s + how + "\n"
	}
	type tc struct {
		name, text string
		out        float64 // area in mm2 less than the whole top
		cutouts    int
	}
	var cases []tc
	for _, d := range []float64{1, 2, 4, 6, 8, 11} {
		for _, layer := range []string{"TAP HOLE", "COUNTER"} {
			cases = append(cases, tc{fmt.Sprintf("a hole of %g mm on %s", d, layer), top + fmt.Sprintf("%s: circle 1200,60 d%g", layer, d), math.Pi * d * d / 4, 1})
		}
	}
	for _, how := range []string{"close", "loose"} {
		for _, layer := range []string{"CUTOUT", "COUNTER"} {
			cases = append(cases,
				tc{"a square of 5 mm " + how + " on " + layer, top + square(layer, 1000, 300, 5, 5, how), 25, 1},
				tc{"a square of 1.5 mm " + how + " on " + layer, top + square(layer, 1000, 300, 1.5, 1.5, how), 2.25, 1},
				tc{"a slot of 0.8 mm " + how + " on " + layer, top + square(layer, 1000, 300, 200, 0.8, how), 160, 1},
				tc{"a short slot of 1 mm " + how + " on " + layer, top + square(layer, 1000, 300, 12, 1, how), 12, 1})
		}
		cases = append(cases, tc{"a square of 5 mm over the edge " + how, top + square("CUTOUT", 1000, -2.5, 5, 5, how), 12.5, 1})
	}
	cases = append(cases,
		tc{"a slot of 0.3 mm", top + square("CUTOUT", 1000, 300, 200, 0.3, "close"), 60, 1},
		tc{"a notch of 5 mm in the outline", "COUNTER: 0,0 1000,0 1000,5 1005,5 1005,0 2400,0 2400,640 0,640 close", 25, 0},
		tc{"a notch of 2 mm in separate lines", "COUNTER: 0,0 1000,0 1000,2 1002,2 1002,0 2400,0 2400,640 0,640 0,0 loose", 4, 0},
		tc{"corners clipped by 3 mm", "COUNTER: 3,0 2400,0 2400,640 0,640 0,3 close", 4.5, 0},
		tc{"corners clipped by 3 mm, separate lines", "COUNTER: 3,0 2400,0 2400,640 0,640 0,3 3,0 loose", 4.5, 0},
		tc{"a clip drawn as a cutout", top + "CUTOUT: 0,0 3,0 0,3 close", 4.5, 1},
		tc{"a clip drawn as a cutout past the corner", top + "CUTOUT: -1,-1 4,-1 -1,4 close", 4.5, 1},
		tc{"a hole of 6 mm in eight chords", top + "CUTOUT: " + ring(1200, 60, 3, 8) + " close", 8 * 0.5 * 9 * math.Sqrt2 / 2, 1},
	)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := build(t, c.text)
			if len(got.Pieces) != 1 {
				t.Fatalf("%d pieces; %s", len(got.Pieces), summary(got))
			}
			if p := got.Pieces[0]; len(p.Cutouts) != c.cutouts || math.Abs(whole-p.NetArea()-c.out) > 1e-6 {
				t.Errorf("%d cutouts, %g mm2 less, want %d and %g; %s %v", len(p.Cutouts), whole-p.NetArea(), c.cutouts, c.out, summary(got), got.Repairs)
			}
		})
	}
}

// ring is a polygon of n corners on a circle.
func ring(x, y, r float64, n int) string {
	var s strings.Builder
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		fmt.Fprintf(&s, "%.9f,%.9f ", x+r*cos, y+r*sin)
	}
	return s.String()
}

// A line across a corner is no noise: what it cuts off is a piece of its own, which
// somebody is asked about, and is cut.
func TestLineAcrossACornerIsCut(t *testing.T) {
	got := build(t, "COUNTER: 0,0 2400,0 2400,640 0,640 close\nCOUNTER: 3,0 0,3 loose")
	if len(got.Pieces) != 2 || summary(got) != "seam-assumed@COUNTER" {
		t.Fatalf("%d pieces; %s", len(got.Pieces), summary(got))
	}
	near(t, "area", got.Pieces[0].NetArea()+got.Pieces[1].NetArea(), 2400*640)
}

// A hole drawn in a sink so near to its side that the two become one line there is told
// as one that lies free in it is.
func TestHoleAtASinksSideIsTold(t *testing.T) {
	for _, y := range []string{"482", "482.5", "482.7"} {
		got := build(t, "COUNTER: 0,0 2400,0 2400,640 0,640 close\nSINK: 600,120 1200,120 1200,500 600,500 close\nHOLE: circle 900,"+y+" d35")
		if s := summary(got); s != "stray-curve@HOLE" || len(got.Pieces[0].Cutouts) != 1 {
			t.Errorf("%s: %s, %d cutouts", y, s, len(got.Pieces[0].Cutouts))
		}
	}
}

// A side that bows out through the opposite one crosses it, though what it makes there is as
// small as a sliver: the rest would fall apart in three pieces.
func TestASideThatBowsThroughAnother(t *testing.T) {
	got := build(t, "COUNTER: 2200,300 2264,300 2264,1276 2200,1276^-0.1325 close\nCOUNTER: 0,0 2000,0 2000,640 0,640 close")
	if s := summary(got); !strings.Contains(s, "self-crossing@COUNTER") {
		t.Errorf("%d pieces; %s", len(got.Pieces), s)
	}
}
