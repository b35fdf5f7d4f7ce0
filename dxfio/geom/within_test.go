package geom

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Figures by hand: strips and circles of the given half-width about a curve.
func TestWithin(t *testing.T) {
	line := func(x1, y1, x2, y2 float64) Curve { return Line(Point{x1, y1}, Point{x2, y2}) }
	half := Curve{A: Point{10, 0}, B: Point{-10, 0}, Bulge: 1} // upper half of the circle about 0 of radius 10
	for _, tc := range []struct {
		name  string
		c, d  Curve
		reach float64
		want  []Span
	}{
		{"the same line", line(0, 0, 100, 0), line(0, 0, 100, 0), 0.01, []Span{{0, 1}}},
		{"parallel, at the reach", line(0, 1, 100, 1), line(0, 0, 100, 0), 1, []Span{{0, 1}}},
		{"parallel, past the reach", line(0, 1.001, 100, 1.001), line(0, 0, 100, 0), 1, nil},
		{"across: 3-4-5 beside the end", line(0, -10, 0, 10), line(-3, 0, -50, 0), 5, []Span{{0.3, 0.7}}},
		{"runs on past the end", line(0, 0, 100, 0), line(0, 0, 50, 0), 1, []Span{{0, 0.51}}},
		{"an arc to its own circle", half, half.Part(0, 0.5), 0.01, []Span{{0, 0.5 + 2*math.Asin(0.0005)/math.Pi}}},
		{"concentric arc", half, Curve{A: Point{11, 0}, B: Point{-11, 0}, Bulge: 1}, 1, []Span{{0, 1}}},
		{"chord of an arc: sagitta past the reach in the middle", line(10, 0, 0, 10), half, 1,
			[]Span{{0, 0.5 - math.Sqrt(81-50)/math.Sqrt(200)}, {0.5 + math.Sqrt(81-50)/math.Sqrt(200), 1}}},
	} {
		got := Within(tc.c, tc.d, tc.reach)
		if len(got) != len(tc.want) {
			t.Errorf("%s: %v, want %v", tc.name, got, tc.want)
			continue
		}
		for i, w := range tc.want {
			if math.Abs(got[i].From-w.From) > 1e-6 || math.Abs(got[i].To-w.To) > 1e-6 {
				t.Errorf("%s: %v, want %v", tc.name, got, tc.want)
			}
		}
	}
}

// Against brute force: distances of many points of random curves.
func TestWithinAndFarthestByPoints(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	random := func() Curve {
		c := Line(Point{rng.Float64() * 100, rng.Float64() * 100}, Point{rng.Float64() * 100, rng.Float64() * 100})
		if rng.IntN(2) == 0 {
			c.Bulge = 2*rng.Float64() - 1
		}
		return c
	}
	for range 300 {
		c := random()
		others := []Curve{random(), random(), random()}
		reach := rng.Float64() * 40
		beyond := Beyond(c, others, reach)
		most := 0.0
		for k := range 1001 {
			f := float64(k) / 1000
			d := math.Inf(1)
			for _, o := range others {
				d = math.Min(d, o.Distance(c.At(f)))
			}
			most = math.Max(most, d)
			out := false
			for _, s := range beyond {
				out = out || s.From <= f && f <= s.To
			}
			if out != (d > reach) && math.Abs(d-reach) > 1e-6 {
				t.Fatalf("%v at %g: %g from the others, reach %g, beyond %v", c, f, d, reach, beyond)
			}
		}
		w, ok := Farthest(c, others)
		if !ok || w.Length() < most-1e-6 || w.Length() > most+c.Length()/1000 {
			t.Fatalf("%v: farthest %g, by points %g", c, w.Length(), most)
		}
	}
}
