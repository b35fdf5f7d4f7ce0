package trace

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"trueup/dxfio/geom"
)

// crowds are drawings of n curves so near each other that comparing each with all
// others would take their number squared. testdata/bench/generate writes the same
// kinds as DXF, for measuring whole runs.
var crowds = []struct {
	name string
	read bool // it has to be read, whatever its size
	draw func(add func(c ...geom.Curve), r *rand.Rand, n int)
}{
	{"collinear lines", true, func(add func(c ...geom.Curve), r *rand.Rand, n int) {
		for range n {
			add(level(2000*r.Float64(), 2000*r.Float64(), 300))
		}
	}},
	{"collinear lines from one end", true, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n {
			add(level(0, 100+float64(i)/4, 300))
		}
	}},
	{"stairs of collinear lines", true, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n {
			add(level(float64(i)/10, float64(i)/10+100, 300))
		}
	}},
	{"lines at tiny angles", true, func(add func(c ...geom.Curve), r *rand.Rand, n int) {
		for range n {
			add(geom.Line(geom.Point{X: 2000 * r.Float64(), Y: 1e-5 * r.Float64()}, geom.Point{X: 2000 * r.Float64(), Y: 1e-5 * r.Float64()}))
		}
	}},
	{"lines at small angles", false, func(add func(c ...geom.Curve), r *rand.Rand, n int) {
		for range n {
			add(geom.Line(geom.Point{X: 100 * r.Float64(), Y: r.Float64()}, geom.Point{X: 2000 + 100*r.Float64(), Y: r.Float64()}))
		}
	}},
	{"arcs of one circle", true, func(add func(c ...geom.Curve), r *rand.Rand, n int) {
		for range n {
			add(geom.ArcAround(geom.Point{X: 500, Y: 500}, 300, 7*r.Float64(), 0.02+3*r.Float64())...)
		}
	}},
	{"arcs of one circle from one end", true, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n {
			add(geom.ArcAround(geom.Point{X: 500, Y: 500}, 300, 0, 0.2+2.9*float64(i)/float64(n))...)
		}
	}},
	{"arcs a hair apart", false, func(add func(c ...geom.Curve), r *rand.Rand, n int) {
		hair := func() float64 { return 1e-5 * r.Float64() }
		for range n {
			add(geom.ArcAround(geom.Point{X: 500 + hair(), Y: 500 + hair()}, 300+hair(), 7*r.Float64(), 0.02+3*r.Float64())...)
		}
	}},
	{"concentric circles a hair apart", false, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n / 2 {
			add(geom.Circle(geom.Point{}, 300+float64(i)/1000)...)
		}
	}},
	{"concentric circles", false, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n / 2 {
			add(geom.Circle(geom.Point{}, 300+2*float64(i))...)
		}
	}},
	{"circles moved by a hair", false, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n / 2 {
			add(geom.Circle(geom.Point{X: float64(i) / 1000}, 300)...)
		}
	}},
	{"circles through one point", false, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n / 2 {
			add(geom.Circle(geom.Point{Y: 100 + float64(i)/10}, 100+float64(i)/10)...)
		}
	}},
	{"lines through one point", false, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n {
			p := geom.Point{X: 1000}.Rotate(math.Pi * float64(i) / float64(n))
			add(geom.Line(p.Mul(-1), p))
		}
	}},
	{"grid", false, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n / 2 {
			at := 2000 * float64(i) / float64(n)
			add(level(-10, 1010, at), geom.Line(geom.Point{X: at, Y: -10}, geom.Point{X: at, Y: 1010}))
		}
	}},
	{"long random lines", false, func(add func(c ...geom.Curve), r *rand.Rand, n int) {
		for range n {
			add(geom.Line(geom.Point{X: 2000 * r.Float64(), Y: 2000 * r.Float64()}, geom.Point{X: 2000 * r.Float64(), Y: 2000 * r.Float64()}))
		}
	}},
	{"hatches in four directions", false, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n / 4 {
			for k, a := range [4]float64{0.5, 1, 2.1, 2.6} {
				p, at := geom.Point{X: 1000}.Rotate(a), geom.Point{X: float64(k) * 1e4, Y: 4 * float64(i) / float64(n)}
				add(geom.Line(at.Sub(p), at.Add(p)))
			}
		}
	}},
	{"free ends in one spot", false, func(add func(c ...geom.Curve), r *rand.Rand, n int) {
		for range n {
			p := geom.Point{X: r.Float64(), Y: r.Float64()}
			add(geom.Line(p, p.Add(geom.Point{X: 1000}.Rotate(7*r.Float64()))))
		}
	}},
	{"ends within rounding", false, func(add func(c ...geom.Curve), r *rand.Rand, n int) {
		for range n {
			add(geom.Line(geom.Point{X: 0.003 * r.Float64(), Y: 0.003 * r.Float64()}, geom.Point{X: 1000}.Rotate(7*r.Float64())))
		}
	}},
	{"specks in one spot", false, func(add func(c ...geom.Curve), r *rand.Rand, n int) {
		for range n {
			add(geom.Line(geom.Point{X: r.Float64(), Y: r.Float64()}, geom.Point{X: r.Float64(), Y: r.Float64()}))
		}
	}},
	{"squares over each other", false, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n / 4 {
			at := float64(i) / 10
			add(square(at, 1000+at)...)
		}
	}},
	{"squares in squares", false, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for i := range n / 4 {
			at := 3 * float64(i)
			add(square(-10-at, 10+at)...)
		}
	}},
	{"one square many times", true, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for range n / 4 {
			add(square(0, 1000)...)
		}
	}},
	{"one circle many times", true, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		for range n / 2 {
			add(geom.Circle(geom.Point{}, 300)...)
		}
	}},
	{"teeth on one line", true, func(add func(c ...geom.Curve), _ *rand.Rand, n int) {
		add(level(0, float64(n), 0))
		for i := range n {
			add(geom.Line(geom.Point{X: float64(i)}, geom.Point{X: float64(i) + 0.3, Y: 500}))
		}
	}},
}

func level(a, b, y float64) geom.Curve {
	return geom.Line(geom.Point{X: a, Y: y}, geom.Point{X: b, Y: y})
}

func square(a, b float64) geom.Loop {
	return geom.Polygon(geom.Point{X: a, Y: a}, geom.Point{X: b, Y: a}, geom.Point{X: b, Y: b}, geom.Point{X: a, Y: b})
}

// crowd returns the n curves of a crowd.
func crowd(k, n int) []Curve {
	var out []Curve
	entity := int32(0)
	crowds[k].draw(func(cs ...geom.Curve) {
		for _, c := range cs {
			out = append(out, Curve{Curve: c, ID: int32(len(out)), Entity: entity})
		}
		entity++
	}, rand.New(rand.NewPCG(1, uint64(n))), n)
	return out
}

// TestCrowds: work on a crowd grows no faster than its curves, or ends in a limit
// that says where. Steps are counted and not timed, so that a busy machine changes
// nothing; that a step is about a comparison, BenchmarkCrowds tells.
func TestCrowds(t *testing.T) {
	const few, many = 1000, 4000
	s := Default()
	s.Meetings, s.Comparisons = 10_000, 1_000_000 // beside those for every curve
	for k, c := range crowds {
		t.Run(c.name, func(t *testing.T) {
			steps := map[int]int{}
			for _, n := range []int{few, many} {
				curves := crowd(k, n)
				g := NewGuard(t.Context(), s)
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				r, err := Close(g, curves, s)
				runtime.ReadMemStats(&after)
				if allocated := after.TotalAlloc - before.TotalAlloc; allocated > 128<<20 {
					t.Errorf("%d curves take %d MiB", n, allocated>>20)
				}
				steps[n] = g.steps
				if err != nil {
					isCrowd(t, err, curves)
					if c.read {
						t.Errorf("%d curves: %v", n, err)
					}
					continue
				}
				if len(r.Strays)+len(r.Open)+len(r.Repairs)+len(r.Faces)+len(r.Crossings) == 0 {
					t.Error("the curves are gone without a word")
				}
			}
			if growth := float64(steps[many]) / float64(steps[few]); c.read && growth > 1.5*many/few {
				t.Errorf("%d times as many curves take %.1f times as many steps", many/few, growth)
			}
		})
	}
}

// isCrowd wants an error that names a limit, a curve, and a place on it.
func isCrowd(t *testing.T, err error, curves []Curve) {
	t.Helper()
	var crowd *CrowdError
	switch {
	case !errors.As(err, &crowd):
		t.Errorf("error %v", err)
	case crowd.Limit != KeyMeetings && crowd.Limit != KeyComparisons || crowd.Curves != len(curves) || crowd.Most <= 0:
		t.Errorf("limit %q at %d, curves %d of %d", crowd.Limit, crowd.Most, crowd.Curves, len(curves))
	case crowd.ID < 0 || curves[crowd.ID].Distance(crowd.At) > 1:
		t.Errorf("curve %d at %v", crowd.ID, crowd.At)
	}
}

// TestCrowdOfArcs: thousands of arcs along one circle come out as that circle. By
// hand: its area is pi x 300^2, and what is one place as drawn, all around, is
// 2 pi x 300 x coincident.
func TestCrowdOfArcs(t *testing.T) {
	r := newRand(t, 42)
	var curves []Curve
	for range 3000 {
		for _, c := range geom.ArcAround(geom.Point{X: 500, Y: 500}, 300, 7*r.Float64(), 0.02+3*r.Float64()) {
			curves = append(curves, Curve{Curve: c, ID: int32(len(curves)), Entity: -1})
		}
	}
	res, err := Close(NewGuard(t.Context(), Default()), disorder(r, curves), Default())
	if err != nil {
		t.Fatal(err)
	}
	largest := 0.0
	for _, f := range res.Faces {
		largest = math.Max(largest, f.Outer.Geom().Area())
	}
	if want := math.Pi * 300 * 300; math.Abs(largest-want) > 2*math.Pi*300*coincident {
		t.Errorf("the largest face has %.3f mm2, want %.3f", largest, want)
	}
	named := map[int32]bool{}
	for _, p := range res.Repairs {
		named[p.ID] = named[p.ID] || p.Kind == DuplicateRemoved
	}
	if len(named) < 2900 {
		t.Errorf("%d arcs are named as repeats", len(named))
	}
}

// TestGuardEndsWithContext: without limits this crowd takes minutes.
func TestGuardEndsWithContext(t *testing.T) {
	s := Default()
	s.Meetings, s.Comparisons = 0, 0
	cause := errors.New("the time is up")
	for k, c := range crowds {
		if c.name != "long random lines" && c.name != "free ends in one spot" && c.name != "concentric circles" {
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			ctx, cancel := context.WithTimeoutCause(t.Context(), 20*time.Millisecond, cause)
			defer cancel()
			if _, err := Close(NewGuard(ctx, s), crowd(k, 6000), s); !errors.Is(err, cause) {
				t.Errorf("error %v, want %v", err, cause)
			}
		})
	}
}

func BenchmarkCrowds(b *testing.B) {
	for k := range crowds {
		for _, n := range []int{1000, 2000, 4000, 8000} {
			b.Run(fmt.Sprintf("%s/n=%d", crowds[k].name, n), func(b *testing.B) {
				curves := crowd(k, n)
				b.ReportAllocs()
				steps := 0
				for b.Loop() {
					g := NewGuard(b.Context(), Default())
					if _, err := Close(g, curves, Default()); err != nil {
						b.Log(err)
					}
					steps = g.steps
				}
				b.ReportMetric(float64(steps)/float64(n), "steps/curve")
			})
		}
	}
}
