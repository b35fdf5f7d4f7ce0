package piece

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// templates are drawings with everything that may depend on how a drawing is
// turned, shuffled or scaled.
var templates = map[string]string{
	"kitchen": `
		COUNTER: 0,0 3050,0 3050,640 660,640^-0.41421356 640,660 640,2400 0,2400 close
		SINK: 1400,169 2100,169 2100,599 1400,599 close
		TAP HOLE: circle 1750,85 d35
		TAP HOLE: point 1900,85
		FINISHED: 660,640 3050,640
		FINISHED: 640,660 640,1500
		WALL: 0,2400 0,0 3050,0
		CABINET: 0,0 2150,0 2150,600 0,600 close
		CABINET: 0,600 600,600 600,2400 0,2400 close
		WALL LEDGE: 2150,10 2750,10
		DISHWASHER: 2150,20 2750,20 2750,600 2150,600 close
		LASER 3: 0,-100 200,-100`,
	"stepped seam and apron sink": `
		COUNTER: 0,0 3000,0 3000,640 0,640 loose
		COUNTER: 0,640 0,0.3
		SEAM: 1800,0 1800,400 1838.1,400 1838.1,640
		SINK: 600,500 1200,500 1200,700 600,700 close
		FINISHED: 0,0 3000,0`,
	"loose curves, mitre, splash": `
		COUNTER: 0,0 3000,0 3000,640 640,640 640,2400 0,2400 0,0 loose
		SEAM: 0,0 640,640
		SPLASH: 0,-300 3000,-300 3000,-200 0,-200 0,-300 loose
		COUNTER: circle 2000,300 d400
		FINISHED: 3000,640 640,640`,
}

// measures are what must not change, as sorted lines.
func measures(t *Template) string {
	var s []string
	mm := func(v float64) string { return fmt.Sprintf("%.5f", v+0) }
	for _, p := range t.Pieces {
		var edges []string
		for _, e := range p.Edges {
			edges = append(edges, fmt.Sprintf("%s %s %s %s", e.Kind, mm(e.Length()), mm(e.CornerDeg), e.Finish))
		}
		slices.Sort(edges)
		var cuts []string
		for _, c := range p.Cutouts {
			cuts = append(cuts, fmt.Sprintf("%s %s %v %s %s", c.Kind, mm(c.Loop.Area()), c.OverEdge, mm(c.Diameter), mm(c.MinRadius())))
		}
		slices.Sort(cuts)
		s = append(s, fmt.Sprintf("%s %s %s %v %v", p.Kind, mm(p.Outline.Area()), mm(p.NetArea()), edges, cuts))
	}
	for _, m := range t.Seams {
		var steps []string
		for _, p := range m.Steps {
			steps = append(steps, mm(p.At)+" "+mm(p.Depth))
		}
		slices.Sort(steps)
		s = append(s, fmt.Sprintf("%s %s %s %s %v", m.Kind, mm(m.Length), mm(m.MinGap), mm(m.MaxGap), steps))
	}
	for _, p := range t.Problems {
		s = append(s, fmt.Sprintf("%s %s %s", p.Kind, p.Layer, mm(p.Measured)))
	}
	for _, o := range t.Supports {
		s = append(s, fmt.Sprintf("support %s %d %s", mm(o.Area.Area()), len(o.Holes), mm(chainLength(o.Line))))
	}
	slices.Sort(s)
	return strings.Join(s, "\n")
}

func TestResultDoesNotDependOnDrawing(t *testing.T) {
	const seed = 20260
	random := rand.New(rand.NewPCG(seed, 1))
	for name, text := range templates {
		d := parse(t, text)
		want := buildDrawing(t, d)
		for round := range 20 {
			for what, change := range map[string]func(*dxfio.Drawing, *rand.Rand) *dxfio.Drawing{
				"order": shuffled, "direction": turnedRound, "motion": moved, "unit": inInches,
			} {
				got := buildDrawing(t, change(d, random))
				if g, w := measures(got), measures(want); g != w {
					t.Fatalf("%s, seed %d, round %d: %s changes the result to\n%s\nfrom\n%s", name, seed, round, what, g, w)
				}
				if what == "order" && describe(got) != describe(want) {
					t.Fatalf("%s, seed %d, round %d: order changes names or order:\n%s\n%s", name, seed, round, describe(got), describe(want))
				}
				if got.account != want.account {
					t.Fatalf("%s: %s changes the account to %+v from %+v", name, what, got.account, want.account)
				}
			}
		}
	}
}

// copied returns a drawing whose slices may be changed.
func copied(d *dxfio.Drawing) *dxfio.Drawing {
	c := *d
	c.Curves, c.Texts, c.Marks = slices.Clone(d.Curves), slices.Clone(d.Texts), slices.Clone(d.Marks)
	return &c
}

// shuffled changes the order of entities; curves of one stay together.
func shuffled(d *dxfio.Drawing, random *rand.Rand) *dxfio.Drawing {
	c := copied(d)
	var groups [][]dxfio.Curve
	for i := 0; i < len(d.Curves); {
		k := i
		for k < len(d.Curves) && d.Curves[k].Entity == d.Curves[i].Entity {
			k++
		}
		groups = append(groups, d.Curves[i:k])
		i = k
	}
	random.Shuffle(len(groups), func(i, k int) { groups[i], groups[k] = groups[k], groups[i] })
	c.Curves = slices.Concat(groups...)
	return c
}

func turnedRound(d *dxfio.Drawing, random *rand.Rand) *dxfio.Drawing {
	c := copied(d)
	for i := 0; i < len(c.Curves); {
		k := i
		for k < len(c.Curves) && c.Curves[k].Entity == c.Curves[i].Entity {
			k++
		}
		if random.IntN(2) == 0 {
			slices.Reverse(c.Curves[i:k])
			for m := i; m < k; m++ {
				c.Curves[m].Curve = c.Curves[m].Reverse()
			}
		}
		i = k
	}
	return c
}

func mapped(d *dxfio.Drawing, f func(geom.Point) geom.Point) *dxfio.Drawing {
	c := copied(d)
	for i := range c.Curves {
		c.Curves[i].A, c.Curves[i].B = f(c.Curves[i].A), f(c.Curves[i].B)
	}
	for i := range c.Texts {
		c.Texts[i].At = f(c.Texts[i].At)
	}
	for i := range c.Marks {
		c.Marks[i].At = f(c.Marks[i].At)
	}
	return c
}

func moved(d *dxfio.Drawing, random *rand.Rand) *dxfio.Drawing {
	angle, by := random.Float64()*2*math.Pi, geom.Point{X: random.Float64() * 5000, Y: -random.Float64() * 5000}
	return mapped(d, func(p geom.Point) geom.Point { return p.Rotate(angle).Add(by) })
}

// inInches draws the same in inches and reads it through Millimetres.
func inInches(d *dxfio.Drawing, _ *rand.Rand) *dxfio.Drawing {
	inch := mapped(d, func(p geom.Point) geom.Point { return p.Mul(1 / 25.4) })
	local, _ := inch.Millimetres(dxfio.UnitInch)
	return local
}

// Whatever is drawn, every curve goes somewhere.
func TestAccountOfAnything(t *testing.T) {
	const seed = 7
	random := rand.New(rand.NewPCG(seed, 2))
	layers := []string{"COUNTER", "SINK", "SEAM", "FINISHED", "WALL", "CABINET", "DW", "SPLASH", "0", "NOTES"}
	for round := range 150 {
		d := parse(t, templates["kitchen"])
		for range random.IntN(30) {
			place := func() geom.Point {
				return geom.Point{X: float64(random.IntN(33)) * 100, Y: float64(random.IntN(25)) * 100}
			}
			c := geom.Curve{A: place(), B: place()}
			if random.IntN(3) == 0 {
				c.Bulge = random.Float64()*2 - 1
			}
			layer := layerIndex(d, layers[random.IntN(len(layers))])
			d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: dxfio.Source{Layer: layer, Entity: int32(1e6 + len(d.Curves))}})
		}
		got, err := Build(context.Background(), d, Default(), trace.Default())
		if err != nil {
			t.Fatal(err)
		}
		if a := got.account; a.sum() != a.Curves || a.Curves != len(d.Curves) {
			t.Fatalf("seed %d, round %d: %+v of %d curves", seed, round, a, len(d.Curves))
		}
		lost := 0
		for _, p := range got.Problems {
			switch p.Kind {
			case StrayCurve, StraySeam, StrayFinish, CutoutAmbiguous:
				if !p.Part {
					lost += p.Count
				}
			}
		}
		if lost != got.account.Stray {
			t.Fatalf("seed %d, round %d: %d strays in the account, %d reported", seed, round, got.account.Stray, lost)
		}
		checkPieces(t, got)
	}
}

// stone returns the lines of measures that are about pieces.
func stone(t *Template) string {
	var out []string
	for line := range strings.SplitSeq(measures(t), "\n") {
		if strings.HasPrefix(line, string(Counter)) || strings.HasPrefix(line, string(Splash)) {
			out = append(out, line)
		}
	}
	return strings.Join(out, "\n")
}

// Lines and arcs strewn over a kitchen, on a grid so that they meet in every
// degenerate way, give the same stone in whatever order they come. Which of two
// equally good ways a hopeless line is reported may differ.
func TestStoneUnderRubbish(t *testing.T) {
	layers := []string{"COUNTER", "COUNTER", "SINK", "SEAM", "FINISHED", "WALL", "CABINET", "DW", "SPLASH"}
	for seed := range uint64(60) {
		random := rand.New(rand.NewPCG(seed, 3))
		d := parse(t, templates["kitchen"])
		place := func() geom.Point {
			return geom.Point{X: float64(random.IntN(33)) * 100, Y: float64(random.IntN(25)) * 100}
		}
		for i := range 2 + random.IntN(10) {
			c := geom.Curve{A: place(), B: place()}
			if random.IntN(3) == 0 {
				c.Bulge = random.Float64()*2 - 1
			}
			layer := layerIndex(d, layers[random.IntN(len(layers))])
			d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: dxfio.Source{Layer: layer, Entity: int32(1e6 + i)}})
		}
		want := buildDrawing(t, d)
		checkPieces(t, want)
		for _, change := range []func(*dxfio.Drawing, *rand.Rand) *dxfio.Drawing{shuffled, turnedRound, moved} {
			if got := buildDrawing(t, change(d, random)); stone(got) != stone(want) {
				t.Fatalf("seed %d: got\n%s\nwant\n%s", seed, stone(got), stone(want))
			}
		}
	}
}

// checkPieces asserts what holds of every piece.
func checkPieces(t *testing.T, got *Template) {
	t.Helper()
	for _, p := range got.Pieces {
		length := 0.0
		for i, e := range p.Edges {
			length += e.Length()
			next := p.Edges[(i+1)%len(p.Edges)]
			if e.N != i+1 || e.To().Distance(next.From()) > geom.Tolerance {
				t.Fatalf("piece %s: edge %d ends at %v, the next starts at %v", p.ID, e.N, e.To(), next.From())
			}
			if lower(e.From(), p.Edges[0].From()) && i > 0 {
				t.Fatalf("piece %s: edge %d starts lower than edge 1", p.ID, e.N)
			}
		}
		if math.Abs(length-p.Outline.Length()) > sameEdge {
			t.Fatalf("piece %s: edges of %.6f mm on an outline of %.6f mm", p.ID, length, p.Outline.Length())
		}
		if p.Outline.Area() <= 0 {
			t.Fatalf("piece %s has the area %g", p.ID, p.Outline.Area())
		}
		for _, c := range p.Cutouts {
			if c.Loop.Area() >= 0 {
				t.Fatalf("cutout %s runs counter-clockwise", c.ID)
			}
		}
	}
}
