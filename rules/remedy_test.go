package rules

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/support"
	"trueup/rules/textform"
)

// Each remedy is done to the stone as its sentence says, with the sentence's own
// figures, and the flag must go.
func TestRemediesClearTheirFlags(t *testing.T) {
	moveCutout := func(k int) func(*piece.Piece, Flag, float64) {
		return func(p *piece.Piece, f Flag, by float64) {
			d := f.Witness.From.Sub(f.Witness.To).Unit() // towards whichever end lies on the cutout
			if on(p.Cutouts[k].Loop, f.Witness.To) {
				d = d.Mul(-1)
			}
			p.Cutouts[k].Loop = p.Cutouts[k].Loop.Translate(d.Mul(by))
		}
	}
	for _, c := range []struct {
		name, drawing string
		rule          Rule
		figure        string // finds the remedy's figure
		do            func(p *piece.Piece, f Flag, figure float64)
	}{
		{"move the sink from the edge", top + "sink 800,41.2 1560,500 r10", narrowSection(), `Move the sink ([\d.]+) (?:mm|in)`, moveCutout(0)},
		{"move the sink from a bowed edge", "outline 0,0^-0.02 2400,0 2400,640 0,640; sink 800,70 1600,500 r10", narrowSection(), `Move the sink ([\d.]+) (?:mm|in)`, moveCutout(0)},
		{"widen the rail", top + "sink 800,41.2 1560,500 r10", narrowSection(), `widen the rail to ([\d.]+) (?:mm|in)`, func(p *piece.Piece, f Flag, to float64) {
			by := to - f.Measured
			p.Outline = geom.Polygon(geom.Point{Y: -by}, geom.Point{X: 2400, Y: -by}, geom.Point{X: 2400, Y: 640}, geom.Point{Y: 640})
		}},
		{"cutouts apart", top + "sink 400,100 900,500 r20; cooktop 945,100 1400,500 r20", narrowSection(), `Move the cutouts ([\d.]+) (?:mm|in)`, moveCutout(1)},
		{"shallower apron", "outline 0,0 800,0 800,580.04 1500,580.04 1500,0 2400,0 2400,640 0,640; apron 800,-20 1500,580.04", narrowSection(), `Make the sink ([\d.]+) (?:mm|in) shallower`,
			func(p *piece.Piece, f Flag, by float64) {
				for i, c := range p.Outline {
					for _, q := range [2]*geom.Point{&c.A, &c.B} {
						if q.Y == 580.04 {
							q.Y -= by
						}
					}
					p.Outline[i] = c
				}
				p.Cutouts[0].Loop = p.Cutouts[0].Loop.Translate(geom.Point{Y: -by})
			}},
		{"widen the neck", "outline 0,0 1000,0^-1 1200,0 2400,0 2400,140 0,140", narrowSection(), `Widen the neck by ([\d.]+) (?:mm|in)`, func(p *piece.Piece, f Flag, by float64) {
			p.Outline = geom.Loop{geom.Line(geom.Point{}, geom.Point{X: 1000}), {A: geom.Point{X: 1000}, B: geom.Point{X: 1200}, Bulge: -1},
				geom.Line(geom.Point{X: 1200}, geom.Point{X: 2400}), geom.Line(geom.Point{X: 2400}, geom.Point{X: 2400, Y: 140 + by}),
				geom.Line(geom.Point{X: 2400, Y: 140 + by}, geom.Point{Y: 140 + by}), geom.Line(geom.Point{Y: 140 + by}, geom.Point{})}
		}},
		{"move the hole", top + "hole 1200,40.03 d35", holeSpacing(), `Move the hole ([\d.]+) (?:mm|in)`, moveCutout(0)},
		{"move the hole that runs into a sink", top + "sink 800,100 1560,500 r12; hole 1180,510 d35", holeSpacing(), `Move the hole ([\d.]+) (?:mm|in)`,
			func(p *piece.Piece, _ Flag, by float64) {
				p.Cutouts[1].Loop = p.Cutouts[1].Loop.Translate(geom.Point{Y: by})
			}},
		{"drill it smaller", top + "hole 1200,40.03 d35", holeSpacing(), `drill it ([\d.]+) (?:mm|in) wide`, func(p *piece.Piece, f Flag, d float64) {
			p.Cutouts[0].Loop = geom.Circle(geom.Point{X: 1200, Y: 40.03}, d/2).Reverse()
			p.Cutouts[0].Diameter = d
		}},
		{"a larger radius", top + "sink 800,100 1560,500 r6", insideRadius(), `A ([\d.]+) (?:mm|in) radius`, func(p *piece.Piece, _ Flag, r float64) {
			p.Cutouts[0].Loop = textform.Rounded(geom.Polygon(geom.Point{X: 800, Y: 100}, geom.Point{X: 800, Y: 500}, geom.Point{X: 1560, Y: 500}, geom.Point{X: 1560, Y: 100}), r)
		}},
		{"move the seam off the rounding", "outline 0,650 670,650^-0.414213562373095 650,670 650,1850 0,1850; seam 1", sharpPoint(), `Move the seam at least ([\d.]+) (?:mm|in)`, func(p *piece.Piece, _ Flag, by float64) {
			p.Outline = geom.Polygon(geom.Point{Y: 650 + by}, geom.Point{X: 650, Y: 650 + by}, geom.Point{X: 650, Y: 1850}, geom.Point{Y: 1850})
		}},
		{"round the point", "outline 0,0 400,0 0,300", sharpPoint(), `radius of ([\d.]+) (?:mm|in)`, func(p *piece.Piece, _ Flag, r float64) {
			p.Outline = textform.Rounded(p.Outline, r)
		}},
	} {
		for unit, mm := range map[string]float64{"mm": 1, "in": 25.4} {
			t.Run(c.name+" in "+unit, func(t *testing.T) {
				in := input(template(t, c.drawing))
				in.Template.Units.Lengths.Inches = unit == "in"
				before, _ := check(t, c.rule, in)
				if len(before) == 0 {
					t.Fatal("nothing to clear")
				}
				m := regexp.MustCompile(c.figure).FindStringSubmatch(before[0].Remedy)
				if m == nil {
					t.Fatalf("%q has no %s", before[0].Remedy, c.figure)
				}
				figure, err := strconv.ParseFloat(m[1], 64)
				if err != nil {
					t.Fatal(err)
				}
				c.do(&in.Template.Pieces[0], before[0], figure*mm)
				after, _ := check(t, c.rule, in)
				for _, f := range after {
					if f.Severity == before[0].Severity {
						t.Errorf("%q (%v) does not clear:\n%s", before[0].Remedy, figure, listed(after))
					}
				}
			})
		}
	}
}

func on(l geom.Loop, p geom.Point) bool { return l.Locate(p) == geom.On }

// A remedy asks for what is needed and no more. The figures are by hand: an island
// of 900 mm hangs 400 mm over its cabinet, 254 may, so 146 less; a third of its
// width may hang, and (400 - x) / (900 - x) is a third for x = 150. Of a slab 3048 x
// 1372 with 12.7 mm off all round 3022.6 x 1346.6 are left: a top of the full width
// lies square on it, so that 10.04 mm in length need 10.1 more, and 1850 mm of an L
// 503.4. A seam 99.6 mm from a cooktop has to be 50.4 farther for 150.
func TestRemediesAskForNoMore(t *testing.T) {
	island := carriedTop(box(0, 0, 2400, 900), box(0, 400, 2400, 900))
	seamed := seamedTops(0)
	seamed.Pieces[0].Cutouts = []piece.Cutout{{ID: "A-1", Kind: piece.Cooktop, Loop: box(600.4, 60, 1100.4, 550).Reverse()}}
	for _, c := range []struct {
		name string
		rule Rule
		in   *Input
		want []string
	}{
		{"overhang", overhang(), supportInput(island), []string{"or 146 mm less overhang"}},
		{"share of the width", overhangShare(), supportInput(island), []string{"44.4 % of its width hangs, at most 33.3 % may", "or 150 mm less overhang with the same support"}},
		{"too long for the slab", tooBigForSlab(), input(template(t, "outline 0,0 3032.64,0 3032.64,1346.6 0,1346.6")), []string{"at least 10.1 mm larger both ways"}},
		{"too wide for the slab", tooBigForSlab(), input(template(t, "outline 0,0 2400,0 2400,650 650,650 650,1850 0,1850")), []string{"at least 503.4 mm larger both ways"}},
		{"seam near a cooktop", seamNearCutout(), supportInput(seamed), []string{"Move the seam or the cooktop 50.4 mm apart"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := runRule(&c.rule, c.in).flags
			if len(found) != 1 {
				t.Fatalf("%d flags, want 1", len(found))
			}
			for _, want := range c.want {
				if said := found[0].Message + " " + found[0].Remedy; !strings.Contains(said, want) {
					t.Errorf("%q does not say %q", said, want)
				}
			}
		})
	}
}

// The remedy at a step follows from which of its two measures is worse.
func TestStepRemedies(t *testing.T) {
	for _, c := range []struct {
		tp   *piece.Template
		want string
	}{
		{steppedSeam(300, 38, 300, 40), "Cut the step 38 mm deep in both pieces."},
		{steppedSeam(300, 38, 301.5, 38), "Move the step of piece B by 1.5 mm along the seam."},
		{steppedSeam(300, 38, 301, 40), "Cut the step 38 mm deep in both pieces."},
	} {
		if found := runRule(ptr(seamStepMismatch()), supportInput(c.tp)).flags; len(found) != 1 || found[0].Remedy != c.want {
			t.Errorf("%s, want %q", listed(found), c.want)
		}
	}
}

// A strip as long as the bending screen's remedy allows bears just what is
// allowed: its own weight w and the load P make wL^2/8 + PL/4 in the middle of a
// span, wL^2/2 + PL at the support of an overhang (AISC Table 3-23, cases 1, 7, 19, 22).
func TestLongestStripBearsWhatIsAllowed(t *testing.T) {
	const w, modulus = 600 * 30 * 2700 * 1e-9 * gravity, 600.0 * 30 * 30 / 6 // N a mm, mm3
	for _, allowed := range []float64{0.5, 2.757} {
		span := strip{beam: beam{600, 30, 2700}, load: 889.6, chord: support.Chord{Kind: support.Span}}
		l := span.longest(allowed)
		if got := (w*l*l/8 + 889.6*l/4) / modulus; math.Abs(got/allowed-1) > 1e-9 {
			t.Errorf("a span of %v bears %v MPa, want %v", l, got, allowed)
		}
		hung := strip{beam: beam{600, 30, 2700}, load: 889.6, chord: support.Chord{Kind: support.Cantilever}}
		l = hung.longest(allowed)
		if got := (w*l*l/2 + 889.6*l) / modulus; math.Abs(got/allowed-1) > 1e-9 {
			t.Errorf("an overhang of %v bears %v MPa, want %v", l, got, allowed)
		}
	}
}
