package piece

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"trueup/dxfio/audit"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// noDifference fails the test where drawing and release differ.
func noDifference(t testing.TB, got *Template) {
	t.Helper()
	for _, d := range differences(t, got) {
		t.Errorf("difference: %+v", d)
	}
}

func differences(t testing.TB, got *Template) []audit.Difference {
	t.Helper()
	found, ok, err := got.Differences(nil)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	return found
}

// changed returns the template with its pieces copied, for breaking them.
func (t *Template) changed() *Template {
	c := *t
	c.Pieces = slices.Clone(t.Pieces)
	for i := range c.Pieces {
		p := &c.Pieces[i]
		p.Outline, p.Cutouts = slices.Clone(p.Outline), slices.Clone(p.Cutouts)
		for k := range p.Cutouts {
			p.Cutouts[k].Loop = slices.Clone(p.Cutouts[k].Loop)
		}
	}
	return &c
}

// released lists the lines that a template releases, for breaking them one by one.
func lines(t *Template) []*geom.Loop {
	var all []*geom.Loop
	for i := range t.Pieces {
		all = append(all, &t.Pieces[i].Outline)
		for k := range t.Pieces[i].Cutouts {
			if c := &t.Pieces[i].Cutouts[k]; !c.OverEdge {
				all = append(all, &c.Loop)
			}
		}
	}
	return all
}

// exact are drawings that closing leaves as they are: the audit's only tolerance
// there is Fit.
var exact = map[string]string{
	"kitchen": templates["kitchen"],
	"separate lines": `
		COUNTER: 0,0 3000,0 3000,640 640,640 640,2400 0,2400 0,0 loose
		SPLASH: 0,-300 3000,-300 3000,-200 0,-200 0,-300 loose
		COUNTER: circle 2000,300 d400
		SINK: 700,150 1300,150 1300,500 700,500 700,150 loose`,
	"bowed, with an oval": `
		COUNTER: 0,0^0.1 2400,0 2400,640^-0.05 0,640 close
		SINK: ellipse 600,320 210,160
		TAP HOLE: circle 1750,85 d6`,
	"two tops that share an edge": `
		COUNTER: 0,0 1800,0 1800,640 0,640 close
		COUNTER: 1800,0 3000,0 3000,640 1800,640 close
		COOKTOP: 2100,100 2700,100 2700,500 2100,500 close`,
	"divided": `
		COUNTER: 0,0 3000,0 3000,640 0,640 close
		SEAM: 1500,0 1500,640
		SINK: 700,150 1300,150 1300,500 700,500 close`,
}

// Whatever is moved, turned, scaled or bent past the tolerance is found, and what
// stays below it is not.
func TestAuditFindsWhatMoved(t *testing.T) {
	const seed = 11
	rng := rand.New(rand.NewPCG(seed, 5))
	most := func(l geom.Loop, f func(geom.Point) geom.Point) float64 { // by how much a corner moves
		d := 0.0
		for _, c := range l {
			d = math.Max(d, c.A.Distance(f(c.A)))
		}
		return d
	}
	for _, name := range slices.Sorted(maps.Keys(exact)) {
		whole := build(t, exact[name])
		for i := range lines(whole) {
			l := *lines(whole)[i]
			box, center := l.Box(), l.Centroid()
			angle := rng.Float64() * 2 * math.Pi
			for what, ways := range map[string]func(by float64) geom.Loop{
				"moved": func(by float64) geom.Loop { return l.Translate(geom.Point{X: by}.Rotate(angle)) },
				"larger": func(by float64) geom.Loop { // every side by as much
					return mappedLoop(l, func(p geom.Point) geom.Point {
						return geom.Point{X: p.X + by*(p.X-center.X)/box.Width()*2, Y: p.Y + by*(p.Y-center.Y)/box.Height()*2}
					})
				},
				"turned": func(by float64) geom.Loop {
					full := most(l, func(p geom.Point) geom.Point { return p.Sub(center).Rotate(1e-6).Add(center) })
					return l.Translate(center.Mul(-1)).Rotate(by / full * 1e-6).Translate(center)
				},
				"bent": func(by float64) geom.Loop {
					c := slices.Clone(l)
					k := rng.IntN(len(c))
					c[k].Bulge += 2 * by / c[k].Chord() // sagitta = bulge * chord / 2
					return c
				},
			} {
				for _, by := range []float64{0.5 * audit.Fit, 0.9 * audit.Fit / 1.5, 2.2 * audit.Fit, 1, 25} {
					got := whole.changed()
					*lines(got)[i] = ways(by)
					found := differences(t, got)
					if by < audit.Fit && what != "larger" && len(found) > 0 {
						t.Errorf("%s, line %d %s by %g: %+v", name, i, what, by, found)
					}
					_, _, round := l.Round(audit.Fit)
					same := what == "turned" && (round || by < 10*audit.Fit && !l[0].IsLine()) // an oval hardly leaves itself
					if by > 2*audit.Fit && len(found) == 0 && !same {
						t.Errorf("%s, line %d %s by %g: nothing found (seed %d)", name, i, what, by, seed)
					}
				}
			}
		}
	}
}

func mappedLoop(l geom.Loop, f func(geom.Point) geom.Point) geom.Loop {
	out := slices.Clone(l)
	for i := range out {
		out[i].A, out[i].B = f(out[i].A), f(out[i].B)
	}
	return out
}

// At the tolerance itself: a straight side moved square to itself, by hand.
func TestAuditTolerance(t *testing.T) {
	whole := build(t, "COUNTER: 0,0 2400,0 2400,640 0,640 close\nSINK: 700,150 1300,150 1300,500 700,500 close")
	for _, by := range []float64{0.0099, 0.0101} {
		for i := range lines(whole) {
			got := whole.changed()
			l := lines(got)[i]
			*l = l.Translate(geom.Point{X: by})
			found := differences(t, got)
			if (len(found) > 0) != (by > audit.Fit) {
				t.Errorf("line %d moved by %g: %+v", i, by, found)
			}
			for _, d := range found {
				if math.Abs(d.Distance-by) > 1e-6 || d.Limit != audit.Fit {
					t.Errorf("line %d moved by %g: measured %g, limit %g", i, by, d.Distance, d.Limit)
				}
			}
		}
	}
}

// What is left out, put in, swapped or cut twice is found.
func TestAuditFindsWhatVanished(t *testing.T) {
	for _, name := range slices.Sorted(maps.Keys(exact)) {
		whole := build(t, exact[name])
		for i, p := range whole.Pieces {
			breaks := map[string]func(*Template){
				"piece dropped": func(t *Template) { t.Pieces = slices.Delete(t.Pieces, i, i+1) },
				"piece twice":   func(t *Template) { t.Pieces = append(t.Pieces, p) },
				"piece copied off": func(t *Template) {
					q := p
					q.Outline = p.Outline.Translate(geom.Point{X: 5000})
					t.Pieces = append(t.Pieces, q)
				},
				"hole put in": func(t *Template) {
					at := insidePoint(p)
					t.Pieces[i].Cutouts = append(t.Pieces[i].Cutouts, Cutout{Loop: geom.Circle(at, 3).Reverse()})
				},
			}
			for k, c := range p.Cutouts {
				breaks[fmt.Sprintf("cutout %d dropped", k)] = func(t *Template) { t.Pieces[i].Cutouts = slices.Delete(t.Pieces[i].Cutouts, k, k+1) }
				breaks[fmt.Sprintf("cutout %d became a piece", k)] = func(t *Template) {
					t.Pieces[i].Cutouts = slices.Delete(t.Pieces[i].Cutouts, k, k+1)
					t.Pieces = append(t.Pieces, Piece{Outline: c.Loop.Reverse()})
				}
				breaks[fmt.Sprintf("cutout %d is a piece, too", k)] = func(t *Template) {
					t.Pieces = append(t.Pieces, Piece{Outline: c.Loop.Reverse()})
				}
			}
			for what, do := range breaks {
				got := whole.changed()
				do(got)
				if len(differences(t, got)) == 0 {
					t.Errorf("%s, piece %d: %s: nothing found", name, i, what)
				}
			}
		}
	}
}

func insidePoint(p Piece) geom.Point {
	r := geom.Region{Outer: p.Outline}
	for _, c := range p.Cutouts {
		r.Holes = append(r.Holes, c.Loop)
	}
	q, _ := insideOf(r)
	return q
}

// What a line leaves over past its corner is listed with its length when it is as
// short as an overshoot that is trimmed: the second line ends 2 mm past the top.
func TestShortStubIsListed(t *testing.T) {
	got := build(t, "COUNTER: 0,0 2400,0 2400,640 0,640 close\nCOUNTER: 1200,640 1200,1200 1800,1200 1800,638 loose")
	for _, r := range got.Repairs {
		if r.Size > 0 && math.Abs(r.Size-2) < 1e-6 && r.At.Distance(geom.Point{X: 1800, Y: 639}) <= 1+1e-6 {
			return
		}
	}
	t.Errorf("no repair of 2 mm at the stub: %v; %s", got.Repairs, summary(got))
}

// A seam that divides one piece and runs on into another is told there.
func TestSeamThatRunsOnIntoAnotherPiece(t *testing.T) {
	got := build(t, "COUNTER: 0,0 2400,0 2400,640 0,640 close\nCOUNTER: 0,700 2400,700 2400,1340 0,1340 close\nSEAM: 1200,0 1200,744 loose")
	for _, p := range got.Problems {
		if p.Kind == StraySeam && math.Abs(p.Measured-44) < 1e-6 {
			return
		}
	}
	t.Errorf("the 44 mm in the second piece are not told: %s", summary(got))
}

// A cutout over a whole piece leaves nothing of it: that is asked, whoever asks.
func TestPieceThatACutoutSwallowsIsAsked(t *testing.T) {
	const tops = "COUNTER: 0,0 2400,0 2400,640 0,640 close\nCOUNTER: 3000,0 3100,0 3100,100 3000,100 close\n"
	for _, cutout := range []string{
		"CUTOUT: 2990,-10 3110,-10 3110,110 2990,110 close", // around it
		"CUTOUT: 3000,0 3100,0 3100,100 3000,100 close",     // the same line
		"CUTOUT: 3000.05,0 3100.05,0 3100.05,100 3000.05,100 close",
		"CUTOUT: 2990,0 3110,0 3110,110 2990,110 close",
	} {
		got, err := Build(t.Context(), parse(t, tops+cutout), Default(), trace.Default())
		if err != nil {
			t.Fatal(err)
		}
		found := differences(t, got)
		if len(found) == 0 && !slices.ContainsFunc(got.Problems, func(p Problem) bool { return stopKinds[p.Kind] }) {
			t.Errorf("%s: %d pieces, and nobody is asked: %s", cutout, len(got.Pieces), summary(got))
		}
	}
}
