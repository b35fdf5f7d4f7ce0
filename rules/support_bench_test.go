package rules

import (
	"fmt"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// kitchenOf is n tops in ten runs: cabinets of 600 with a dishwasher's opening in
// every top, a sink with rounded corners and a tap hole in every other one, seams
// between neighbours, and in one of five an island with a seating overhang of the
// given depth.
func kitchenOf(n int, overhang float64) *piece.Template {
	t := &piece.Template{HasSupport: true}
	for i := range n {
		x, y := float64(i%2)*2400, float64(i/2)*2500
		at := func(l geom.Loop) geom.Loop { return l.Translate(xy(x, y)) }
		p := piece.Piece{ID: fmt.Sprint(i), Kind: piece.Counter, Outline: at(box(0, 0, 2400, 638)), Material: "granite", Thickness: 30}
		if i%5 == 4 {
			p.Outline = at(box(0, 0, 2400, 700+overhang))
			t.Supports = append(t.Supports, piece.Support{Area: at(box(0, 0, 2400, 700))})
			t.Pieces = append(t.Pieces, p)
			continue
		}
		for k := range 4 {
			t.Supports = append(t.Supports, piece.Support{Area: at(box(600*float64(k), 0, 600*float64(k+1), 600))})
		}
		t.Openings = append(t.Openings, piece.Opening{Area: at(box(600, 0, 1200, 600))})
		if i%2 == 0 {
			p.Cutouts = []piece.Cutout{
				{ID: "sink", Kind: piece.Sink, Loop: at(roundedBox(1250, 90, 1750, 490, 25)).Reverse()},
				{ID: "tap", Kind: piece.Hole, Diameter: 35, Loop: at(geom.Circle(xy(1500, 550), 17.5)).Reverse()},
			}
			a, b := []geom.Curve{geom.Line(xy(x+2400, y), xy(x+2400, y+638))}, []geom.Curve{geom.Line(xy(x+2400, y+638), xy(x+2400, y))}
			t.Seams = append(t.Seams, piece.Seam{ID: fmt.Sprintf("S%d", i), Pieces: [2]string{fmt.Sprint(i), fmt.Sprint(i + 1)}, Chains: [2][]geom.Curve{a, b}, Moved: b, Length: 638})
		}
		t.Pieces = append(t.Pieces, p)
	}
	return t
}

func roundedBox(x0, y0, x1, y1, r float64) geom.Loop {
	const quarter = 0.41421356237309503 // tan(90/4 degrees)
	ps := []geom.Point{xy(x0+r, y0), xy(x1-r, y0), xy(x1, y0+r), xy(x1, y1-r), xy(x1-r, y1), xy(x0+r, y1), xy(x0, y1-r), xy(x0, y0+r)}
	var l geom.Loop
	for i, p := range ps {
		c := geom.Line(p, ps[(i+1)%len(ps)])
		if i%2 == 1 {
			c.Bulge = quarter
		}
		l = append(l, c)
	}
	return l
}

func BenchmarkSupportRules(b *testing.B) {
	rules := []Rule{unsupportedSpan(), overhang(), overhangShare(), bendingStress(), seamUnsupported(), seamNearCutout(), seamMismatch(), seamStepMismatch()}
	for _, bc := range []struct {
		name     string
		overhang float64
	}{{"20 pieces within the limits", 230}, {"20 pieces, four overhangs too long", 330}} {
		b.Run(bc.name, func(b *testing.B) {
			tp := kitchenOf(20, bc.overhang)
			for b.Loop() {
				in := supportInput(tp)
				for _, r := range rules {
					runRule(&r, in)
				}
			}
		})
	}
	for _, r := range rules {
		b.Run(r.ID, func(b *testing.B) {
			tp := kitchenOf(20, 230)
			for b.Loop() {
				runRule(&r, supportInput(tp))
			}
		})
	}
}
