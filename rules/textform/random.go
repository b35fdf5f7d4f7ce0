package textform

import (
	"fmt"
	"math"
	"math/rand/v2"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// Random returns a template of one top as random as tops get and a little more:
// straight, bowed and slanting edges, notches from any side, corners rounded or
// not, up to four openings, square to the top or turned, rounded or not, and tap
// holes. Openings keep apart from each other and from the edge, sometimes by
// very little. The same state of rng gives the same top.
func Random(rng *rand.Rand) *piece.Template {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	length, depth := between(400, 2000), between(120, 500)
	straight := rng.IntN(4) == 0 // a top without any arc
	outline := edgeOf(rng, length, depth)
	if straight {
		for i := range outline {
			outline[i].Bulge = 0
		}
	} else if rng.IntN(2) == 0 {
		outline = Rounded(outline, between(3, 40))
	}
	turn, shift := between(0, 2*math.Pi), geom.Point{X: between(-500, 500), Y: between(-500, 500)}
	if rng.IntN(2) == 0 {
		turn = 0
	}
	place := func(l geom.Loop) geom.Loop { return l.Rotate(turn).Translate(shift) }
	p := piece.Piece{ID: "A", Kind: piece.Counter, Outline: turned(place(outline), 1), Material: "granite", Thickness: 30}
	for range 16 {
		if len(p.Cutouts) == 4 {
			break
		}
		c := opening(rng, between(0, length), between(0, depth))
		if straight && !c.Loop[0].IsLine() {
			continue
		}
		c.Loop = turned(place(c.Loop), -1)
		if fits(&p, c.Loop) {
			c.ID = fmt.Sprintf("A-%d", len(p.Cutouts)+1)
			p.Cutouts = append(p.Cutouts, c)
		}
	}
	for i, c := range p.Outline {
		p.Edges = append(p.Edges, piece.Edge{N: i + 1, Kind: piece.LineEdge, Curves: []geom.Curve{c}, Finish: piece.Unmarked})
	}
	return &piece.Template{Pieces: []piece.Piece{p}}
}

// edgeOf returns an outline: four sides, each with up to two notches or bows.
func edgeOf(rng *rand.Rand, length, depth float64) geom.Loop {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	corners := [4]geom.Point{{X: 0, Y: 0}, {X: length, Y: between(-0.05, 0.05) * depth}, {X: length * between(0.9, 1), Y: depth}, {X: length * between(0, 0.1), Y: depth * between(0.9, 1)}}
	if rng.IntN(2) == 0 {
		corners = [4]geom.Point{{X: 0, Y: 0}, {X: length, Y: 0}, {X: length, Y: depth}, {X: 0, Y: depth}}
	}
	var l geom.Loop
	for i, a := range corners {
		b := corners[(i+1)%4]
		u := b.Sub(a).Unit()
		side := a.Distance(b)
		inward := u.Left()
		at := a
		if side > 400 && rng.IntN(3) > 0 {
			from := between(0.2, 0.5) * side
			to := from + between(20, 0.35*side)
			deep := between(10, depth-20)
			if i%2 == 1 {
				deep = between(10, 0.3*length)
			}
			lean := between(-0.3, 0.3) * deep
			q := a.Add(u.Mul(from))
			l = append(l, geom.Line(at, q))
			if rng.IntN(3) == 0 {
				r := a.Add(u.Mul(to))
				l = append(l, geom.Curve{A: q, B: r, Bulge: -math.Min(1, 2*deep/(to-from))})
				at = r
			} else {
				q2, r2, r := q.Add(inward.Mul(deep)).Add(u.Mul(lean)), a.Add(u.Mul(to)).Add(inward.Mul(deep)), a.Add(u.Mul(to))
				if q2.Sub(a).Dot(u) > to-10 {
					q2 = q.Add(inward.Mul(deep))
				}
				l = append(l, geom.Line(q, q2), geom.Line(q2, r2), geom.Line(r2, r))
				at = r
			}
		}
		last := geom.Line(at, b)
		if rng.IntN(4) == 0 {
			last.Bulge = between(-0.06, 0.06)
		}
		l = append(l, last)
	}
	return l
}

// opening returns a cutout about a place.
func opening(rng *rand.Rand, x, y float64) piece.Cutout {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	at := geom.Point{X: x, Y: y}
	switch rng.IntN(4) {
	case 0:
		d := between(20, 60)
		return piece.Cutout{Kind: piece.Hole, Diameter: d, Loop: geom.Circle(at, d/2)}
	case 1:
		d := between(80, 400)
		return piece.Cutout{Kind: piece.Other, Diameter: d, Loop: geom.Circle(at, d/2)}
	}
	a, b := between(20, 350), between(20, 200)
	l := geom.Polygon(geom.Point{X: -a, Y: -b}, geom.Point{X: -a, Y: b}, geom.Point{X: a, Y: b}, geom.Point{X: a, Y: -b})
	if rng.IntN(3) > 0 {
		l = Rounded(l, between(2, 0.9*math.Min(a, b)))
	}
	if rng.IntN(3) == 0 {
		l = l.Rotate(between(0, math.Pi))
	}
	kind := piece.Sink
	if rng.IntN(2) == 0 {
		kind = piece.Cooktop
	}
	return piece.Cutout{Kind: kind, Loop: l.Translate(at)}
}

// fits reports whether a loop lies inside the piece, clear of its cutouts.
func fits(p *piece.Piece, l geom.Loop) bool {
	loops := []geom.Loop{p.Outline}
	for _, c := range p.Cutouts {
		loops = append(loops, c.Loop)
		if c.Loop.Locate(l[0].A) != geom.Outside || l.Locate(c.Loop[0].A) != geom.Outside {
			return false
		}
	}
	if p.Outline.Locate(l[0].A) != geom.Inside {
		return false
	}
	for _, o := range loops {
		for _, c := range o {
			for _, d := range l {
				if len(geom.Intersect(c, d)) > 0 {
					return false
				}
			}
		}
	}
	return true
}

// Simple reports whether the outline crosses or touches itself nowhere.
func Simple(l geom.Loop) bool {
	for i, c := range l {
		for j := i + 1; j < len(l); j++ {
			for _, h := range geom.Intersect(c, l[j]) {
				next := j == i+1 && h.P.Distance(c.B) <= geom.Tolerance
				if !next && !(i == 0 && j == len(l)-1 && h.P.Distance(c.A) <= geom.Tolerance) {
					return false
				}
			}
		}
	}
	return true
}
