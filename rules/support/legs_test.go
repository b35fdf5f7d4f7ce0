package support

import (
	"math"
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
		past          bool
	}{
		// Between square legs (width - 2*100)/(across - 1) - 70, by hand. Tangents of
		// round ones are as long as their middles are apart, 933 and more.
		{"four", 2000, 1000, 2, 2, true},        // 1730 by 730
		{"six", 2400, 1000, 3, 2, true},         // 1030 by 730
		{"eight", 3000, 1100, 4, 2, false},      // 863 by 830
		{"eight, wide", 3000, 1300, 4, 2, true}, // 863 by 1030
		{"twelve", 3000, 1200, 4, 3, false},     // 863 by 430
		{"nine, wide", 2000, 2400, 3, 3, true},  // 830 by 1030
	} {
		for _, round := range []bool{false, true} {
			m := onLegs(c.width, c.depth, c.across, c.along, round)
			for _, share := range []float64{0, 1.0 / 3} {
				l := threeCentimetres
				l.Share = share
				past := c.past || round
				if r := m.Past(l); !r.Sure || (len(r.Places) > 0) != past {
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

// table is a top of so much on four square legs of 70 mm set in by inset.
func table(width, depth, inset float64) drawing {
	const leg = 70
	d := drawing{outline: rect(0, 0, width, depth)}
	for _, x := range []float64{inset, width - inset - leg} {
		for _, y := range []float64{inset, depth - inset - leg} {
			d.areas = append(d.areas, rect(x, y, x+leg, y+leg))
		}
	}
	return d
}

// A table on four corner legs is carried along its edges from leg to leg and spans
// between: every one was a stop ("50 % hangs"), though nothing hangs. Lengths by hand:
// width - 2*(inset + 70) between legs, the inset beyond them.
func TestTablesOnLegs(t *testing.T) {
	for _, tc := range []struct {
		name   string
		d      drawing
		kind   Kind
		length float64
		past   int
	}{
		{"within the limit both ways, legs flush", table(1000, 800, 0), Span, 860, 0},
		{"at the limit", table(1054, 800, 0), Span, 914, 0},
		{"a tenth past the limit", table(1054.1, 800, 0), Span, 914.1, 1},
		{"too long", table(1400, 800, 0), Span, 1260, 1},
		{"too long and too wide", table(1400, 1300, 0), Span, 1260, 1},
		{"legs set in by 150, at the corners hypot(150, 150)", table(1200, 900, 150), Cantilever, 150 * math.Sqrt2, 0},
		{"legs set in by 179.6, 254 at the corners", table(1200, 900, 179.6), Cantilever, 179.6 * math.Sqrt2, 0},
		{"legs set in by 200, 283 at the corners", table(1200, 900, 200), Cantilever, 200 * math.Sqrt2, 4},
	} {
		t.Run(tc.name, func(t *testing.T) {
			checkWorst(t, tc.d, tc.kind, tc.length, tc.past, "by hand")
		})
	}
}

// Beyond the line of the legs a top overhangs, and is measured from that line: 300 at
// the front of a table whose front legs stand 300 back.
func TestOverhangBeyondLegs(t *testing.T) {
	d := drawing{outline: rect(0, 0, 900, 900), areas: []geom.Loop{rect(0, 0, 70, 70), rect(830, 0, 900, 70), rect(0, 530, 70, 600), rect(830, 530, 900, 600)}}
	m := d.model()
	r := m.Past(threeCentimetres)
	if len(r.Places) != 1 || r.Places[0].Kind != Cantilever || math.Abs(r.Places[0].Length()-300) > Slack || r.Places[0].At.Y < 600 {
		t.Errorf("places %+v, want one overhang of 300 mm beyond the legs", r.Places)
	}
	if c := m.Best(threeCentimetres, pt(450, 880)); c.Kind != Cantilever || c.Stands == nil || math.Abs(c.Length()-300) > 1e-6 {
		t.Errorf("the front hangs by %v of %.3f mm (on %v), want 300 mm on the line of the legs", c.Kind, c.Length(), c.Stands)
	}
	if c := m.Best(threeCentimetres, pt(450, 300)); c.Kind != Span || math.Abs(c.Length()-760) > 100 {
		t.Errorf("the middle is carried by %v of %.3f mm", c.Kind, c.Length())
	}
}
