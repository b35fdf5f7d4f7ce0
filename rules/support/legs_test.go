package support

import (
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// onLegs is a top on so many legs of 70 mm, square or round, 100 mm from its edges.
func onLegs(width, depth float64, across, along int, round bool) *Model {
	const inset, leg = 100, 70
	t := &piece.Template{Pieces: []piece.Piece{{ID: "A", Thickness: 30, Outline: geom.Polygon(
		geom.Point{}, geom.Point{X: width}, geom.Point{X: width, Y: depth}, geom.Point{Y: depth})}}}
	for i := range across {
		for j := range along {
			x := inset + (width-2*inset)*float64(i)/float64(across-1)
			y := inset + (depth-2*inset)*float64(j)/float64(along-1)
			area := geom.Circle(geom.Point{X: x, Y: y}, leg/2)
			if !round {
				area = geom.Polygon(geom.Point{X: x - leg/2, Y: y - leg/2}, geom.Point{X: x + leg/2, Y: y - leg/2},
					geom.Point{X: x + leg/2, Y: y + leg/2}, geom.Point{X: x - leg/2, Y: y + leg/2})
			}
			t.Supports = append(t.Supports, piece.Support{Area: area})
		}
	}
	return NewSite(t, 80).Piece(&t.Pieces[0])
}

var threeCentimetres = Limits{Span: 914, Cantilever: 254} // Dimension Stone Design Manual 8.0 (2016), ch. 17

// A top on six square legs took 23 s, one on eight ended with the job's time: the
// lines between legs crossed each other thousands of times. The budgets of a search
// are counted, not timed, so that one that is sure of its result has kept within them.
func TestTopsOnLegs(t *testing.T) {
	for _, c := range []struct {
		name          string
		width, depth  float64
		across, along int
	}{
		{"four", 2000, 1000, 2, 2}, {"six", 2400, 1000, 3, 2}, {"eight", 3000, 1100, 4, 2}, {"twelve", 3000, 1200, 4, 3},
	} {
		for _, round := range []bool{false, true} {
			m := onLegs(c.width, c.depth, c.across, c.along, round)
			for _, share := range []float64{0, 1.0 / 3} {
				l := threeCentimetres
				l.Share = share
				// Four legs hold no middle: no straight way from leg to leg runs through it
				// that is within 914 mm, and the nearest edge is more than 254 mm away.
				if r := m.Past(l); !r.Sure || len(r.Places) == 0 {
					t.Errorf("%s legs, round %v, share %v: %d places, sure %v", c.name, round, share, len(r.Places), r.Sure)
				}
			}
			if _, _, looked, sure := m.Worst(threeCentimetres); !looked || !sure {
				t.Errorf("%s legs, round %v: the worst point is not sure", c.name, round)
			}
		}
	}
}

// A hundred legs are given up, and it is said.
func TestTooManyLegs(t *testing.T) {
	m := onLegs(3000, 1500, 14, 7, false)
	if r := m.Past(threeCentimetres); r.Sure {
		t.Errorf("%d places, and sure of it", len(r.Places))
	}
}

// Lines that are left out carry nothing within the limits: of every point the same
// is said as with all lines.
func TestLinesLeftOutHelpNothingWithinLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 8))
	for _, round := range []bool{false, true} {
		m := onLegs(2000, 1000, 5, 3, round)
		some := m.helping(threeCentimetres)
		if len(some.lines) >= len(m.lines) || len(some.lines) == 0 {
			t.Fatalf("%d of %d lines are left", len(some.lines), len(m.lines))
		}
		for _, share := range []float64{0, 1.0 / 3} {
			ms := &measure{Limits: threeCentimetres}
			ms.Share = share
			within := 0
			for range 300 {
				p := geom.Point{X: 2000 * r.Float64(), Y: 1000 * r.Float64()}
				if !m.isFree(p) {
					continue
				}
				all := m.best(ms, p).Score <= pastScore
				if few := some.best(ms, p).Score <= pastScore; few != all {
					t.Errorf("round %v, %v: within limits by all lines %v, by some %v", round, p, all, few)
				}
				if all {
					within++
				}
			}
			if within < 20 {
				t.Errorf("only %d points are within the limits", within)
			}
		}
	}
}
