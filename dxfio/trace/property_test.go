package trace

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"trueup/dxfio/geom"
)

// fingerprint gives everything a result says in a form that does not depend on
// order, direction or place: points are brought back by undo first.
func fingerprint(r Result, undo func(geom.Point) geom.Point) []string {
	at := func(p geom.Point) string {
		q := undo(p)
		return fmt.Sprintf("%.0f,%.0f", math.Round(q.X*20)/20+0.013, math.Round(q.Y*20)/20+0.013)
	}
	var out []string
	for _, f := range r.Faces {
		g := geom.Region{Outer: f.Outer.Geom()}
		length := g.Outer.Length()
		for _, h := range f.Holes {
			g.Holes = append(g.Holes, h.Geom())
			length += h.Geom().Length()
		}
		parent := "-"
		if f.Parent >= 0 {
			parent = fmt.Sprintf("%.2f", r.Faces[f.Parent].Outer.Geom().Area())
		}
		out = append(out, fmt.Sprintf("face %d area %.1f length %.3f at %s curves %d holes %d in %s",
			f.Depth, g.Area(), length, at(g.Centroid()), len(f.Outer), len(f.Holes), parent))
	}
	for _, o := range r.Open {
		a, b := at(o.From), at(o.To)
		out = append(out, fmt.Sprintf("open %s %s gap %.3f curves %d", min(a, b), max(a, b), o.Gap, len(o.Curves)))
	}
	for _, c := range r.Strays {
		out = append(out, fmt.Sprintf("stray %s %.3f", at(c.Middle()), c.Length()))
	}
	for _, c := range r.Crossings {
		out = append(out, fmt.Sprintf("crossing %v %.2f", c.Self, c.Area))
	}
	for _, c := range r.Repairs {
		out = append(out, fmt.Sprintf("%s %.3f", c.Kind, c.Size))
	}
	slices.Sort(out)
	return out
}

func same(p geom.Point) geom.Point { return p }

// disorder shuffles curves and turns half of them round.
func disorder(r *rand.Rand, in []Curve) []Curve {
	out := slices.Clone(in)
	r.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	for i := range out {
		if r.IntN(2) == 0 {
			out[i].Curve = out[i].Curve.Reverse()
		}
	}
	return out
}

func TestOrderDirectionAndMotion(t *testing.T) {
	r := newRand(t, 21)
	for _, tc := range cases {
		curves := parse(t, tc.drawing)
		want := fingerprint(closed(curves, Default()), same)
		for round := range 6 {
			angle, shift := r.Float64()*2*math.Pi, geom.Point{X: r.Float64()*1e4 - 5e3, Y: r.Float64()*1e4 - 5e3}
			mirror := round%2 == 1
			moved := disorder(r, curves)
			for i := range moved {
				if mirror {
					moved[i].Curve = moved[i].Curve.Mirror()
				}
				moved[i].Curve = moved[i].Curve.Rotate(angle).Translate(shift)
			}
			undo := func(p geom.Point) geom.Point {
				p = p.Sub(shift).Rotate(-angle)
				if mirror {
					p.X = -p.X
				}
				return p
			}
			if got := fingerprint(closed(moved, Default()), undo); !slices.Equal(got, want) {
				t.Errorf("%s, round %d:\n got %q\nwant %q", tc.name, round, got, want)
			}
		}
		if got := fingerprint(closed(disorder(r, curves), Default()), same); !slices.Equal(got, want) {
			t.Errorf("%s, disordered:\n got %q\nwant %q", tc.name, got, want)
		}
	}
}

// star returns a simple closed outline of n corners around the origin, with
// arcs on about a third of its sides.
func star(r *rand.Rand, n int, entity int32) []Curve {
	p := make([]geom.Point, n)
	for i := range p {
		p[i] = geom.Point{X: 500 + 1500*r.Float64()}.Rotate(2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n))
	}
	out := make([]Curve, n)
	for i := range p {
		out[i] = Curve{Curve: geom.Line(p[i], p[(i+1)%n]), ID: int32(i), Entity: entity}
		if r.IntN(3) == 0 {
			out[i].Bulge = r.Float64()*0.02 - 0.01
		}
	}
	return out
}

// A drawing of every curve's place: whatever is drawn comes back as a face, an
// open chain, a stray, a crossing or a repair.
func TestEveryCurveIsAccountedFor(t *testing.T) {
	r := newRand(t, 22)
	for round := range 400 {
		var curves []Curve
		for range 1 + r.IntN(25) {
			a := geom.Point{X: float64(r.IntN(30)) * 10, Y: float64(r.IntN(30)) * 10}
			b := geom.Point{X: float64(r.IntN(30)) * 10, Y: float64(r.IntN(30)) * 10}
			c := Curve{Curve: geom.Line(a, b), ID: int32(len(curves)), Entity: -1}
			if r.IntN(4) == 0 {
				c.Bulge = r.Float64()*2 - 1
			}
			if r.IntN(4) == 0 {
				c.Kind = Divider
			}
			curves = append(curves, c)
		}
		res := closed(curves, Default())
		seen := map[int32]bool{}
		for _, f := range res.Faces {
			for _, l := range append([]Loop{f.Outer}, f.Holes...) {
				for i, c := range l {
					seen[c.ID] = true
					if d := c.B.Distance(l[(i+1)%len(l)].A); d != 0 {
						t.Fatalf("round %d: loop gapes by %g", round, d)
					}
				}
			}
			if f.Outer.Geom().Area() <= 0 {
				t.Errorf("round %d: outer loop of area %g", round, f.Outer.Geom().Area())
			}
			for _, h := range f.Holes {
				if h.Geom().Area() >= 0 {
					t.Errorf("round %d: hole of area %g", round, h.Geom().Area())
				}
			}
			if f.Parent >= 0 && res.Faces[f.Parent].Depth != f.Depth-1 || f.Parent < 0 && f.Depth != 0 {
				t.Errorf("round %d: depth %d, parent %d", round, f.Depth, f.Parent)
			}
		}
		for _, o := range res.Open {
			for _, c := range o.Curves {
				seen[c.ID] = true
			}
		}
		for _, c := range res.Strays {
			seen[c.ID] = true
		}
		for _, c := range res.Repairs {
			seen[c.ID] = true
		}
		for _, c := range curves {
			if !seen[c.ID] && len(res.Crossings) == 0 {
				t.Errorf("round %d: curve %d of %v is nowhere in %v", round, c.ID, c, describe(res))
			}
		}
	}
}

func TestClosedOutlinesKeepTheirArea(t *testing.T) {
	r := newRand(t, 23)
	for round := range 300 {
		curves := star(r, 3+r.IntN(60), int32(round%2)-1)
		want := 0.0
		var l geom.Loop
		for _, c := range curves {
			l = append(l, c.Curve)
		}
		want = l.Area()
		res := closed(disorder(r, curves), Default())
		if len(res.Faces) != 1 || len(res.Repairs)+len(res.Open)+len(res.Strays)+len(res.Crossings) > 0 {
			t.Fatalf("round %d: %v", round, describe(res))
		}
		if got := res.Faces[0].Outer.Geom().Area(); math.Abs(got-want) > 1e-6*want {
			t.Errorf("round %d: area %.9g, want %.9g", round, got, want)
		}
		if n := len(res.Faces[0].Outer); n != len(curves) {
			t.Errorf("round %d: %d curves, want %d", round, n, len(curves))
		}
	}
}
