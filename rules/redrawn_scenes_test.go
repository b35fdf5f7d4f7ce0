package rules

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/textform"
)

// sheet is a drawing in millimetres in the making.
type sheet struct{ dxfio.Drawing }

func newSheet() *sheet { return &sheet{dxfio.Drawing{Units: dxfio.UnitMillimetre}} }

// add draws curves as one polyline, or a single one as a line or arc.
func (s *sheet) add(layer string, curves ...geom.Curve) {
	at := -1
	for i, l := range s.Layers {
		if l.Name == layer {
			at = i
		}
	}
	if at < 0 {
		at = len(s.Layers)
		s.Layers = append(s.Layers, dxfio.Layer{Name: layer})
	}
	entity := int32(1)
	if n := len(s.Curves); n > 0 {
		entity = s.Curves[n-1].Entity + 1
	}
	for _, c := range curves {
		of := dxfio.Source{Layer: int32(at), Entity: entity, Line: entity, Type: dxfio.EntityPolyline}
		if len(curves) == 1 {
			of.Type = dxfio.EntityLine
		}
		s.Curves = append(s.Curves, dxfio.Curve{Curve: c, Source: of})
	}
}

// drawnOf draws a template.
func drawnOf(t *piece.Template) *dxfio.Drawing {
	s := newSheet()
	for i := range t.Pieces {
		p := &t.Pieces[i]
		layer := "COUNTER"
		if p.Kind == piece.Splash {
			layer = "SPLASH"
		}
		s.add(layer, p.Outline...)
		for _, e := range p.Edges {
			switch e.Finish {
			case piece.Finished:
				s.add("FINISHED", e.Curves...)
			case piece.Wall:
				s.add("WALL", e.Curves...)
			}
		}
		for _, c := range p.Cutouts {
			layer := map[piece.CutoutKind]string{piece.Sink: "SINK", piece.Cooktop: "COOKTOP", piece.Hole: "HOLE", piece.Other: "CUTOUT"}[c.Kind]
			if !c.OverEdge {
				s.add(layer, c.Loop...)
			}
		}
	}
	for _, c := range t.Supports {
		if len(c.Area) > 0 {
			s.add("CABINET", c.Area...)
		} else {
			s.add("CLEAT", c.Line...)
		}
	}
	for _, o := range t.Openings {
		s.add("OPENING", o.Area...)
	}
	return &s.Drawing
}

// scene is a drawing with where it comes from.
type scene struct {
	name string
	*dxfio.Drawing
}

// demoScenes are the demo's drawings.
func demoScenes(t testing.TB) []scene {
	files, err := filepath.Glob("../testdata/demo/*.dxf")
	if err != nil || len(files) < 5 {
		t.Fatalf("%d demo drawings, %v", len(files), err)
	}
	var out []scene
	for _, path := range files {
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		d, err := dxfio.Read(f, dxfio.Options{File: path, AreaLayer: piece.Default().Roles.Cutting})
		f.Close()
		if err != nil {
			continue // one is broken on purpose
		}
		if !d.Units.Known() {
			d.Units = dxfio.UnitMillimetre
		}
		d, _ = d.Millimetres(d.Units)
		d.Units = dxfio.UnitMillimetre
		out = append(out, scene{filepath.Base(path), d})
	}
	return out
}

// tableScenes are all templates in text form that stand in the tests of the rules.
func tableScenes(t testing.TB) []scene {
	files, _ := filepath.Glob("*_test.go")
	more, _ := filepath.Glob("*/*_test.go")
	var out []scene
	known := map[string]bool{}
	for _, path := range append(files, more...) {
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			text, err := strconv.Unquote(lit.Value)
			if err != nil || known[text] || !strings.HasPrefix(text, "outline ") && !strings.HasPrefix(text, "splash ") {
				return true
			}
			known[text] = true
			if tpl, err := textform.Parse(text); err == nil {
				out = append(out, scene{path + ": " + text, drawnOf(tpl)})
			}
			return true
		})
	}
	if len(out) < 50 {
		t.Fatalf("only %d scenes in the tables", len(out))
	}
	return out
}

// randomScenes are n random tops without supports and n kitchens with them.
func randomScenes(seed uint64, n int) []scene {
	var out []scene
	for i := range n {
		rng := rand.New(rand.NewPCG(seed, uint64(i)))
		out = append(out, scene{fmt.Sprintf("random top %d", i), drawnOf(textform.Random(rng))},
			scene{fmt.Sprintf("random kitchen %d", i), randomCarriedTop(rng)})
	}
	return out
}

// randomCarriedTop draws one of the tops that kitchens have, with what carries it:
// most of them past some limit, and all measures off round numbers.
func randomCarriedTop(rng *rand.Rand) *dxfio.Drawing {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	s := newSheet()
	line := func(layer string, x0, y0, x1, y1 float64) { s.add(layer, geom.Line(xy(x0, y0), xy(x1, y1))) }
	switch rng.IntN(7) {
	case 0: // a run with a sink, a dishwasher and gaps between its cabinets
		long, depth := between(1800, 3200), between(600, 660)
		s.add("COUNTER", box(0, 0, long, depth)...)
		for x := 0.0; x < long-100; {
			w := math.Min(between(300, 900), long-x)
			if rng.IntN(4) > 0 {
				s.add("CABINET", box(x, 0, x+w, depth-between(20, 60))...)
			}
			x += w + float64(rng.IntN(2))*between(1, 120)
		}
		x := between(200, long-800)
		s.add("SINK", roundedBox(x, 90, x+between(400, 700), depth-110, between(8, 40))...)
		line("FINISHED", 0, depth, long, depth)
	case 1: // an island that hangs over, on a cabinet that is not square to it
		long, wide, lip := between(1500, 2600), between(800, 1200), between(20, 60)
		s.add("ISLAND", roundedBox(0, 0, long, wide, between(5, 120))...)
		s.add("CABINET", geom.Loop(box(lip, lip, long-between(20, 300), wide-between(150, 330))).Rotate(between(-0.01, 0.01)*float64(rng.IntN(2)))...)
	case 2: // an L with a mitre or a butt seam over cabinets that leave the corner open or not
		a, b, d := between(1800, 2900), between(1500, 2600), between(600, 650)
		s.add("COUNTER", geom.Polygon(xy(0, 0), xy(a, 0), xy(a, d), xy(d, d), xy(d, b), xy(0, b))...)
		if rng.IntN(2) == 0 {
			line("SEAM", 0, 0, d, d)
		} else {
			line("SEAM", d, 0, d, d)
		}
		blind := float64(rng.IntN(3)) * between(100, 450)
		front := d - between(20, 60)
		s.add("CABINET", box(blind, 0, a, front)...)
		s.add("CABINET", box(0, math.Max(front, blind), front, b)...)
	case 3: // two tops that meet over a gap, with a wall cleat now and then
		long, depth, gap := between(2000, 2800), between(600, 650), between(1, 250)
		mid := between(0.4, 0.6) * long
		s.add("COUNTER", box(0, 0, long, depth)...)
		line("SEAM", mid, 0, mid, depth)
		side := mid - between(0, 1)*gap
		s.add("CABINET", box(0, 0, side, depth-40)...)
		s.add("CABINET", box(side+gap, 0, long, depth-40)...)
		if rng.IntN(2) == 0 {
			line("CLEAT", 0, 0, long, 0)
		}
	case 4: // a table on four legs
		long, wide, leg, in := between(700, 1500), between(500, 1000), between(50, 90), between(0, 150)
		s.add("COUNTER", box(0, 0, long, wide)...)
		for _, x := range []float64{in, long - in - leg} {
			for _, y := range []float64{in, wide - in - leg} {
				// Nobody sets legs alike, and of two that are no shape tells which is meant.
				x, y := x+between(-20, 20), y+between(-20, 20)
				if rng.IntN(4) == 0 {
					s.add("LEG", geom.Circle(xy(x+leg/2, y+leg/2), leg/2)...)
				} else {
					s.add("LEG", box(x, y, x+leg, y+leg)...)
				}
			}
		}
	case 5: // a vanity on a frame of cleats, round in front
		long, depth := between(700, 1600), between(450, 600)
		l := box(0, 0, long, depth)
		l[2].Bulge = between(0.02, 0.15)
		s.add("VANITY", l...)
		line("CLEAT", 0, 0, long, 0)
		line("CLEAT", 0, 0, 0, depth-between(0, 100))
		line("CLEAT", long, 0, long, depth-between(0, 100))
		s.add("BASIN", geom.Circle(xy(long*between(0.35, 0.65), depth/2), between(150, 200))...)
	default: // a round table on a round or square foot
		r := between(350, 700)
		s.add("COUNTER", geom.Circle(xy(0, 0), r)...)
		if foot := between(0.4, 0.8) * r; rng.IntN(2) == 0 {
			s.add("CABINET", geom.Circle(xy(between(-50, 50), 0), foot)...)
		} else {
			s.add("CABINET", geom.Loop(box(-foot*0.6, -foot*0.6, foot*0.6, foot*0.6)).Rotate(between(0, 1))...)
		}
	}
	return &s.Drawing
}

// symmetric are scenes that are the same all around, so that nothing tells at which of
// their places a flaw is told.
var symmetric = map[string]bool{"narrow_section_test.go: outline 500,0^1 -500,0^1; round 0,0 d900": true}

// redrawn names the environment variable that sets how many random scenes of either kind are
// drawn again, every scene in four ways instead of one and by another seed each time;
// redrawnSeed the one for the seed.
const (
	redrawn     = "TRUEUP_REDRAWN"
	redrawnSeed = "TRUEUP_REDRAWN_SEED"
)

// TestSameFromEverySide draws every scene of the repository again.
func TestSameFromEverySide(t *testing.T) {
	n, ways, seed := 8, 1, uint64(20260301)
	if v, err := strconv.Atoi(os.Getenv(redrawn)); err == nil {
		n, ways, seed = v, 2, uint64(time.Now().UnixNano()%1e6)
	}
	if v, err := strconv.ParseUint(os.Getenv(redrawnSeed), 10, 64); err == nil {
		seed = v
	}
	t.Logf("%s=%d %s=%d", redrawn, n, redrawnSeed, seed)
	scenes := append(append(demoScenes(t), tableScenes(t)...), randomScenes(seed, n)...)
	flags := 0
	for i, s := range scenes {
		rng := rand.New(rand.NewPCG(seed, uint64(i)+1e6))
		first := see(t, s.Drawing)
		flags += len(first.flags)
		if symmetric[strings.TrimSpace(s.name)] {
			continue
		}
		for _, v := range variants(rng, ways) {
			again := v.draw(s.Drawing)
			for _, difference := range compare(v, first, see(t, again)) {
				t.Errorf("%s, %s: %s", s.name, v.name, difference)
			}
		}
	}
	if flags < len(scenes)/2 {
		t.Errorf("only %d flags in %d scenes", flags, len(scenes))
	}
}
