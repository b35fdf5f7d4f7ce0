package rules

import (
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// strayCase is a line that went unused beside or on a drawn template.
type strayCase struct {
	name, drawing string
	problem       piece.Problem // Witness, Measured, At and Count follow from line
	line          geom.Curve
	severity      Severity
	measured      float64
	limit         float64
	piece         string
	says          []string // in message and remedy together
}

func runStrays(t *testing.T, r Rule, cases []strayCase) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			in := input(template(t, c.drawing))
			p := c.problem
			p.Witness, p.At, p.Measured, p.Count, p.Entity = geom.Witness{From: c.line.A, To: c.line.B}, c.line.Middle(), c.line.Length(), 1, "LINE"
			in.Template.Problems = []piece.Problem{p}
			flags, unchecked := check(t, r, in)
			if len(flags) != 1 || len(unchecked) > 0 {
				t.Fatalf("%d flags, %v", len(flags), unchecked)
			}
			f := flags[0]
			if f.Severity != c.severity || math.Abs(f.Measured-c.measured) > near || f.Limit != c.limit || f.NoLimit != (c.limit == 0) || f.Piece != c.piece {
				t.Errorf("want %s %v under %v on %q:\n%s", c.severity, c.measured, c.limit, c.piece, listed(flags))
			}
			if f.Witness == nil || !f.NoLimit && math.Abs(f.Witness.Length()-f.Measured) > near {
				t.Errorf("the witness %v does not show %v", f.Witness, f.Measured)
			}
			for _, s := range c.says {
				if !strings.Contains(f.Message+" "+f.Remedy, s) {
					t.Errorf("%q lacks %q", f.Message+" "+f.Remedy, s)
				}
			}
			// Drawn the other way round it is the same flaw.
			giveKeys(Catalogue(), in.Template, flags)
			back := in.Template.Problems
			back[0].Witness = geom.Witness{From: c.line.B, To: c.line.A}
			again, _ := check(t, r, in)
			giveKeys(Catalogue(), in.Template, again)
			if flags[0].Key != again[0].Key {
				t.Errorf("key %s, drawn backwards %s", flags[0].Key, again[0].Key)
			}
		})
	}
}

func lineFrom(ax, ay, bx, by float64) geom.Curve {
	return geom.Line(geom.Point{X: ax, Y: ay}, geom.Point{X: bx, Y: by})
}

// A seam that ends short of the edge left the piece whole, and the template was
// ready with a warning.
func TestStraySeam(t *testing.T) {
	seam := piece.Problem{Kind: piece.StraySeam, Layer: "SEAM", Role: piece.SeamRole, Limit: 3}
	runStrays(t, straySeam(), []strayCase{
		{"4 mm short of the back", top, seam, lineFrom(1500, 0, 1500, 636), Stop, 4, 3, "A",
			[]string{"LINE of 636 mm on layer SEAM", "from (1500, 0) to (1500, 636)", "0 and 4 mm from the edge", "up to 3 mm", "on to the edge from (1500, 636), or"}},
		{"short at both ends alike", top, seam, lineFrom(1500, 5, 1500, 635), Stop, 5, 3, "A", []string{"5 and 5 mm", "from (1500, 5) and (1500, 635)"}},
		{"from a sink's edge, short of the front", top + "sink 1200,120 1800,520 r20", seam, lineFrom(1500, 120, 1500, 10), Stop, 10, 3, "A", []string{"0 and 10 mm"}},
		{"beside the top", top, seam, lineFrom(3200, 0, 3200, 640), Stop, 640, 0, "", []string{"lies in none"}},
		{"from front to front", top, seam, geom.Curve{A: geom.Point{X: 1000}, B: geom.Point{X: 1000.5}, Bulge: -0.9}, Stop, geom.Curve{B: geom.Point{X: 0.5}, Bulge: 0.9}.Length(), 0, "A",
			[]string{"both its ends lie at the edge"}},
	})
}

// A finish mark 3 mm off its edge marked nothing, and only a stray curve was told.
func TestStrayFinish(t *testing.T) {
	mark := piece.Problem{Kind: piece.StrayFinish, Layer: "POLISH", Role: piece.FinishedRole, Limit: 1}
	runStrays(t, strayFinish(), []strayCase{
		{"3 mm off the front", top, mark, lineFrom(0, -3, 2400, -3), Stop, 3, 1, "A",
			[]string{"LINE of 2400 mm on layer POLISH", "edge 1 of piece A, lies 3 mm away", "within 1 mm (pieces.mark_distance)", "stays unpolished", "between x = 0 and x = 2400"}},
		{"as far off as counts for meant", top, mark, lineFrom(0, -100, 2400, -100), Stop, 100, 1, "A", nil},
		{"farther off: a key to the drawing", top, mark, lineFrom(0, -101, 200, -101), Warn, 101, 1, "A", nil},
		{"beside an edge that is finished", top + "finished 1", mark, lineFrom(0, -3, 2400, -3), Warn, 3, 1, "A", []string{"Another mark finishes that edge"}},
		{"beside a seam", top + "seam 2", mark, lineFrom(2410, 0, 2410, 640), Warn, 10, 1, "A", []string{"is a seam"}},
		{"around a sink", top + "sink 1200,70 1800,520 r20", mark, lineFrom(1300, 70, 1700, 70), Warn, 400, 0, "A", []string{"lies at the sink A-1", "polished by hand"}},
		{"nearer to the front than to the sink", top + "sink 1200,70 1800,520 r20", mark, lineFrom(1300, 3, 1700, 3), Stop, 3, 1, "A", []string{"edge 1"}},
		{"the jog of an offset mark", top, mark, lineFrom(1000, -1, 1000, -6), Warn, 3.5, 1, "A", nil},
		{"a tick square to the edge", top, mark, lineFrom(1000, -15, 1000, 15), Stop, 30, 0, "A", []string{"meets edge 1", "does not run along it"}},
	})
	// Of a mark that is in use otherwise a part is told: half the front stayed raw.
	in := input(template(t, top))
	part := lineFrom(600, -1, 2400, -4)
	in.Template.Problems = []piece.Problem{{Kind: piece.StrayFinish, Layer: "POLISH", Entity: "LINE", Limit: 1, At: part.Middle(), Witness: geom.Witness{From: part.A, To: part.B}, Measured: part.Length()}}
	flags, _ := check(t, strayFinish(), in)
	wantFlags(t, flags, []want{{Stop, 2.5, 1, at(1500, -1.25), 0, "A part of the finish mark (1800 mm of a LINE on layer POLISH) from (600, -1) to (2400, -4)"}}, func(p geom.Point) geom.Point { return p })
}

// A line of a cutout or an outline that bounds nothing is missing from the stone.
func TestStrayCurveSeverity(t *testing.T) {
	of := func(layer string, r piece.Role) piece.Problem {
		return piece.Problem{Kind: piece.StrayCurve, Layer: layer, Role: r, Why: "bounds nothing"}
	}
	rival := of("COUNTER", piece.OutlineRole)
	rival.Rival = "POLISH"
	withSink := top + "sink 1200,120 1800,520 r20"
	runStrays(t, strayCurve(), []strayCase{
		{"one side of a sink", top, of("SINK", piece.CutoutRole), lineFrom(800, 100, 1400, 100), Stop, 600, 0, "", []string{"from (800, 100) to (1400, 100)"}},
		{"as long as the limit", top, of("SINK", piece.CutoutRole), lineFrom(800, 100, 850, 100), Stop, 50, 0, "", nil},
		{"shorter", top, of("SINK", piece.CutoutRole), lineFrom(800, 100, 849.9, 100), Warn, 49.9, 0, "", nil},
		{"a seam drawn on the outline's layer, 4 mm short", top, of("COUNTER", piece.OutlineRole), lineFrom(1500, 0, 1500, 636), Stop, 636, 0, "", nil},
		{"beside the top", top, of("COUNTER", piece.OutlineRole), lineFrom(300, 900, 900, 900), Stop, 600, 0, "", nil},
		{"the front 38 mm before the outline", top, of("COUNTER", piece.OutlineRole), lineFrom(0, -38, 3000, -38), Stop, 3000, 0, "", nil},
		{"a tick beside the top", top, of("COUNTER", piece.OutlineRole), lineFrom(300, -38, 340, -38), Warn, 40, 0, "", nil},
		{"a sink's line beside the top", top, of("SINK", piece.CutoutRole), lineFrom(300, 900, 900, 900), Warn, 600, 0, "", nil},
		{"a centre line through the sink", withSink, of("SINK", piece.CutoutRole), lineFrom(1500, 50, 1500, 590), Warn, 540, 0, "", nil},
		{"a line of an outline through the sink and its front rail", withSink, of("COUNTER", piece.OutlineRole), lineFrom(1500, 320, 1500, 10), Stop, 310, 0, "", nil},
		{"as much in stone as the limit", withSink, of("COUNTER", piece.OutlineRole), lineFrom(1500, 320, 1500, 70), Stop, 250, 0, "", nil},
		{"less in stone", withSink, of("COUNTER", piece.OutlineRole), lineFrom(1500, 320, 1500, 70.1), Warn, 249.9, 0, "", nil},
		{"beside an edge that was taken from a mark", top, rival, lineFrom(300, -30, 900, -30), Stop, 600, 0, "",
			[]string{"the edge beside it was taken from the line on layer POLISH", "delete the one that is wrong"}},
		{"a short one there", top, rival, lineFrom(300, -30, 340, -30), Warn, 40, 0, "", nil},
		{"a ledge that begins at the sink", withSink, of("SINK", piece.CutoutRole), lineFrom(1800, 300, 1900, 300), Warn, 100, 0, "", nil},
		{"half an opening for a dishwasher", top, of("DISHWASHER", piece.OpeningRole), lineFrom(800, 0, 800, 600), Warn, 600, 0, "", nil},
	})
}

// Two lines of one cutout: the outer one was taken with a word about strays.
func TestCutoutAmbiguous(t *testing.T) {
	for _, c := range []struct {
		name         string
		outer, inner geom.Loop
		gap          float64
		piece        string
		says         []string
	}{
		{"rim and bowl", box(1185, 105, 1815, 535), box(1200, 120, 1800, 520), 15, "A", []string{"630 x 430 mm on layer SINK RIM", "15 mm inside it 600 x 400 mm on layer SINK", "around (1500, 320)", "ignore"}},
		{"round rim and bowl", geom.Circle(geom.Point{X: 1000, Y: 300}, 220), geom.Circle(geom.Point{X: 1000, Y: 300}, 200), 20, "A", []string{"440 mm round", "400 mm round"}},
		{"in no piece", box(3185, 105, 3815, 535), box(3200, 120, 3800, 520), 15, "", nil},
		{"over the front edge", box(300, -105, 900, 535), box(300, -105, 880, 520), 0, "A", []string{"640 x 600 mm on layer SINK RIM", "inside it, with a side in common, 625 x 580 mm"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := input(template(t, top+"apron 300,-105 900,535"))
			w := geom.Witness{From: c.inner[0].A, To: c.inner[0].A.Sub(geom.Point{Y: c.gap})}
			in.Template.Problems = []piece.Problem{{Kind: piece.CutoutAmbiguous, Layer: "SINK", Other: "SINK RIM", At: w.Middle(), Witness: w, Measured: c.gap, Loops: []geom.Loop{c.outer, c.inner}, Count: 4}}
			flags, _ := check(t, cutoutAmbiguous(), in)
			if len(flags) != 1 || flags[0].Severity != Stop || flags[0].Measured != c.gap || !flags[0].NoLimit || flags[0].Piece != c.piece {
				t.Fatal(listed(flags))
			}
			for _, s := range c.says {
				if !strings.Contains(flags[0].Message+" "+flags[0].Remedy, s) {
					t.Errorf("%q lacks %q", flags[0].Message, s)
				}
			}
		})
	}
}

// A dashed seam is one seam: it was a flag for each dash.
func TestDashedSeam(t *testing.T) {
	dash := func(x, from, to float64) piece.Problem {
		c := lineFrom(x, from, x, to)
		return piece.Problem{Kind: piece.StraySeam, Layer: "SEAM", Entity: "LINE", Limit: 3, Count: 1, Witness: geom.Witness{From: c.A, To: c.B}, At: c.Middle(), Measured: c.Length()}
	}
	in := input(template(t, top))
	for y := 0.0; y < 640; y += 40 {
		p := dash(1500, y, y+30)
		if int(y)%80 == 0 { // in any order and direction
			p.Witness = geom.Witness{From: p.Witness.To, To: p.Witness.From}
			in.Template.Problems = append([]piece.Problem{p}, in.Template.Problems...)
		} else {
			in.Template.Problems = append(in.Template.Problems, p)
		}
	}
	in.Template.Problems = append(in.Template.Problems, dash(700, 0, 636))
	flags, _ := check(t, straySeam(), in)
	wantFlags(t, flags, []want{
		{Stop, 10, 3, nil, 0, "(16 dashes over 630 mm on layer SEAM)"},
		{Stop, 4, 3, at(700, 638), 0, "LINE of 636 mm"},
	}, func(p geom.Point) geom.Point { return p })
	if !strings.Contains(flags[0].Message+flags[1].Message, "gaps of up to 10 mm") {
		t.Error(listed(flags))
	}
	// Beside each other, or far from each other, two lines are two seams.
	for name, two := range map[string][]piece.Problem{
		"a joint wide": {dash(1500, 0, 600), dash(1503, 0, 600)},
		"far apart":    {dash(1500, 0, 200), dash(1500, 301, 600)},
		"not in row":   {dash(1500, 0, 300), dash(1510, 310, 600)},
	} {
		in.Template.Problems = two
		if flags, _ := check(t, straySeam(), in); len(flags) != 2 {
			t.Errorf("%s: %s", name, listed(flags))
		}
	}
}

// A finish mark along a seam was dropped without a word. A mitre there is sawn.
func TestFinishMarkOnASeam(t *testing.T) {
	for _, c := range []struct {
		name, profile string
		told          bool
	}{
		{"plain", "", true},
		{"another profile", "EASED", true},
		{"a mitre", "MITRE", false},
		{"a bevel", "45 bevel", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := input(template(t, top+"seam 2"))
			for k := range in.Template.Pieces[0].Edges {
				if e := &in.Template.Pieces[0].Edges[k]; e.N == 2 {
					e.Profile = c.profile
				}
			}
			in.Template.Problems = []piece.Problem{{Kind: piece.FinishOnSeam, Layer: "POLISH", Entity: "LINE", At: geom.Point{X: 2400, Y: 320},
				Witness: geom.Witness{From: geom.Point{X: 2400}, To: geom.Point{X: 2400, Y: 640}}, Measured: 640}}
			flags, _ := check(t, strayFinish(), in)
			if !c.told {
				wantFlags(t, flags, nil, nil)
				return
			}
			wantFlags(t, flags, []want{{Warn, 640, 0, at(2400, 320), 0, "The finish mark (LINE of 640 mm on layer POLISH) from (2400, 0) to (2400, 640) lies along a seam, edge 2 of piece A: seams are not polished."}},
				func(p geom.Point) geom.Point { return p })
		})
	}
}
