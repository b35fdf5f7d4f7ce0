package shop

import (
	"math"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// drawn makes a piece of an outline, its lines finished.
func drawn(l geom.Loop, cutouts ...geom.Loop) *piece.Piece {
	p := &piece.Piece{ID: "A", Outline: l, Thickness: 30}
	for i, c := range l {
		kind := piece.ArcEdge
		if c.IsLine() {
			kind = piece.LineEdge
		}
		p.Edges = append(p.Edges, piece.Edge{N: i + 1, Kind: kind, Curves: []geom.Curve{c}, Finish: piece.Finished})
	}
	for _, c := range cutouts {
		p.Cutouts = append(p.Cutouts, piece.Cutout{ID: "A-1", Kind: piece.Sink, Loop: c})
	}
	return p
}

// Where a loop starts, how it is turned and whether it is mirrored changes no
// total.
func TestTotalsTurnedAndMirrored(t *testing.T) {
	rnd := seeded(t, 51)
	s := Default()
	for range 100 {
		l := comb(rnd.IntN(5)+1, func() float64 { return 30 + 600*rnd.Float64() }, 0)
		if rnd.IntN(2) == 0 {
			l[0].Bulge = 0.2 * rnd.Float64()
		}
		hole := box(100+300*rnd.Float64(), 60+100*rnd.Float64()).Translate(pt(30, -250)).Reverse()
		want := SetUp(drawn(l, hole), &piece.Template{}, &s)
		turn, k := 7*rnd.Float64(), rnd.IntN(len(l))
		mirror := func(l geom.Loop) geom.Loop {
			out := make(geom.Loop, len(l))
			for i, c := range l {
				out[len(l)-1-i] = c.Mirror().Reverse()
			}
			return out
		}
		for name, p := range map[string]*piece.Piece{
			"begun elsewhere": drawn(append(append(geom.Loop(nil), l[k:]...), l[:k]...), hole),
			"turned":          drawn(l.Rotate(turn), hole.Rotate(turn)),
			"mirrored":        drawn(mirror(l), mirror(hole)),
		} {
			got := SetUp(p, &piece.Template{}, &s)
			near(t, name+": saw", got.SawLength, want.SawLength, 1e-6)
			near(t, name+": router", got.RouterLeft, want.RouterLeft, 1e-6)
			near(t, name+": minutes", got.RunMinutes, want.RunMinutes, 1e-6)
			near(t, name+": mass", got.Mass, want.Mass, 1e-6)
			if len(got.Cuts) != len(want.Cuts) || len(got.Router) != len(want.Router) || len(got.Polish) != len(want.Polish) {
				t.Errorf("%s: %d cuts, %d runs, %d passes; want %d, %d, %d", name,
					len(got.Cuts), len(got.Router), len(got.Polish), len(want.Cuts), len(want.Router), len(want.Polish))
			}
		}
	}
}

// Whatever the outline, crossing itself and running back on itself included, the
// figures come out, finite, and nothing is lost between saw and router.
func FuzzSetUp(f *testing.F) {
	f.Add([]byte{0, 0, 0, 200, 0, 0, 200, 200, 0, 0, 200, 0}, 30.0)
	f.Add([]byte{0, 0, 120, 200, 0, 0, 100, 0, 7, 0, 0, 0}, 3.0)
	f.Add([]byte{1, 1, 1, 1, 2, 250, 9, 9, 9, 1, 1, 128, 4, 4, 127, 90, 3, 0}, 160.0)
	f.Fuzz(func(t *testing.T, data []byte, thickness float64) {
		if len(data) > 300 || math.IsNaN(thickness) || thickness < 3 || thickness > 200 {
			return // no such stone
		}
		var pts []geom.Point
		var bulges []float64
		for ; len(data) >= 3; data = data[3:] {
			p := pt(float64(data[0])*13, float64(data[1])*11)
			if n := len(pts); n > 0 && pts[n-1] == p {
				continue
			}
			pts, bulges = append(pts, p), append(bulges, float64(int8(data[2]))/128)
		}
		if n := len(pts); n < 2 || pts[0] == pts[n-1] {
			return
		}
		l := geom.Polygon(pts...)
		for i := range l {
			if bulges[i] > 0.2 || bulges[i] < -0.2 {
				l[i].Bulge = bulges[i]
			}
		}
		s := Default()
		p := drawn(l, geom.Polygon(pt(3, 4), pt(3, 400), pt(700, 400), pt(700, 4)))
		p.Thickness = thickness
		got := SetUp(p, &piece.Template{}, &s)
		near(t, "saw and router", got.SawLength+got.RouterLeft, l.Length()+2*(697+396), 1e-6*(1+l.Length()))
		for _, v := range []float64{got.Mass, got.RunMinutes, got.Slab.More, got.Handling.CarryLength} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("not finite: %+v", got)
			}
		}
		polished := 0.0
		for _, pass := range got.Polish {
			polished += pass.Length
			if len(pass.StepsLeadStart) > 0 && math.IsNaN(pass.StepsLeadStart[0].Offset) {
				t.Fatalf("%+v", pass)
			}
		}
		for _, c := range got.Curves {
			polished += c.Length
		}
		near(t, "finished edges on the line and by hand", polished, l.Length(), 1e-6*(1+l.Length()))
	})
}
