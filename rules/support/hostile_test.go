package support

import (
	"math"
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// TestCrowded: more supports than anybody builds are searched in bounded work,
// and what was not looked at is said.
func TestCrowded(t *testing.T) {
	d := drawing{outline: rect(0, 0, 1100, 1000)}
	for i := range 11 {
		for j := range 10 {
			x, y := float64(i)*100, float64(j)*100
			d.areas = append(d.areas, rect(x+20, y+20, x+60, y+60))
		}
	}
	m := d.model()
	if !m.crowded {
		t.Fatal("440 corners are not too many")
	}
	r := m.Past(limits3cm)
	if r.Sure {
		t.Error("sure although lines between supports were not looked for")
	}
	for _, p := range r.Places {
		t.Errorf("place past the limits between legs 60 mm apart: %v", p)
	}
}

// TestBrokenInput: shapes that the earlier stages should not let through cost no
// panic and no endless search.
func TestBrokenInput(t *testing.T) {
	nan := math.NaN()
	bowTie := geom.Polygon(pt(0, 0), pt(1000, 600), pt(1000, 0), pt(0, 600))
	for name, d := range map[string]drawing{
		"empty outline":          {areas: []geom.Loop{rect(0, 0, 100, 100)}},
		"outline without area":   {outline: geom.Polygon(pt(0, 0), pt(1000, 0)), areas: []geom.Loop{rect(0, 0, 100, 100)}},
		"crosses itself":         {outline: bowTie, areas: []geom.Loop{rect(0, 0, 300, 600)}},
		"support crosses itself": {outline: rect(0, 0, 1000, 600), areas: []geom.Loop{bowTie}},
		"point for a support":    {outline: rect(0, 0, 1000, 600), areas: []geom.Loop{geom.Polygon(pt(1, 1))}, lines: [][]geom.Curve{lineOf(pt(5, 5), pt(5, 5))}},
		"not a number":           {outline: geom.Polygon(pt(0, 0), pt(nan, 0), pt(1000, 600)), areas: []geom.Loop{rect(0, 0, 300, 600)}},
		"cutout larger than it":  {outline: rect(0, 0, 1000, 600), cutouts: []geom.Loop{rect(-100, -100, 2000, 2000)}, areas: []geom.Loop{rect(0, 0, 300, 600)}},
		"hair-thin gap":          {outline: rect(0, 0, 1000, 600), areas: []geom.Loop{rect(0, 0, 500, 600), rect(500.0004, 0, 1000, 600)}},
		"cabinets almost meet":   {outline: rect(0, 0, 1000, 600), areas: []geom.Loop{rect(0, 0, 500, 600), rect(500+1e-7, 1e-7, 1000, 600-1e-7)}},
	} {
		t.Run(name, func(t *testing.T) {
			m := d.model()
			if _, c, _, _ := m.Worst(limits3cm); (name == "hair-thin gap" || name == "cabinets almost meet") && c.Length() > 1 {
				t.Errorf("worst %v mm, want none to speak of", c.Length())
			}
			m.Past(Limits{Span: 914, Cantilever: 254, Share: 1.0 / 3})
		})
	}
}

// TestRandomLoops feeds loops of random corners and bulges, crossing and not.
func TestRandomLoops(t *testing.T) {
	const seed = 20260119
	r := rand.New(rand.NewPCG(seed, 2))
	loop := func() geom.Loop {
		n := 3 + r.IntN(5)
		ps := make([]geom.Point, n)
		for i := range ps {
			ps[i] = pt(math.Round(r.Float64()*20)*50, math.Round(r.Float64()*12)*50)
		}
		l := geom.Polygon(ps...)
		for i := range l {
			if r.IntN(3) == 0 {
				l[i].Bulge = 2*r.Float64() - 1
			}
		}
		if l.Area() < 0 {
			l = l.Reverse()
		}
		return l
	}
	for n := range 10 {
		tp := &piece.Template{HasSupport: true, Pieces: []piece.Piece{{ID: "A", Outline: loop(), Thickness: 30}}}
		for range 1 + r.IntN(4) {
			tp.Supports = append(tp.Supports, piece.Support{Area: loop()})
		}
		tp.Openings = []piece.Opening{{Area: loop()}}
		m := modelOf(tp, 80)
		_, c, _, _ := m.Worst(limits3cm)
		if math.IsNaN(c.Length()) || math.IsNaN(c.Score) {
			t.Errorf("seed %d shape %d: worst %v", seed, n, c)
		}
		m.Past(limits3cm)
	}
}
