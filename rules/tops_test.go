package rules

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/rules/textform"
)

func poly(r float64, xs ...float64) geom.Loop {
	var ps []geom.Point
	for i := 0; i+1 < len(xs); i += 2 {
		ps = append(ps, xy(xs[i], xs[i+1]))
	}
	l := geom.Polygon(ps...)
	if r > 0 {
		return textform.Rounded(l, r)
	}
	return l
}

func circle(x, y, d float64) geom.Loop { return geom.Circle(xy(x, y), d/2) }

func bowl(x0, y0, x1, y1, r float64) geom.Loop { return poly(r, x0, y0, x1, y0, x1, y1, x0, y1) }

// tops are what a shop draws in a year.
func tops() map[string]*sketch {
	run := func(s *sketch, x0, x1, depth float64) *sketch { // cabinets of 600 along a wall at y = depth
		for x := x0; x < x1-1; x += 600 {
			s.loop("CABINET", box(x, depth-600, math.Min(x+600, x1), depth))
		}
		return s
	}
	return map[string]*sketch{
		"straight run, sink, tap, hob": run(newSketch().loop("COUNTER", box(0, 0, 3000, 640)).loop("SINK", bowl(500, 100, 1060, 500, 15)).loop("SINK", circle(780, 560, 35)).
			loop("COOKTOP", bowl(1900, 80, 2460, 570, 12)), 0, 3000, 640),
		"L in two pieces, butt seam": newSketch().loop("COUNTER", box(0, 0, 2600, 640)).loop("COUNTER", box(0, 640, 640, 2200)).
			loop("CABINET", box(0, 0, 2600, 600)).loop("CABINET", box(0, 600, 600, 2200)),
		"L with a mitre": newSketch().loop("COUNTER", poly(0, 0, 0, 2600, 0, 2600, 640, 640, 640, 640, 2200, 0, 2200)).line("SEAM", xy(0, 0), xy(640, 640)).
			loop("CABINET", box(0, 0, 2600, 600)).loop("CABINET", box(0, 600, 600, 2200)),
		"U, inside corners sharp": newSketch().loop("COUNTER", poly(0, 0, 0, 2800, 0, 2800, 1800, 2160, 1800, 2160, 640, 640, 640, 640, 1800, 0, 1800)).
			loop("CABINET", poly(0, 0, 0, 2800, 0, 2800, 1800, 2200, 1800, 2200, 600, 600, 600, 600, 1800, 0, 1800)),
		"round island on a drum":               newSketch().loop("COUNTER", circle(0, 0, 1200)).loop("CABINET", circle(0, 0, 800)),
		"apron sink":                           newSketch().loop("COUNTER", poly(0, 0, 0, 900, 0, 900, 450, 1660, 450, 1660, 0, 2400, 0, 2400, 640, 0, 640)).loop("CABINET", box(0, 40, 2400, 640)),
		"farmhouse sink, drawn over the front": newSketch().loop("COUNTER", box(0, 0, 2400, 640)).loop("SINK", bowl(900, -30, 1660, 480, 12)).loop("CABINET", box(0, 40, 2400, 640)),
		"bar top, seating overhang 305 on brackets": newSketch().loop("COUNTER", box(0, 0, 2400, 640)).loop("CABINET", box(0, 305, 2400, 640)).
			loop("BRACKET", box(300, 80, 350, 305)).loop("BRACKET", box(1175, 80, 1225, 305)).loop("BRACKET", box(2050, 80, 2100, 305)),
		"bar top, seating overhang 305 bare": newSketch().loop("COUNTER", box(0, 0, 2400, 1000)).loop("CABINET", box(0, 305, 2400, 1000)),
		"waterfall side and top":             newSketch().loop("COUNTER", box(0, 0, 2400, 900)).loop("CABINET", box(0, 25, 2400, 875)).loop("COUNTER", box(3000, 0, 3870, 900)),
		"splash strips":                      newSketch().loop("SPLASH", box(0, 0, 2400, 100)).loop("SPLASH", box(0, 200, 600, 300)).loop("COUNTER", box(0, 1000, 2400, 1640)).loop("CABINET", box(0, 1040, 2400, 1640)),
		"vanity with two bowls": newSketch().loop("COUNTER", box(0, 0, 1500, 560)).loop("SINK", circle(400, 270, 380)).loop("SINK", circle(1100, 270, 380)).
			loop("SINK", circle(400, 505, 35)).loop("SINK", circle(1100, 505, 35)).loop("CABINET", box(12, 12, 1488, 560)),
		"corner cooktop in a diagonal corner": newSketch().loop("COUNTER", poly(0, 0, 0, 1800, 0, 1800, 640, 1000, 640, 640, 1000, 640, 1800, 0, 1800)).
			loop("COOKTOP", poly(12, 370, 170, 770, 570, 420, 920, 20, 520)).loop("CABINET", poly(0, 0, 0, 1800, 0, 1800, 600, 980, 600, 600, 980, 600, 1800, 0, 1800)),
		"curved front": newSketch().loop("COUNTER", geom.Loop{{A: xy(0, 0), B: xy(2400, 0), Bulge: 0.1}, geom.Line(xy(2400, 0), xy(2400, 600)), geom.Line(xy(2400, 600), xy(0, 600)), geom.Line(xy(0, 600), xy(0, 0))}).
			loop("CABINET", box(0, 0, 2400, 600)).loop("SINK", bowl(900, 100, 1500, 500, 15)),
		"window sill":                  newSketch().loop("COUNTER", box(0, 0, 1600, 220)).loop("WALL", box(0, 40, 1600, 220)),
		"tiny repair piece":            newSketch().loop("COUNTER", box(0, 0, 150, 60)),
		"dishwasher in the run":        newSketch().loop("COUNTER", box(0, 0, 2400, 640)).loop("CABINET", box(0, 40, 2400, 640)).loop("DISHWASHER", box(900, 40, 1500, 640)).loop("SINK", bowl(300, 100, 860, 520, 15)),
		"desk over knee space 1000":    newSketch().loop("COUNTER", box(0, 0, 2000, 640)).loop("CABINET", box(0, 40, 500, 640)).loop("CABINET", box(1500, 40, 2000, 640)),
		"seam over a dishwasher":       newSketch().loop("COUNTER", box(0, 0, 2400, 640)).line("SEAM", xy(1200, 0), xy(1200, 640)).loop("CABINET", box(0, 40, 2400, 640)).loop("DISHWASHER", box(900, 40, 1500, 640)),
		"counter notched round a post": newSketch().loop("COUNTER", poly(0, 0, 0, 2400, 0, 2400, 640, 1300, 640, 1300, 500, 1150, 500, 1150, 640, 0, 640)).loop("CABINET", box(0, 40, 2400, 640)),
	}
}

// TestTops checks what is said of each against figures by hand: no more and no
// less. Notes for the router have a table of their own.
func TestTops(t *testing.T) {
	want := map[string][]string{
		"U, inside corners sharp": {"inside-radius 0", "inside-radius 0", "too-big-for-slab 1800"},
		"apron sink":              {"inside-radius 0", "inside-radius 0"},
		// Cabinets of 600 side by side, the sink from 500 to 1060.
		"straight run, sink, tap, hob": {"sink-over-cabinet-side 100"},

		"farmhouse sink, drawn over the front": {"cutout-over-edge 760"},
		// The corner of the top lies 244 from the line between bracket and cabinet:
		// it carries; on a strip that ends in a point a person is too much: at s from the
		// corner it is s*(4/3+3/4) wide, so that 889.6 N make 889.6*6/(2.0833*30^2) = 2.847
		// MPa everywhere, and its own weight 3*2700*9.80665e-9*244^2/30 = 0.158 at the line.
		"bar top, seating overhang 305 on brackets": {"bending-stress 3.00"},
		// 889.6 N x 305 mm and own weight, 0.4766 N/mm x 305^2 / 2, over 90,000 mm3.
		"bar top, seating overhang 305 bare": {"overhang 305", "bending-stress 3.26"},
		// The rounding of 12 mm takes (sqrt 2 - 1) x 12 off the corner 20 from the edge.
		"corner cooktop in a diagonal corner": {"narrow-section 24.97", "too-big-for-slab 1800"},
		"tiny repair piece":                   {"too-small-to-hold 150"},
		// PL/4 + wL2/8 = 889.6 x 250 + 0.4766 x 125,000 over 90,000 mm3.
		"desk over knee space 1000": {"unsupported-span 1000", "bending-stress 3.13"},
		// Both ends hang over the opening, 300 and the lip of 40: sqrt(300^2 + 40^2).
		"seam over a dishwasher":       {"seam-unsupported 640", "overhang 302.7", "overhang 302.7", "bending-stress 3.23", "bending-stress 3.23"},
		"counter notched round a post": {"inside-radius 0", "inside-radius 0"},
	}
	all := tops()
	if len(all) != 20 {
		t.Errorf("%d tops", len(all))
	}
	for name, s := range all {
		flags := slices.DeleteFunc(keysOfDrawing(t, &s.Drawing), func(f Flag) bool { return f.Rule == "saw-short" })
		left := slices.Clone(want[name])
		for _, f := range flags {
			i := slices.IndexFunc(left, func(w string) bool {
				var rule string
				var figure float64
				if _, err := fmt.Sscan(w, &rule, &figure); err != nil {
					t.Fatal(w, err)
				}
				return f.Rule == rule && math.Abs(f.Measured-figure) <= 0.002*figure+1e-9
			})
			if i < 0 {
				t.Errorf("%s: not expected:\n%s", name, listed([]Flag{f}))
				continue
			}
			left = slices.Delete(left, i, i+1)
		}
		if len(left) > 0 {
			t.Errorf("%s: nothing said of %s", name, strings.Join(left, ", "))
		}
	}
	for name := range want {
		if all[name] == nil {
			t.Errorf("no top %q", name)
		}
	}
}

// A length that is its limit as inches write it, or as coordinates of four places
// write it, is not past the limit.
func TestNominalFiguresPass(t *testing.T) {
	const inch = 25.4
	slab := func(thickness, hang float64) *Input {
		tp := carriedTop(box(0, 0, 2000, 1000), box(0, hang, 2000, 1000))
		tp.Pieces[0].Thickness = thickness
		return supportInput(tp)
	}
	knee := func(gap float64) *Input {
		return supportInput(carriedTop(box(0, 0, 1000+gap, 600), box(0, 0, 500, 600), box(500+gap, 0, 1000+gap, 600)))
	}
	third := func(hang float64) *Input {
		return supportInput(carriedTop(box(0, 0, 2000, 600), box(0, hang, 2000, 600)))
	}
	drawn := func(text string) *Input { return input(template(t, text)) }
	for _, tc := range []struct {
		name string
		rule Rule
		in   *Input
		want []Severity
	}{
		{"knee space of 36 in", unsupportedSpan(), knee(36 * inch), nil},
		{"knee space of 916 mm", unsupportedSpan(), knee(916), []Severity{Stop}},
		{"overhang of 6 in at 2 cm", overhang(), slab(20, 6*inch), nil},
		{"overhang of 10 in at 3 cm, rounded up", overhang(), slab(30, 10*inch+0.0013), nil},
		{"overhang of 255 mm at 3 cm", overhang(), slab(30, 255), []Severity{Stop}},
		{"a third, rounded up", overhangShare(), third(200.01), nil},
		{"a third and a millimetre", overhangShare(), third(201), []Severity{Stop}},
		{"rail of 50, rounded down", narrowSection(), drawn(top + "sink 800,49.998 1560,500"), []Severity{Warn}},
		{"rail of 49.9", narrowSection(), drawn(top + "sink 800,49.9 1560,500"), []Severity{Stop}},
		{"rail of 2-1/2 in, rounded down", narrowSection(), drawn(top + "sink 800,63.498 1560,500"), nil},
		{"hole 25 from the edge, rounded down", holeSpacing(), drawn(top + "hole 1200,42.498 d35"), nil},
		{"hole 24.9 from the edge", holeSpacing(), drawn(top + "hole 1200,42.4 d35"), []Severity{Warn}},
		{"mitre of 45 degrees, to a hundredth of a millimetre", sharpPoint(), drawn("outline 0,0 640.01,640 2000,640 2000,0"), nil},
		{"mitre of 44.8 degrees", sharpPoint(), drawn("outline 0,0 644.5,640 2000,640 2000,0"), []Severity{Warn}},
		{"edge 96 in from the back", tooTallForPolisher(), drawn("outline 0,0 2900,0 2900,2438.4 0,2438.4; finished 1"), nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			flags, unchecked := check(t, tc.rule, tc.in)
			var got []Severity
			for _, f := range flags {
				got = append(got, f.Severity)
			}
			if !slices.Equal(got, tc.want) || len(unchecked) > 0 {
				t.Errorf("%v, want %v: %s%v", got, tc.want, listed(flags), unchecked)
			}
		})
	}
}
