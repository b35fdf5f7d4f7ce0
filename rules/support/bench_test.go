package support

import (
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// roundedRect is a rectangle with corners of radius r.
func roundedRect(x0, y0, x1, y1, r float64) geom.Loop {
	const quarter = 0.41421356237309503 // tan(90/4 degrees), the bulge of a quarter turn
	ps := []geom.Point{pt(x0+r, y0), pt(x1-r, y0), pt(x1, y0+r), pt(x1, y1-r), pt(x1-r, y1), pt(x0+r, y1), pt(x0, y1-r), pt(x0, y0+r)}
	l := geom.Polygon(ps...)
	for i := 1; i < len(l); i += 2 {
		l[i].Bulge = quarter
	}
	return l
}

// benchKitchens draws kitchens of three tops: a run with a sink, tap holes and a
// dishwasher, a run with a cooktop over one cabinet, and an island with round
// corners that hangs over on all sides, most of them past the limits.
func benchKitchens(n int) []*piece.Template {
	var ts []*piece.Template
	for seed := range n {
		r := rand.New(rand.NewPCG(uint64(seed), 1))
		between := func(lo, hi float64) float64 { return lo + r.Float64()*(hi-lo) }
		long, depth := between(2200, 3000), between(600, 660)
		sink := between(300, 900)
		run := drawing{
			outline:  rect(0, 0, long, depth),
			cutouts:  []geom.Loop{roundedRect(sink, 110, sink+between(450, 800), depth-90, between(10, 30))},
			areas:    []geom.Loop{rect(0, 0, long-640, depth-40), rect(long-40, 0, long, depth-40)},
			openings: []geom.Loop{rect(long-640, 0, long-40, depth-40)},
		}
		for i := range 1 + r.IntN(3) {
			run.cutouts = append(run.cutouts, geom.Circle(pt(sink+100+float64(i)*102, 55), 17.5))
		}
		second := between(1200, 2400)
		hob := drawing{
			outline: rect(0, 1000, second, 1000+depth),
			cutouts: []geom.Loop{roundedRect(second/2-285, 1070, second/2+285, 1560, 8)},
			areas:   []geom.Loop{rect(0, 1000, second, 1000+depth-40)},
		}
		wide := between(900, 1100)
		island := drawing{
			outline: roundedRect(0, 2200, between(1500, 2400), 2200+wide, between(20, 100)),
			areas:   []geom.Loop{rect(40, 2240, 1460, 2200+wide-between(200, 290))},
		}
		t := run.template()
		for i, d := range []drawing{hob, island} {
			next := d.template()
			next.Pieces[0].ID = []string{"B", "C"}[i]
			t.Pieces = append(t.Pieces, next.Pieces...)
			t.Supports = append(t.Supports, next.Supports...)
			t.Openings = append(t.Openings, next.Openings...)
		}
		ts = append(ts, t)
	}
	return ts
}

var benchLimits = Limits{Span: 914, Cantilever: 254}

func BenchmarkKitchens(b *testing.B) {
	ts := benchKitchens(10)
	each := func(look func(m *Model)) func(b *testing.B) {
		return func(b *testing.B) {
			for b.Loop() {
				for _, t := range ts {
					site := NewSite(t, 80)
					for i := range t.Pieces {
						look(site.Piece(&t.Pieces[i]))
					}
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(ts)), "us/kitchen")
		}
	}
	shared := benchLimits
	shared.Share = 1.0 / 3
	b.Run("models", each(func(m *Model) {}))
	b.Run("worst", each(func(m *Model) { m.Worst(benchLimits) }))
	b.Run("past", each(func(m *Model) { m.Past(benchLimits) }))
	b.Run("past, shares", each(func(m *Model) { m.Past(shared) }))
}
