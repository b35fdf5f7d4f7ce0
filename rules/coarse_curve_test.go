package rules

import (
	"fmt"
	"maps"
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

// frontBay is a top with a bay of n sides in its front, written as drawn expects it.
func frontBay(n int, side, turnDeg float64) (text string, from, to geom.Point) {
	p := geom.Point{}
	var b strings.Builder
	b.WriteString("COUNTER 0,0")
	for i := range n {
		p = p.Add(geom.Point{X: side}.Rotate((float64(i) - float64(n-1)/2) * turnDeg * math.Pi / 180))
		fmt.Fprintf(&b, " %.9f,%.9f", p.X, p.Y)
	}
	fmt.Fprintf(&b, " %.9f,0 %.9f,1100 -300,1100 -300,0 close;", p.X+300, p.X+300)
	return b.String(), geom.Point{}, p
}

// Bays are cut as drawn and told; small ones that an exporter may have made of an
// arc are that arc, and nothing is told. The remedy, an arc in their place, clears
// the flag. Radius and bulge of a regular run: side/2/sin(turn/2), side/2 tan(turn/4).
func TestCoarseCurve(t *testing.T) {
	for _, c := range []struct {
		name       string
		n          int
		side, turn float64
		told       bool
	}{
		{"bay of four", 4, 585, 22.5, true},
		{"bay of four, turning too far for chords", 4, 300, 30, false},
		{"bay of three", 3, 400, 22.5, false},
		{"bay of six", 6, 200, 10, true},
		{"sides just over the limit", 4, 50, 4 * 180 / math.Pi * math.Atan(2.01/25.0), true},
		{"chords just under it", 4, 50, 4 * 180 / math.Pi * math.Atan(1.99/25.0), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, from, to := frontBay(c.n, c.side, c.turn)
			tpl := drawn(t, text)
			flags, _ := check(t, coarseCurve(), input(tpl))
			if len(flags) > 1 || (len(flags) == 1) != c.told {
				t.Fatalf("told %v:\n%s", c.told, listed(flags))
			}
			if !c.told {
				return
			}
			f := flags[0]
			if want := c.side / 2 * math.Tan(c.turn*math.Pi/720); math.Abs(f.Measured-want) > 1e-5 || f.Limit != 2 || f.Severity != Warn || f.Piece != "A" {
				t.Errorf("want %v: %s", want, listed(flags))
			}
			if sides := len(tpl.Pieces[0].Edges); sides != c.n+5 {
				t.Errorf("%d edges, drawn %d", sides, c.n+5)
			}
			before := ruleIDs(t, tpl)
			// As an arc, as the remedy says: between the ends, n times the turn of a side.
			bulge := math.Tan(float64(c.n) * c.turn * math.Pi / 720)
			arc := drawn(t, fmt.Sprintf("COUNTER 0,0^%.12f %.9f,%.9f %.9f,0 %.9f,1100 -300,1100 -300,0 close", bulge, to.X, to.Y, to.X+300, to.X+300))
			after := ruleIDs(t, arc)
			delete(before, "warn coarse-curve")
			if !maps.Equal(before, after) {
				t.Errorf("from %v: as an arc %v, as sides %v", from, after, before)
			}
		})
	}
}

// Chords that bulge by 1.6 mm over a socket beside them stay, and why is said. The
// remedy, an arc, crosses the socket indeed: somebody has to decide.
func TestCoarseCurveBesideALine(t *testing.T) {
	var b strings.Builder
	b.WriteString("COUNTER")
	for i := range 7 {
		s, c := math.Sincos((270 - 3*7.16 + 7.16*float64(i)) * math.Pi / 180)
		fmt.Fprintf(&b, " %.9f,%.9f", 800*c, 800+800*s)
	}
	b.WriteString(" 1500,1000 -1500,1000 close; COUNTER 45,2.2 55,2.6 55,-200 -300,-200 -300,-100 45,-100 close")
	flags, _ := check(t, coarseCurve(), input(drawn(t, b.String())))
	if want := 800 * (1 - math.Cos(3.58*math.Pi/180)); len(flags) != 1 || math.Abs(flags[0].Measured-want) > 1e-6 || !flags[0].NoLimit || !strings.Contains(flags[0].Message, "over a line beside them") {
		t.Error(listed(flags))
	}
}
