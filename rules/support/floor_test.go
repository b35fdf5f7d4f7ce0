package support

import (
	"math"
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
)

// No chord scores under the floor, the quick looks give what looking in all
// directions gives, and where spans are ruled out there is none. The chords
// themselves are held against rays in TestBestAgainstRays.
func TestQuickLooksAgainstAllDirections(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 4))
	quick, unspanned := 0, 0
	for n := range 400 {
		s := randomScene(r, n%2 == 0)
		if n%3 == 0 {
			s.supports = s.supports[:1] // an island on one cabinet
		}
		tpl := s.template()
		m := NewSite(tpl, 80).Piece(&tpl.Pieces[0])
		if !m.spans {
			unspanned++
		}
		for _, share := range []float64{0, 1. / 3} {
			ms := &measure{Limits: Limits{Span: 914, Cantilever: 254, Share: share}}
			for _, p := range s.points(r, 40) {
				if !m.isFree(p) {
					continue
				}
				none := found{Chord: Chord{Score: math.Inf(1)}}
				full := m.lookAround(ms, p, none, math.Inf(-1))
				if full.spanned && !m.spans {
					t.Fatalf("scene %d, %v: a span was ruled out", n, p)
				}
				near := m.nearest(p)
				floor := m.floor(ms, p, near)
				if full.Score < floor*(1-1e-9) {
					t.Fatalf("scene %d, share %g, %v: score %.9f is under the floor %.9f", n, share, p, full.Score, floor)
				}
				best := m.best(ms, p)
				if math.IsInf(best.Score, 1) != math.IsInf(full.Score, 1) || math.Abs(best.Score-full.Score) > 1e-7*full.Score || best.Kind != full.Kind {
					t.Fatalf("scene %d, share %g, %v: the best chord is %v %.9f, in all directions %v %.9f", n, share, p, best.Kind, best.Score, full.Kind, full.Score)
				}
				if m.certain(m.squarely(ms, p, near), near, floor) {
					quick++
				}
				for _, level := range []float64{0.9 * full.Score, 1.1 * full.Score} {
					if !math.IsInf(level, 1) && m.under(ms, p, level) != (level > full.Score) {
						t.Fatalf("scene %d, share %g, %v: under %g is %v, the score %g", n, share, p, level, level < full.Score, full.Score)
					}
				}
			}
		}
	}
	if quick < 100 || unspanned < 20 {
		t.Errorf("only %d certain points and %d tops without spans: the scenes test too little", quick, unspanned)
	}
}

// A chord may run from one support to another only where two edges face each
// other.
func TestSpansAreRuledOut(t *testing.T) {
	top := rect(0, 0, 2000, 1000)
	for _, tc := range []struct {
		name     string
		supports []geom.Loop
		spans    bool
	}{
		{"one cabinet", []geom.Loop{rect(300, 300, 1700, 700)}, false},
		{"one cabinet with round corners", []geom.Loop{roundedRect(300, 300, 1700, 700, 40)}, false},
		{"two cabinets side by side", []geom.Loop{rect(300, 300, 900, 700), rect(900, 300, 1700, 700)}, false},
		{"two cabinets apart", []geom.Loop{rect(300, 300, 900, 700), rect(1000, 300, 1700, 700)}, true},
		{"an L of cabinets", []geom.Loop{rect(300, 300, 900, 700), rect(900, 300, 1700, 400)}, true},
		{"a post", []geom.Loop{geom.Circle(pt(1000, 500), 100)}, false},
		{"two posts", []geom.Loop{geom.Circle(pt(500, 500), 100), geom.Circle(pt(1500, 500), 100)}, true},
		{"two posts of one circle's size that touch", []geom.Loop{geom.Circle(pt(900, 500), 100), geom.Circle(pt(1100, 500), 100)}, true},
		{"a cabinet with a round end", []geom.Loop{{
			geom.Line(pt(500, 300), pt(1400, 300)), {A: pt(1400, 300), B: pt(1400, 700), Bulge: 1},
			geom.Line(pt(1400, 700), pt(500, 700)), geom.Line(pt(500, 700), pt(500, 300)),
		}}, false},
		{"a cabinet with a hollow end", []geom.Loop{{
			geom.Line(pt(500, 300), pt(1400, 300)), {A: pt(1400, 300), B: pt(1400, 700), Bulge: -1},
			geom.Line(pt(1400, 700), pt(500, 700)), geom.Line(pt(500, 700), pt(500, 300)),
		}}, true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tpl := drawing{outline: top, areas: tc.supports}.template()
			if m := modelOf(tpl, 80); m.spans != tc.spans {
				t.Errorf("spans are %v, want %v", m.spans, tc.spans)
			}
		})
	}
}
