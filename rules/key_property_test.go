package rules

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// sketch is a drawing made of closed loops and open lines on layers.
type sketch struct{ dxfio.Drawing }

func (s *sketch) add(layer string, typ dxfio.EntityType, curves ...geom.Curve) *sketch {
	i := slices.IndexFunc(s.Layers, func(l dxfio.Layer) bool { return l.Name == layer })
	if i < 0 {
		i = len(s.Layers)
		s.Layers = append(s.Layers, dxfio.Layer{Name: layer})
	}
	entity := int32(1)
	if n := len(s.Curves); n > 0 {
		entity = s.Curves[n-1].Entity + 1
	}
	for _, c := range curves {
		s.Curves = append(s.Curves, dxfio.Curve{Curve: c, Source: dxfio.Source{Layer: int32(i), Entity: entity, Type: typ}})
	}
	return s
}

func (s *sketch) loop(layer string, l geom.Loop) *sketch {
	return s.add(layer, dxfio.EntityPolyline, l...)
}

func (s *sketch) line(layer string, a, b geom.Point) *sketch {
	return s.add(layer, dxfio.EntityLine, geom.Line(a, b))
}

func newSketch() *sketch {
	s := &sketch{}
	s.Version, s.Units = "AC1015", dxfio.UnitMillimetre
	return s
}

// tied are drawings whose flaws have equals: worst points in four corners, posts
// under a symmetric top, a cutout between two pieces.
func tied() map[string]*sketch {
	return map[string]*sketch{
		"island, worst in two corners": newSketch().loop("COUNTER", box(0, 0, 2700, 1050)).loop("CABINET", box(40, 290, 2660, 1010)),
		"square on a post":             newSketch().loop("COUNTER", box(0, 0, 900, 900)).loop("CABINET", box(350, 350, 550, 550)),
		"round on a round post":        newSketch().loop("COUNTER", geom.Circle(xy(0, 0), 600)).loop("CABINET", geom.Circle(xy(0, 0), 250)),
		"table on four legs": newSketch().loop("COUNTER", box(0, 0, 2400, 1000)).loop("CABINET", box(60, 60, 120, 120)).loop("CABINET", box(2280, 60, 2340, 120)).
			loop("CABINET", box(60, 880, 120, 940)).loop("CABINET", box(2280, 880, 2340, 940)),
		"overhang front and back":       newSketch().loop("COUNTER", box(0, 0, 2400, 1250)).loop("CABINET", box(0, 300, 2400, 950)),
		"two knee spaces":               newSketch().loop("COUNTER", box(0, 0, 3600, 640)).loop("CABINET", box(0, 40, 400, 640)).loop("CABINET", box(1400, 40, 2200, 640)).loop("CABINET", box(3200, 40, 3600, 640)),
		"corners just past":             newSketch().loop("COUNTER", box(0, 0, 2400, 1000)).loop("CABINET", box(200, 200, 2200, 800)),
		"seam beside a sink":            newSketch().loop("COUNTER", box(0, 0, 2400, 640)).line("SEAM", xy(1000, 0), xy(1000, 640)).loop("SINK", roundedBox(1149.9, 120, 1549.9, 500, 15)),
		"two sinks, four equal corners": newSketch().loop("COUNTER", box(0, 0, 2400, 640)).loop("SINK", box(300, 30, 1000, 610)).loop("SINK", box(1400, 30, 2100, 610)),
		"stray line":                    newSketch().loop("COUNTER", box(0, 0, 2400, 640)).line("COUNTER", xy(300, 900), xy(900, 1000)),
		"seam short at both ends":       newSketch().loop("COUNTER", box(0, 0, 2400, 640)).line("SEAM", xy(1000, 5), xy(1000, 635)),
		"dashed seam in the middle": newSketch().loop("COUNTER", box(0, 0, 2400, 640)).line("SEAM", xy(1200, 5), xy(1200, 200)).
			line("SEAM", xy(1200, 220), xy(1200, 420)).line("SEAM", xy(1200, 440), xy(1200, 635)),
		"rim and bowl":     newSketch().loop("COUNTER", box(0, 0, 2400, 640)).loop("SINK RIM", roundedBox(900, 100, 1500, 540, 20)).loop("SINK", roundedBox(920, 120, 1480, 520, 20)),
		"finish marks off": newSketch().loop("COUNTER", box(0, 0, 2400, 640)).line("FINISHED", xy(0, -3), xy(2400, -3)).line("FINISHED", xy(0, 643), xy(2400, 643)),
		"corners unmarked": newSketch().loop("COUNTER", roundedBox(0, 0, 2400, 640, 40)).line("FINISHED", xy(40, 0), xy(2360, 0)).
			line("FINISHED", xy(0, 40), xy(0, 600)).line("FINISHED", xy(2400, 40), xy(2400, 600)),
		"overlapping": newSketch().loop("COUNTER", box(0, 0, 2400, 640)).loop("COUNTER", box(2300, 500, 4700, 1140)),
		"sharp":       newSketch().loop("COUNTER", geom.Polygon(xy(0, 0), xy(2400, 0), xy(2400, 300), xy(1200, 800), xy(0, 300))).loop("COUNTER", geom.Polygon(xy(0, 2000), xy(1200, 2000), xy(600, 2400))),
	}
}

// randomKitchen draws a top with cabinets and openings under it, cutouts in it; figures are round, so that many places are equally bad.
func randomKitchen(rng *rand.Rand) *sketch {
	s := newSketch()
	round := func(least, most, step float64) float64 {
		return math.Round((least+(most-least)*rng.Float64())/step) * step
	}
	w, h := round(1200, 3000, 100), round(500, 1300, 50)
	s.loop("COUNTER", box(0, 0, w, h))
	in := round(0, 60, 20)
	front := round(20, 350, 10)
	switch rng.IntN(4) {
	case 0:
		s.loop("CABINET", box(in, front, w-in, h-in))
	case 1:
		s.loop("CABINET", box(in, front, w-in, h-front))
	case 2:
		gap := round(600, 1100, 50)
		s.loop("CABINET", box(in, front, w/2-gap/2, h-in)).loop("CABINET", box(w/2+gap/2, front, w-in, h-in))
	case 3:
		s.loop("CABINET", box(in, front, w-in, h-in)).loop("OPENING", box(w/2-300, front, w/2+300, h-in))
	}
	n := rng.IntN(3)
	for i := range n {
		x := w * (float64(i) + 0.5) / float64(n)
		half := math.Min(round(150, 380, 10), w/float64(n)/2-round(20, 100, 10))
		y := round(30, 100, 10)
		if h > 700 { // no basin is deeper than a top before a wall
			y = (h - 500) / 2
		}
		if h-2*y < 100 || half < 50 {
			continue
		}
		s.loop([]string{"SINK", "COOKTOP", "CUTOUT"}[rng.IntN(3)], roundedBox(x-half, y, x+half, h-y, round(1, 12, 1)))
	}
	return s
}

// everyKey returns the keys, sorted, without their numbers.
func everyKey(flags []Flag) []string {
	var keys []string
	for _, f := range flags {
		key, _, _ := strings.Cut(f.Key, "#")
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}

// unlike returns the flags of a that no flag of b is the same flaw as.
func unlike(a, b []Flag) []Flag {
	var out []Flag
	for _, f := range a {
		if !slices.ContainsFunc(b, func(g Flag) bool { return SameKey(f.Key, g.Key) }) {
			out = append(out, f)
		}
	}
	return out
}

// sameKeys reports whether both lists hold the same flaws: one for one the same
// key, or one that SameKey takes for it. Numbers are left out: two equal flaws of
// which one lies on the bound of a cell have them in one drawing and not in another.
func sameKeys(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	left := slices.Clone(b)
	for _, k := range a {
		i := slices.Index(left, k)
		if i < 0 {
			i = slices.IndexFunc(left, func(o string) bool { return SameKey(k, o) })
		}
		if i < 0 {
			return false
		}
		left = slices.Delete(left, i, i+1)
	}
	return true
}

// Every flaw of every rule keeps its key when the drawing is turned, its curves
// come in another order or run the other way, or a piece is added far away.
func TestEveryKeySurvivesRedrawing(t *testing.T) {
	scenes := tied()
	const seed = 20
	for i := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, i))
		scenes[fmt.Sprintf("random kitchen, seed %d %d", seed, i)] = randomKitchen(rng)
	}
	rules := map[string]bool{}
	for name, s := range scenes {
		before := keysOfDrawing(t, &s.Drawing)
		if !strings.HasPrefix(name, "random") && len(before) == 0 {
			t.Errorf("%s has no flaw", name)
		}
		for _, f := range before {
			rules[f.Rule] = true
		}
		for i, angle := range []float64{90, 33, 211.7} {
			again := reexport(&s.Drawing, angle*math.Pi/180, geom.Point{X: 1234.5 * float64(i), Y: -77.7 * float64(i)}, uint64(i+1))
			if after := keysOfDrawing(t, again); !sameKeys(everyKey(before), everyKey(after)) {
				t.Errorf("%s turned by %g:\n%sbefore:\n%s", name, angle, listed(unlike(after, before)), listed(unlike(before, after)))
				break
			}
		}
		more := *s
		more.Curves = slices.Clone(s.Curves)
		more.loop("COUNTER", box(-19000, -800, -18300, -300)).loop("WALL", box(-19000, -800, -18300, -300)) // without edges to finish
		if after := keysOfDrawing(t, &more.Drawing); !sameKeys(everyKey(before), everyKey(after)) {
			t.Errorf("%s beside another piece:\n%sbefore:\n%s", name, listed(unlike(after, before)), listed(unlike(before, after)))
		}
	}
	t.Log(len(rules), rules)
}

// A cutout in no piece has its key from the piece it lies nearest to, from both of
// two equally near ones, whatever else is drawn and however.
func TestKeyOfACutoutOutside(t *testing.T) {
	for name, c := range map[string]struct {
		drawing string
		at      geom.Point
	}{
		"beside its piece":    {top, xy(2750, 310)},
		"between two pieces":  {top + "; outline 3200,0 5600,0 5600,640 3200,640", xy(2800, 310)},
		"far from everything": {top, xy(-4000, 5000)},
	} {
		key := func(angle float64, more string) string {
			tpl := moved(template(t, c.drawing+more), redrawing{loop: func(l geom.Loop) geom.Loop { return l.Rotate(angle) }})
			tpl.Problems = []piece.Problem{{Kind: piece.CutoutOutside, Layer: "SINK", At: c.at.Rotate(angle)}}
			in := input(tpl)
			found := runRule(ptr(cutoutOutside()), in)
			giveKeys(Catalogue(), tpl, found.flags)
			return found.flags[0].Key
		}
		want := key(0, "")
		for _, angle := range []float64{0.3, math.Pi / 2, 2.7, math.Pi, 5} {
			if got := key(angle, ""); !SameKey(got, want) {
				t.Errorf("%s, turned by %g: %s, want %s", name, angle, got, want)
			}
		}
		if got := key(0, "; outline 30000,0 34000,0 34000,900 30000,900"); got != want {
			t.Errorf("%s, a larger piece elsewhere: %s, want %s", name, got, want)
		}
	}
}
