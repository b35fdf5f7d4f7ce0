package trace

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"trueup/dxfio/geom"
)

// farthestDrawn returns the largest distance of points as drawn, a hundred on every
// line between them, from the curves of a face.
func farthestDrawn(p []geom.Point, of geom.Loop) float64 {
	most := 0.0
	for i := range p {
		side := geom.Line(p[i], p[(i+1)%len(p)])
		for k := range 100 {
			most = math.Max(most, nearestOf(side.At(float64(k)/100), of))
		}
	}
	return most
}

func nearestOf(p geom.Point, of geom.Loop) float64 {
	least := math.Inf(1)
	for _, c := range of {
		least = math.Min(least, c.Distance(p))
	}
	return least
}

// farthestMade returns the largest distance of the curves of a face from what was
// drawn, sampled.
func farthestMade(of geom.Loop, p []geom.Point) float64 {
	most := 0.0
	drawn := geom.Polygon(p...)
	for _, c := range of {
		for k := range 400 {
			most = math.Max(most, nearestOf(c.At(float64(k)/400), drawn))
		}
	}
	return most
}

// bay is a top whose front has a bay of n sides that turn by the same angle, and
// the corners where it begins.
func bay(n int, side, turnDeg float64) []geom.Point {
	turn := turnDeg * math.Pi / 180
	p := []geom.Point{{}}
	for i := range n {
		a := (float64(i) - float64(n-1)/2) * turn
		p = append(p, p[i].Add(geom.Point{X: side}.Rotate(a)))
	}
	w := p[n].X
	return append(p, geom.Point{X: w + 400}, geom.Point{X: w + 400, Y: 900 + side*float64(n)}, geom.Point{X: -400, Y: 900 + side*float64(n)}, geom.Point{X: -400})
}

// sagitta is the bulge of a chord of length c that turns by an angle: c/2 tan(turn/4),
// from any handbook.
func sagitta(c, turnDeg float64) float64 { return c / 2 * math.Tan(turnDeg*math.Pi/720) }

// Sides that bulge by more than FacetSagitta stay where they are to the last
// digit, whatever their number, length, turn and position; what bulges less moves
// by no more than that, and by FacetTolerance at its corners.
func TestSidesStay(t *testing.T) {
	r := newRand(t, 11)
	s := Default()
	straight, arcs := 0, 0
	for range 400 {
		n, side, turn := 3+r.IntN(9), math.Exp(math.Log(20)+r.Float64()*math.Log(150)), 3+22*r.Float64()
		var p []geom.Point
		switch r.IntN(3) {
		case 0:
			n = 5 + r.IntN(28)
			turn = 360 / float64(n)
			p = chords(geom.Point{}, side/2/math.Sin(math.Pi/float64(n)), 0, 360, n)[:n]
		default:
			p = bay(n, side, turn)
		}
		a, at := r.Float64()*7, geom.Point{X: 1e4 * r.Float64(), Y: 1e4 * r.Float64()}
		for i := range p {
			p[i] = p[i].Rotate(a).Add(at)
		}
		got := closed(ring(p, int32(r.IntN(2)-1)), s)
		what := fmt.Sprintf("%d sides of %.1f that turn by %.2f, bulging %.2f", n, side, turn, sagitta(side, turn))
		if len(got.Faces) != 1 || len(got.Open)+len(got.Strays)+len(got.Crossings) > 0 {
			t.Fatalf("%s: %v", what, describe(got))
		}
		outer := got.Faces[0].Outer.Geom()
		drawn, made := farthestDrawn(p, outer), farthestMade(outer, p)
		if sag := sagitta(side, turn); sag > s.FacetSagitta+1e-6 {
			straight++
			if len(got.Repairs) > 0 || len(outer) != len(p) || drawn > 1e-6 || made > 1e-6 {
				t.Errorf("%s: moved by %.4f and %.4f: %v", what, drawn, made, got.Repairs)
			}
			if told := len(got.Coarse) == 1; told != (n >= minChords && turn <= s.FacetTurn) {
				t.Errorf("%s: told %v", what, got.Coarse)
			} else if told {
				c := got.Coarse[0]
				if c.Sides != n || math.Abs(c.Side-side) > 1e-6 || math.Abs(c.Sagitta-sag) > 1e-6 || math.Abs(c.Radius-side/2/math.Sin(turn*math.Pi/360)) > 1e-5*c.Radius {
					t.Errorf("%s: told as %+v", what, c)
				}
			}
		} else if sag < s.FacetSagitta {
			if len(got.Repairs) > 0 {
				arcs++
			}
			if math.Max(drawn, made) > s.FacetSagitta+1e-6 {
				t.Errorf("%s: moved by %.4f and %.4f", what, drawn, made)
			}
			if len(got.Coarse) > 0 {
				t.Errorf("%s: told %v", what, got.Coarse)
			}
		}
		for _, q := range p {
			if d := nearestOf(q, outer); d > s.FacetTolerance {
				t.Errorf("%s: a corner left by %.4f", what, d)
			}
		}
	}
	if straight < 100 || arcs < 50 {
		t.Errorf("%d kept straight and %d read as arcs: too few to show anything", straight, arcs)
	}
}

// Circles and bows written as chords to a chordal tolerance, with as few chords as
// that allows, have the radius that was exported. The number of chords to a
// tolerance t: each turns by 2 acos(1 - t/r), by the definition of the cosine.
func TestChordalTolerance(t *testing.T) {
	s := Default()
	s.SliverArea = 0 // a circle of radius 5 is none
	for _, tol := range []float64{0.01, 0.02, 0.05, 0.1, 0.25, 0.5, 1, 2} {
		for _, r := range []float64{5, 8, 12.7, 17.5, 25, 50, 100, 200, 300, 500, 573, 600, 800, 1000, 1500, 2000} {
			turn := 2 * math.Acos(1-tol/r) * 180 / math.Pi
			if turn > s.FacetTurn || tol >= r {
				continue // so few that they are sides by their turn
			}
			n := int(math.Ceil(360/turn - 1e-9))
			p := chords(geom.Point{X: 70, Y: 30}, r, 3, 360, n)[:n]
			got := closed(ring(p, 1), s)
			if len(got.Faces) != 1 || len(got.Faces[0].Outer) != 2 || math.Abs(got.Faces[0].Outer[0].Radius()-r) > 1e-6*r {
				t.Errorf("circle of radius %g in %d chords: %v", r, n, describe(got))
			}
			if n := int(math.Ceil(60/turn - 1e-9)); n >= minChords {
				p := append(chords(geom.Point{}, r, 240, 60, n), geom.Point{X: r / 2, Y: r}, geom.Point{X: -r / 2, Y: r})
				got := closed(ring(p, 1), s)
				if len(got.Faces) != 1 || len(got.Faces[0].Outer) != 4 {
					t.Errorf("bow of radius %g in %d chords: %v", r, n, describe(got))
					continue
				}
				for _, c := range got.Faces[0].Outer {
					if c.Bulge != 0 && math.Abs(c.Radius()-r) > 1e-6*r {
						t.Errorf("bow of radius %g in %d chords: an arc of %g", r, n, c.Radius())
					}
				}
			}
		}
	}
}

// Chords whose ends scatter about their circle: whatever is made of them, no end
// lies farther than FacetTolerance from it, and a repair's size is the largest
// distance between the two, measured here by points close together.
func TestFacetSize(t *testing.T) {
	r := newRand(t, 12)
	s := Default()
	made := 0
	for range 150 {
		n, radius, sweep := 4+r.IntN(40), 5*math.Exp(r.Float64()*5), 30+200*r.Float64()
		scatter := 0.12 * r.Float64()
		p := chords(geom.Point{}, radius, 0, sweep, n)
		for i := range p {
			p[i] = p[i].Add(geom.Point{X: scatter}.Rotate(7 * r.Float64()))
		}
		p = append(p, geom.Point{X: -3 * radius, Y: -2 * radius}, geom.Point{X: 3 * radius, Y: -2 * radius})
		if sweep > 150 { // back through the middle of the circle
			p = append(p[:n+1], geom.Point{Y: 0.01})
		}
		got := closed(ring(p, 1), s)
		what := fmt.Sprintf("%d chords over %.1f degrees of radius %.2f, scattered by %.3f", n, sweep, radius, scatter)
		if len(got.Faces) != 1 || slices.ContainsFunc(got.Repairs, func(x Repair) bool { return x.Kind != FacetsToArc }) {
			continue // scattered so much that the line crosses itself
		}
		outer := got.Faces[0].Outer.Geom()
		for _, q := range p {
			if d := nearestOf(q, outer); d > s.FacetTolerance+1e-9 {
				t.Errorf("%s: an end left by %.4f", what, d)
			}
		}
		want, size := math.Max(farthestDrawn(p, outer), farthestMade(outer, p)), 0.0
		for _, x := range got.Repairs {
			if x.Kind == FacetsToArc {
				made++
				size = math.Max(size, x.Size)
			}
		}
		if len(got.Repairs) > 0 && math.Abs(size-want) > 1e-3*want+1e-6 {
			t.Errorf("%s: size %.5f, sampled %.5f: %v", what, size, want, got.Repairs)
		}
	}
	if made < 80 {
		t.Errorf("%d arcs: too few to show anything", made)
	}
}

// A bow whose arc would run over the hole or the piece beside its chords stays as
// drawn, and is told; the same bow with nothing near it is its arc, also where the
// mate's chords follow it 1.5 mm away. Chords of 100 on a radius of 800 bulge by
// 800 - sqrt(800^2 - 50^2) = 1.564 mm.
func TestArcOverLineBeside(t *testing.T) {
	top := append(chords(geom.Point{Y: 800}, 800, 270-3*7.16, 6*7.16, 6), geom.Point{X: 1500, Y: 1000}, geom.Point{X: -1500, Y: 1000})
	bulge := 800 * (1 - math.Cos(3.58*math.Pi/180))
	low := func(y float64) []Curve { // a piece before the bow, up to y
		return ring([]geom.Point{{X: -300, Y: y}, {X: -300, Y: -500}, {X: 300, Y: -500}, {X: 300, Y: y}}, 7)
	}
	// From (0, 0) a chord runs up to (99.7, 6.2): its middle lies 3.1 high, the arc 1.6.
	mate := append(chords(geom.Point{Y: 800}, 801.5, 270-3*7.16, 6*7.16, 6), geom.Point{X: 600, Y: -500}, geom.Point{X: -600, Y: -500})
	for _, c := range []struct {
		name   string
		beside []Curve
		arcs   int
	}{
		{"nothing near", low(-50), 1},
		{"a line under the bulge", ring([]geom.Point{{X: 45, Y: 2.2}, {X: 55, Y: 2.6}, {X: 55, Y: -40}, {X: 45, Y: -40}}, 7), 0},
		{"the mate 1.5 mm away", ring(mate, 7), 2},
	} {
		beside := c.beside
		for i := range beside {
			beside[i].ID += 100
		}
		got := closed(append(ring(top, 1), beside...), Default())
		arcs := 0
		for _, x := range got.Repairs {
			if x.Kind == FacetsToArc {
				arcs++
			}
		}
		if arcs != c.arcs || len(got.Faces) != 2 || len(got.Crossings)+len(got.Open)+len(got.Strays) > 0 {
			t.Errorf("%s: %v", c.name, describe(got))
		}
		if told := len(got.Coarse) == 1 && got.Coarse[0].Crosses && math.Abs(got.Coarse[0].Sagitta-bulge) < 1e-6; told != (c.arcs == 0) {
			t.Errorf("%s: told %+v", c.name, got.Coarse)
		}
	}
}
