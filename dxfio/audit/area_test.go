package audit

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"trueup/dxfio/geom"
)

// areasOf is what the areas alone tell.
func areasOf(t *testing.T, d *Drawn, r *Released) []Difference {
	t.Helper()
	a := newAudit(d, r, nil)
	a.sides()
	return a.areas()
}

// kitchen draws tops with cutouts on a grid, and what would be released of them. Stone is its
// area by hand: of rectangles and circles.
func kitchen(rng *rand.Rand) (d *Drawn, r *Released, stone []float64) {
	d, r = &Drawn{Limits: limits, Layers: []string{"OUTLINE", "CUTOUT"}}, &Released{}
	entity := int32(0)
	draw := func(role Role, l geom.Loop, loose bool) {
		for i, c := range l {
			if i == 0 || loose {
				entity++
			}
			d.Curves = append(d.Curves, Curve{Curve: c, Role: role, Layer: int32(role), Entity: entity})
		}
	}
	for i := range 1 + rng.IntN(4) {
		x, y, w, h := 4000*float64(i), 0.0, 1200+1500*rng.Float64(), 500+200*rng.Float64()
		area := w * h
		top := Piece{Outline: rect(x, y, x+w, y+h)}
		draw(Outline, top.Outline, rng.IntN(2) == 0)
		for k := range rng.IntN(4) {
			var l geom.Loop
			at := x + 100 + float64(k)*280
			if rng.IntN(2) == 0 {
				u, v := 50+200*rng.Float64(), 50+300*rng.Float64()
				l, area = rect(at, y+60, at+u, y+60+v), area-u*v
			} else {
				q := 5 + 100*rng.Float64()
				l, area = geom.Circle(p(at+110, y+220), q), area-math.Pi*q*q
			}
			role := Role(rng.IntN(2)) // a line in an outline on its layer is a hole
			draw(role, l, rng.IntN(3) == 0)
			top.Cutouts = append(top.Cutouts, Opening{Loop: l.Reverse()})
		}
		r.Pieces = append(r.Pieces, top)
		stone = append(stone, area)
	}
	return d, r, stone
}

// A piece dropped, a cutout left out or filled, solid and void swapped: the areas alone tell,
// and by how much.
func TestAreasTellWhatVanished(t *testing.T) {
	for seed := range uint64(200) {
		d, r, stone := kitchen(rand.New(rand.NewPCG(3, seed)))
		if found := areasOf(t, d, r); len(found) > 0 {
			t.Fatalf("seed %d, as drawn: %+v", seed, found)
		}
		want := func(what string, pieces []Piece, off float64) {
			t.Helper()
			found := areasOf(t, d, &Released{Pieces: pieces})
			if len(found) != 1 || math.Abs(found[0].Area-off) > 1e-6*math.Abs(off) || found[0].Kind != Area {
				t.Errorf("seed %d, %s: want %g mm2, found %+v", seed, what, off, found)
			}
		}
		for i := range r.Pieces {
			with := func(p ...Piece) []Piece {
				return append(append(append([]Piece{}, r.Pieces[:i]...), p...), r.Pieces[i+1:]...)
			}
			whole := r.Pieces[i]
			want("a piece dropped", with(), -stone[i])
			for k, c := range whole.Cutouts {
				less := whole
				less.Cutouts = append(append([]Opening{}, whole.Cutouts[:k]...), whole.Cutouts[k+1:]...)
				hole := math.Abs(c.Loop.Area())
				want("a cutout left out", with(less), hole)
				if swapped := 2*hole - stone[i]; math.Abs(swapped) > 1 {
					want("solid and void swapped", with(Piece{Outline: c.Loop.Reverse()}), hole-stone[i])
				}
				more := whole
				more.Cutouts = append(append([]Opening{}, whole.Cutouts...), c)
				want("a cutout twice", with(more), -hole)
			}
		}
	}
}

// Where the lines cannot tell there is nothing to tell.
func TestAreasThatCannotBeTold(t *testing.T) {
	top, sink := rect(0, 0, 2400, 640), rect(700, 150, 1300, 500)
	plain := append(as(Outline, 1, top), as(Cutout, 2, sink)...)
	whole := []Piece{{Outline: top}} // the sink is left out
	for _, tc := range []struct {
		name   string
		extra  []Curve
		change func(*Drawn)
		told   bool
	}{
		{"closed lines alone", nil, nil, true},
		{"a loose line beside them", []Curve{{Curve: geom.Line(p(5000, 0), p(6000, 0)), Entity: 7}}, nil, true},
		{"a loose line among them", []Curve{{Curve: geom.Line(p(100, 100), p(300, 100)), Entity: 7}}, nil, false},
		{"a loose line that a flag names", []Curve{{Curve: geom.Line(p(100, 100), p(300, 100)), Entity: 7, Told: true}}, nil, true},
		{"a line named by a flag", nil, func(d *Drawn) { d.Named = []geom.Curve{geom.Line(p(100, 100), p(300, 100))} }, false},
		{"a cutout over the edge", as(Cutout, 3, rect(1500, -50, 1900, 300)), nil, false},
		{"a hole that touches it", as(Cutout, 3, rect(900, 500, 1000, 560)), nil, false},
		{"a top of loose lines around a hole on its layer", as(Outline, 3, rect(2900, 200, 3000, 300)), func(d *Drawn) {
			for i, c := range rect(2800, 0, 3600, 640) { // of which one side runs over
				if i == 0 {
					c.B.X += 1
				}
				d.Curves = append(d.Curves, Curve{Curve: c, Entity: int32(20 + i)})
			}
			d.Curves = slices.DeleteFunc(d.Curves, func(c Curve) bool { return c.Entity <= 2 })
		}, false},
		{"pieces over each other", nil, func(d *Drawn) { d.Overlapping = true }, false},
		{"a top beside it", as(Outline, 3, rect(2400, -640, 2800, 0)), nil, true},
		{"a point that marks a hole", nil, func(d *Drawn) { d.Points = []Point{{At: p(200, 200), Diameter: 35}} }, true},
	} {
		d := &Drawn{Curves: append(append([]Curve{}, plain...), tc.extra...), Limits: limits, Layers: []string{"OUTLINE", "CUTOUT"}}
		if tc.change != nil {
			tc.change(d)
		}
		if found := areasOf(t, d, &Released{Pieces: append(whole, Piece{Outline: rect(2800, 0, 3600, 640)})}); (len(found) > 0) != tc.told {
			t.Errorf("%s: %+v", tc.name, found)
		}
	}
}

// Tops drawn twice, on one layer or on two, count once, and so does what lies in them.
func TestAreasOfTopsDrawnTwice(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 15))
	for n := range 50 {
		d, r, _ := kitchen(rng)
		if n%2 == 0 {
			d.Layers = append(d.Layers, "COUNTER")
		}
		for i := range r.Pieces {
			for k, c := range r.Pieces[i].Outline {
				d.Curves = append(d.Curves, Curve{Curve: c, Role: Outline, Layer: int32(len(d.Layers)-1) * int32(1-n%2), Entity: int32(10000 + 10*i + k*(n/2%2))})
			}
			at := r.Pieces[i].Outline[0].A.Add(geom.Point{X: 40, Y: 30})
			d.Points = append(d.Points, Point{At: at, Diameter: 35})
			r.Pieces[i].Cutouts = append(r.Pieces[i].Cutouts, Opening{Loop: geom.Circle(at, 17.5).Reverse()})
		}
		if found := areasOf(t, d, r); len(found) > 0 {
			t.Fatalf("kitchen %d: %+v", n, found)
		}
	}
}
