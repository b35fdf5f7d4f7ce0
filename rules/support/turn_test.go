package support

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestTurnBounds checks the shortcuts of a point's search against the score in
// many directions of each turn: its lower bounds are never above, and a turn with
// one valley is minimised to no more than the least of them.
func TestTurnBounds(t *testing.T) {
	const seed = 20260120
	r := rand.New(rand.NewPCG(seed, 1))
	turns := 0
	for n := range 20 {
		s := randomScene(r, n%3 == 0)
		tp := s.template()
		m := modelOf(tp, 80)
		for i, p := range s.points(r, 4) {
			ms := &measure{Limits: Limits{Span: 914, Cantilever: 254, Share: float64(i%2) / 3}}
			m.listTurns(ms, p, math.Inf(-1))
			least := math.Inf(1)
			for k := range ms.turns {
				o := &ms.turns[k]
				turns++
				low := math.Inf(1)
				for j := range 41 {
					a := o.from + (o.to-o.from)*float64(j)/40
					low = math.Min(low, o.score(ms, p, direction(a)))
				}
				least = math.Min(least, low)
				const rounding = 1e-9
				if f, l := o.floor(ms, p), o.least(ms, p); f > low*(1+rounding) || l > low*(1+rounding) {
					t.Errorf("seed %d scene %d point %v turn %d: bounds %v and %v above %v", seed, n, p, k, f, l, low)
				}
				if o.straight(ms) {
					_, got := minimise(func(a float64) float64 { return o.score(ms, p, direction(a)) }, o.from, o.to, math.Inf(1), true)
					if got > low*(1+rounding) {
						t.Errorf("seed %d scene %d point %v turn %d: minimised to %v, above %v", seed, n, p, k, got, low)
					}
				}
			}
			if got := m.best(ms, p).Score; got > least*(1+1e-6) {
				t.Errorf("seed %d scene %d point %v: best %v, above %v", seed, n, p, got, least)
			}
			if got := m.best(ms, p).Score; !math.IsInf(got, 1) && (m.under(ms, p, got*(1-1e-6)) || !m.under(ms, p, got*(1+1e-6))) {
				t.Errorf("seed %d scene %d point %v: under disagrees with the best score %v", seed, n, p, got)
			}
		}
	}
	if turns < 500 {
		t.Fatalf("only %d turns looked at", turns)
	}
}

// TestValley minimises functions whose least value is known.
func TestValley(t *testing.T) {
	for _, tc := range []struct {
		name   string
		f      func(float64) float64
		lo, hi float64
		at     float64
	}{
		{"parabola", func(x float64) float64 { return (x - 0.3) * (x - 0.3) }, 0, 1, 0.3},
		{"kink", func(x float64) float64 { return math.Abs(x - 0.71) }, 0, 1, 0.71},
		{"falls to the end", func(x float64) float64 { return -x }, 0, 1, 1},
		{"rises from the start", func(x float64) float64 { return math.Exp(x) }, 0, 1, 0},
		{"sum of secants", func(x float64) float64 { return 1/math.Cos(x) + 1/math.Sin(x) }, 0.01, 1.56, math.Pi / 4},
		{"flat", func(float64) float64 { return 1 }, 0, 1, math.NaN()},
	} {
		t.Run(tc.name, func(t *testing.T) {
			at, value := valley(tc.f, tc.lo, tc.hi)
			if value != tc.f(at) || at < tc.lo || at > tc.hi {
				t.Errorf("value %v at %v", value, at)
			}
			if !math.IsNaN(tc.at) && math.Abs(at-tc.at) > 3*angleAccuracy {
				t.Errorf("least at %v, want %v", at, tc.at)
			}
		})
	}
}
