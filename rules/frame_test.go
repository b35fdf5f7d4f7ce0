package rules

import (
	"math"
	"math/cmplx"
	"testing"

	"trueup/dxfio/geom"
)

// The moments of half a disc about its centroid against their closed forms, which
// follow from the integrals of r^n cos^p sin^q and the shift by d = 4R/(3 pi).
func TestMomentsOfHalfADisc(t *testing.T) {
	const r = 700.0
	l := geom.Loop{geom.Line(geom.Point{X: -r}, geom.Point{X: r}), {A: geom.Point{X: r}, B: geom.Point{X: -r}, Bulge: 1}}
	area, d := math.Pi*r*r/2, 4*r/(3*math.Pi)
	r3, r4, r5, r6 := math.Pow(r, 3), math.Pow(r, 4), math.Pow(r, 5), math.Pow(r, 6)
	xx := math.Pi * r4 / 8 // of x^2, and of y^2
	y := 2 * r3 / 3
	m := momentsOf(l)
	for _, tc := range []struct {
		name      string
		got, want complex128
		size      float64
	}{
		{"centroid", m.center, complex(0, d), r},
		{"area", complex(m.area, 0), complex(area, 0), area},
		{"c11", complex(m.c11, 0), complex(2*xx-area*d*d, 0), r4},
		{"c20", m.c20, complex(area*d*d, 0), r4},
		{"c21", m.c21, complex(0, 2*r5/5-4*d*xx+3*d*d*y-d*d*d*area), r5},
		{"c30", m.c30, complex(0, 3*(2*r5/15-d*xx)-(4*r5/15-3*d*xx+3*d*d*y-d*d*d*area)), r5},
		{"c40", m.c40, complex(math.Pi*r6/16-
			6*(math.Pi*r6/48-4*d*r5/15+d*d*xx)+
			math.Pi*r6/16-16*d*r5/15+6*d*d*xx-4*d*d*d*y+d*d*d*d*area, 0), r6},
	} {
		if cmplx.Abs(tc.got-tc.want) > 1e-8*tc.size {
			t.Errorf("%s: %v, want %v", tc.name, tc.got, tc.want)
		}
	}
}

// A round top has no direction but that in which its cutout lies: a place keeps
// its distance and its angle from there, however the top is turned.
func TestFrameOfARoundTop(t *testing.T) {
	tpl := template(t, "outline -400,0^1 400,0^1; hole 250,0 d35")
	for _, m := range redrawings() {
		p := &moved(tpl, m).Pieces[0]
		f := frameOf(p)
		if f.turns != 1 {
			t.Errorf("%s: %d equal directions, want one", m.name, f.turns)
		}
		hole := f.place(p.Cutouts[0].Loop.Box().Center())
		if !(math.Abs(hole.X-250) <= 1e-6 && math.Abs(hole.Y) <= 1e-6) { // no number is wrong too
			t.Errorf("%s: the hole stands at %v in the top's own frame, want 250 from the centre in its direction", m.name, hole)
		}
	}
}
