package rules

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/shop"
	"trueup/rules/support"
)

func xy(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

func box(x0, y0, x1, y1 float64) geom.Loop {
	return geom.Polygon(xy(x0, y0), xy(x1, y0), xy(x1, y1), xy(x0, y1))
}

// carriedTop is a template of one granite top of 3 cm over cabinets.
func carriedTop(outline geom.Loop, cabinets ...geom.Loop) *piece.Template {
	t := &piece.Template{Pieces: []piece.Piece{{ID: "A", Kind: piece.Counter, Outline: outline, Material: "granite", Thickness: 30}}, HasSupport: true}
	for _, c := range cabinets {
		t.Supports = append(t.Supports, piece.Support{Area: c})
	}
	return t
}

// supportInput gives the template default settings and a granite whose figures
// the tests name: ASTM C615 flexural minimum 8.27 MPa, factor 3.
func supportInput(t *piece.Template) *Input {
	s, m := Default(), shop.Settings{Materials: []shop.Material{
		{Name: "granite", Density: 2700, Flexural: 8.27, SafetyFactor: 3},
		{Name: "untested", Density: 2700},
	}}
	return &Input{Template: t, Settings: &s, Shop: &m}
}

// wanted is a flag a test expects.
type wanted struct {
	measured, limit, stretch float64
	at                       geom.Point
	severity                 Severity
}

func checkFlags(t *testing.T, r Rule, in *Input, tolerance float64, want []wanted) {
	t.Helper()
	found := runRule(&r, in)
	if len(found.unchecked) > 0 {
		t.Errorf("unchecked: %v", found.unchecked)
	}
	said := withoutHidden(found.flags)
	sortFlags(Catalogue(), said)
	sameInInches(t, &r, in, said)
	if len(found.flags) != len(want) {
		t.Errorf("%d flags, want %d", len(found.flags), len(want))
		for _, f := range found.flags {
			t.Logf("  %s at %v", f.Message, f.At)
		}
		return
	}
	for i, w := range want {
		f := found.flags[i]
		if math.Abs(f.Measured-w.measured) > tolerance || math.Abs(f.Limit-w.limit) > 1e-12 {
			t.Errorf("measured %v against %v, want %v against %v: %s", f.Measured, f.Limit, w.measured, w.limit, f.Message)
		}
		if f.At.Distance(w.at) > 1 {
			t.Errorf("at %v, want %v", f.At, w.at)
		}
		if math.Abs(f.Stretch-w.stretch) > 1 {
			t.Errorf("stretch %v, want %v", f.Stretch, w.stretch)
		}
		if w.severity != "" && f.Severity != w.severity {
			t.Errorf("severity %v, want %v", f.Severity, w.severity)
		}
		if f.Message == "" || f.Remedy == "" || f.Unit == "" {
			t.Errorf("flag without words: %+v", f)
		}
	}
}

// Limits: Dimension Stone Design Manual 8.0 (2016), ch. 17: 914 and 254 mm at
// 3 cm, 610 and 152 mm at 2 cm, a third of the width.
func TestSupportRules(t *testing.T) {
	run := []geom.Loop{box(0, 0, 600, 600), box(1600, 0, 2200, 600)}
	thin := func(tp *piece.Template) *piece.Template {
		tp.Pieces[0].Thickness = 20
		return tp
	}
	cut := func(tp *piece.Template, l geom.Loop) *piece.Template {
		tp.Pieces[0].Cutouts = []piece.Cutout{{ID: "A-1", Kind: piece.Sink, Loop: l.Reverse()}}
		return tp
	}
	third := Default().Support.Share
	for _, tc := range []struct {
		name   string
		rule   Rule
		top    *piece.Template
		want   []wanted
		source string
	}{
		{"span over a knee space of 1000", unsupportedSpan(), carriedTop(box(0, 0, 2200, 638), run...),
			[]wanted{{1000, 914, 638, xy(1100, 319), Stop}}, "by hand: 1600 - 600, middle of the stone"},
		{"span of 914", unsupportedSpan(), carriedTop(box(0, 0, 2114, 638), box(0, 0, 600, 600), box(1514, 0, 2114, 600)),
			nil, "equal passes"},
		{"dishwasher of 600", unsupportedSpan(), carriedTop(box(0, 0, 1800, 638), box(0, 0, 600, 600), box(1200, 0, 1800, 600)),
			nil, "600 under 914"},
		{"the same overhang rule", overhang(), carriedTop(box(0, 0, 1800, 638), box(0, 0, 600, 600), box(1200, 0, 1800, 600)),
			nil, "the lip of 38 hangs on the line between the cabinets"},
		{"span of 640 in 2 cm", unsupportedSpan(), thin(carriedTop(box(0, 0, 1840, 638), box(0, 0, 600, 600), box(1240, 0, 1840, 600))),
			[]wanted{{640, 610, 638, xy(920, 319), Stop}}, "by hand"},
		{"seating overhang of 300", overhang(), carriedTop(box(0, 0, 2400, 1000), box(0, 0, 2400, 700)),
			[]wanted{{300, 254, 2400 + 2*46, xy(1200, 850), Stop}}, "by hand: 1000 - 700; the front and of both ends what lies more than 254 off"},
		{"seating overhang of 254", overhang(), carriedTop(box(0, 0, 2400, 954), box(0, 0, 2400, 700)),
			nil, "equal passes"},
		{"seating overhang of 250, the manual's metric figure", overhang(), carriedTop(box(0, 0, 2400, 950), box(0, 0, 2400, 700)),
			nil, "250 under 254"},
		{"two overhangs", overhang(), carriedTop(box(0, 0, 2400, 1350), box(0, 300, 2400, 1050)),
			[]wanted{{300, 254, 2400 + 2*46, xy(1200, 150), Stop}, {300, 254, 2400 + 2*46, xy(1200, 1200), Stop}}, "by hand"},
		{"a knee space and an overhang before it", unsupportedSpan(), carriedTop(box(0, 0, 2200, 900), run...),
			[]wanted{{1000, 914, 600, xy(1100, 300), Stop}}, "by hand"},
		{"an overhang before a knee space", overhang(), carriedTop(box(0, 0, 2200, 900), run...),
			[]wanted{{300, 254, 2200 + 2*46, xy(1100, 750), Stop}}, "by hand"},
		{"share of 230 on 600", overhangShare(), carriedTop(box(0, 0, 2400, 600), box(0, 0, 2400, 370)),
			[]wanted{{230.0 / 600, third, 2400 + 2*45, xy(1200, 485), Stop}}, "DSDM worked limits: W 24 in -> 8 in; 230/600; (y-370)/y is a third at y = 555"},
		{"share of a third", overhangShare(), carriedTop(box(0, 0, 2400, 600), box(0, 0, 2400, 400)),
			nil, "equal passes"},
		{"share of 254 on 900", overhangShare(), carriedTop(box(0, 0, 2400, 900), box(0, 0, 2400, 646)),
			nil, "DSDM worked limits: W 36 -> 10 in, a third would be 12"},
		{"overhang within the share", overhangShare(), carriedTop(box(0, 0, 2400, 1000), box(0, 0, 2400, 700)),
			nil, "300/1000 is under a third; the overhang itself is the other rule's"},
		{"both the overhang and its share", overhangShare(), carriedTop(box(0, 0, 2400, 800), box(0, 0, 2400, 500)),
			[]wanted{{0.375, third, 2400 + 2*50, xy(1200, 650), Stop}}, "300/800; (y-500)/y is a third at y = 750"},
		{"front strip before a wide sink", overhangShare(), cut(carriedTop(box(0, 0, 2400, 638), box(0, 0, 2400, 600)), box(750, 100, 1650, 578)),
			nil, "a lip of 38 on a top of 638; the strip of 60 before the sink is narrow-section's"},
		{"basin between panels", overhangShare(), cut(carriedTop(box(0, 0, 900, 550), box(0, 0, 40, 550), box(860, 0, 900, 550)), box(250, 100, 650, 450)),
			nil, "210 hang beside the basin, on a top of 900"},
		{"round table on a pedestal", overhangShare(), carriedTop(geom.Circle(xy(0, 0), 450), geom.Circle(xy(0, 0), 300)),
			nil, "(R - r) / 2R = 150/900"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			found := runRule(&tc.rule, supportInput(tc.top))
			for i := range tc.want { // two of equal measure may come in either order
				if len(found.flags) == len(tc.want) && len(tc.want) == 2 && found.flags[i].At.Distance(tc.want[i].at) > 1 {
					tc.want[0], tc.want[1] = tc.want[1], tc.want[0]
					break
				}
			}
			checkFlags(t, tc.rule, supportInput(tc.top), 1e-3, tc.want)
		})
	}
}

func TestSupportUnchecked(t *testing.T) {
	good := box(0, 0, 2400, 638)
	for _, tc := range []struct {
		name string
		top  func() *piece.Template
		why  string
	}{
		{"no support layer", func() *piece.Template {
			return &piece.Template{Pieces: []piece.Piece{{ID: "A", Kind: piece.Counter, Outline: good, Thickness: 30, Material: "granite"}}}
		}, "the drawing has no support layer"},
		{"no support under the piece", func() *piece.Template { return carriedTop(good, box(3000, 0, 4000, 600)) }, "no support is drawn under piece A"},
		{"thickness without limits", func() *piece.Template {
			tp := carriedTop(good, box(0, 0, 2400, 600))
			tp.Pieces[0].Thickness = 12
			return tp
		}, "piece A is 12 mm thick"},
	} {
		for _, r := range []Rule{unsupportedSpan(), overhang(), overhangShare(), bendingStress()} {
			t.Run(tc.name+"/"+r.ID, func(t *testing.T) {
				found := runRule(&r, supportInput(tc.top()))
				if len(found.flags) != 0 || len(found.unchecked) != 1 || !strings.Contains(found.unchecked[0].Why, tc.why) {
					t.Errorf("flags %v unchecked %v, want unchecked %q", found.flags, found.unchecked, tc.why)
				}
			})
		}
	}
	t.Run("one of two pieces", func(t *testing.T) {
		tp := carriedTop(box(0, 0, 2400, 1000), box(0, 0, 2400, 700))
		tp.Pieces = append(tp.Pieces, piece.Piece{ID: "B", Kind: piece.Counter, Outline: box(3000, 0, 3900, 600), Thickness: 30},
			piece.Piece{ID: "C", Kind: piece.Splash, Outline: box(3000, 1000, 4000, 1100), Thickness: 30})
		found := runRule(ptr(overhang()), supportInput(tp))
		if len(found.flags) != 1 || len(found.unchecked) != 1 || !strings.Contains(found.unchecked[0].Why, "piece B") {
			t.Errorf("flags %v unchecked %v, want a flag on A, B unchecked, the splash not named", found.flags, found.unchecked)
		}
	})
	t.Run("material without a strength", func(t *testing.T) {
		tp := carriedTop(box(0, 0, 2400, 638), box(0, 0, 2400, 600))
		tp.Pieces[0].Material = "untested"
		found := runRule(ptr(bendingStress()), supportInput(tp))
		if len(found.unchecked) != 1 || !strings.Contains(found.unchecked[0].Why, "untested") {
			t.Errorf("unchecked %v, want the material", found.unchecked)
		}
	})
	t.Run("stone that nothing reaches", func(t *testing.T) {
		l := geom.Polygon(xy(0, 0), xy(2000, 0), xy(2000, 600), xy(600, 600), xy(600, 2000), xy(0, 2000))
		found := runRule(ptr(overhang()), supportInput(carriedTop(l, box(1700, 0, 2000, 600))))
		if len(found.flags) == 0 || math.Abs(found.flags[0].Measured-math.Hypot(1700, 1400)) > 1 {
			t.Errorf("flags %v, want the far corner %.1f mm from the support", found.flags, math.Hypot(1700, 1400))
		}
	})
}

// TestBeam compares with the worked examples of the trade figures, formulas of
// the AISC Steel Construction Manual, Table 3-23 (cases 1, 7, 19, 22).
func TestBeam(t *testing.T) {
	for _, tc := range []struct {
		name                  string
		b                     beam
		span, load            float64
		cantilever            bool
		moment, stress, allow float64 // allow: relative tolerance of the printed figures
	}{
		{"simple, own weight, 600 x 20, L 600", beam{600, 20, 2700}, 600, 0, false, 14298, 0.3575, 2e-4},
		{"simple, centre load, 600 x 30, L 900", beam{600, 30, 0}, 900, 1000, false, 225000, 2.5, 1e-9},
		{"cantilever, end load, 600 x 30, a 250", beam{600, 30, 0}, 250, 1000, true, 250000, 2.778, 1e-4},
		{"cantilever, end load, 600 x 20, a 150", beam{600, 20, 0}, 150, 1000, true, 150000, 3.750, 1e-9},
		{"end load and own weight", beam{600, 30, 2700}, 250, 1000, true, 264894, 2.943, 2e-4},
		{"AWI point test, 25.5 x 1.25 in over 36 in: 271.1 psi", beam{25.5 * 25.4, 1.25 * 25.4, 0}, 36 * 25.4, 200 * 4.4482216152605, false, 200.0 * 36 / 4 * 4.4482216152605 * 25.4, 271.1 * 0.006894757293168, 2e-4},
		{"AWI point test, 25.5 x 0.75 in over 24 in: 502.0 psi", beam{25.5 * 25.4, 0.75 * 25.4, 0}, 24 * 25.4, 200 * 4.4482216152605, false, 200.0 * 24 / 4 * 4.4482216152605 * 25.4, 502.0 * 0.006894757293168, 2e-4},
	} {
		t.Run(tc.name, func(t *testing.T) {
			m := tc.b.spanMoment(tc.span, tc.load, tc.span/2)
			if tc.cantilever {
				m = tc.b.cantileverMoment(tc.span, tc.load, 0)
			}
			if s := m / tc.b.modulus(); math.Abs(m/tc.moment-1) > tc.allow || math.Abs(s/tc.stress-1) > tc.allow {
				t.Errorf("moment %.1f N mm, stress %.5f MPa; want %.1f, %.5f", m, s, tc.moment, tc.stress)
			}
		})
	}
}

func TestBendingStress(t *testing.T) {
	in := func(tp *piece.Template, load float64) *Input {
		in := supportInput(tp)
		in.Settings.Support.PointLoad = load
		return in
	}
	// A top 600 wide: the strip is the whole width. 1000 N at the end of 250 mm
	// and own weight: 264,894 N mm over 90,000 mm3 is 2.943 MPa; 8.27/3 is allowed (AISC Table 3-23, cases 19 and 22).
	end := carriedTop(box(0, 0, 1000, 600), box(0, 0, 750, 600))
	checkFlags(t, bendingStress(), in(end, 1000), 1e-4, []wanted{{264894.0 / 90000, 8.27 / 3, 0, xy(875, 300), Warn}})
	f := runRule(ptr(bendingStress()), in(carriedTop(box(0, 0, 1000, 600), box(0, 0, 750, 600)), 1000)).flags[0]
	if !strings.Contains(f.Message, "screening figure, not a structural design") || !strings.Contains(f.Remedy, "screening figure, not a structural design") {
		t.Errorf("no caution in %q, %q", f.Message, f.Remedy)
	}
	// The remedy's length passes, one a millimetre longer does not.
	var longest float64
	if _, err := fmt.Sscanf(f.Remedy, "At most %f mm", &longest); err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		a     float64
		flags int
	}{{longest, 0}, {longest + 1, 1}} {
		if n := len(runRule(ptr(bendingStress()), in(carriedTop(box(0, 0, 750+tc.a, 600), box(0, 0, 750, 600)), 1000)).flags); n != tc.flags {
			t.Errorf("overhang of %v mm: %d flags, want %d", tc.a, n, tc.flags)
		}
	}
	// Round table on a pedestal: at the pedestal the strip is 600 wide, though the
	// rim runs out to nothing: 889.6*150 + 0.4766*150^2/2 over 90000 is 1.542 MPa.
	checkFlags(t, bendingStress(), in(carriedTop(geom.Circle(xy(0, 0), 450), geom.Circle(xy(0, 0), 300)), 889.6), 1e-3, nil)
	// A rail of 90 before a sink over a knee space of 800: 889.6*800/4 over
	// 90*30^2/6 is 13.18 MPa, and own weight 2700*9.80665e-9*30*800^2/8 over 150 0.42.
	rail := carriedTop(box(0, 0, 1000, 640), box(0, 0, 100, 640), box(900, 0, 1000, 640))
	rail.Pieces[0].Cutouts = []piece.Cutout{{ID: "A-1", Kind: piece.Sink, Loop: box(290, 90, 710, 640-90).Reverse()}}
	if f := runRule(ptr(bendingStress()), in(rail, 889.6)).flags; len(f) != 1 || math.Abs(f[0].Measured-(889.6*800/4/13500+2700*9.80665e-9*30*80000/150)) > 1e-3 {
		t.Errorf("flags %+v, want 13.60 MPa in the rail", f)
	}
	// A vanity that hangs 20 mm over its cabinet on all sides: at the corner 28.3 mm
	// hang on a strip 56.5 wide, on which no 200 lbf can stand (it was flagged with
	// 2.97 MPa: 889.6*28.3 over 56.5*30^2/6).
	checkFlags(t, bendingStress(), in(carriedTop(box(0, 0, 1220, 560), box(20, 20, 1200, 540)), 889.6), 1e-3, nil)
	// The feather that a butt seam leaves at the round of an inside corner hangs
	// over its cabinet: it was flagged with 8.7 MPa on a strip 0.4 mm wide, of which
	// "at most 0 mm" should remain. Where it is 25 mm wide, some 15 mm from its tip,
	// 889.6*15/236.1*15 over 25*30^2/6 is 0.2 MPa.
	feather := geom.Loop{geom.Line(xy(0, 650), xy(670, 650)), {A: xy(670, 650), B: xy(650, 670), Bulge: -math.Tan(math.Pi / 8)},
		geom.Line(xy(650, 670), xy(650, 1850)), geom.Line(xy(650, 1850), xy(0, 1850)), geom.Line(xy(0, 1850), xy(0, 650))}
	checkFlags(t, bendingStress(), in(carriedTop(feather, box(0, 650, 610, 1850)), 889.6), 1e-3, nil)
	// A tongue 20 wide is no strip at all, and the rule says that it did not look.
	tongue := carriedTop(geom.Polygon(xy(0, 0), xy(2200, 0), xy(2200, 20), xy(2000, 20), xy(2000, 640), xy(0, 640)), box(0, 0, 2000, 640))
	if found := runRule(ptr(bendingStress()), in(tongue, 889.6)); len(found.flags) != 0 || len(found.unchecked) != 1 || !strings.Contains(found.unchecked[0].Why, "nowhere 25 mm wide") {
		t.Errorf("flags %v unchecked %v, want the narrow tongue unchecked", found.flags, found.unchecked)
	}
	// A point that outgrows the least width bends as before: 100 mm over a root of
	// 80 carries 889.6*100/236.1 N, 37,679 N mm over 80*30^2/6, and hardly any weight
	// of its own.
	corner := carriedTop(geom.Polygon(xy(0, 0), xy(2100, 0), xy(2000, 80), xy(2000, 640), xy(0, 640)), box(0, 0, 2000, 640))
	if f := runRule(ptr(bendingStress()), in(corner, 889.6)).flags; len(f) != 1 || math.Abs(f[0].Measured-37679.0/12000) > 0.05 || !strings.Contains(f[0].Message, "a strip 80 mm wide") {
		t.Errorf("flags %+v, want 3.14 MPa in a strip of 80", f)
	}
	// 889.6 N at the end of 250 mm: 222400 + 14894 (own weight) over 90000 is 2.637.
	checkFlags(t, bendingStress(), in(carriedTop(box(0, 0, 1000, 600), box(0, 0, 750, 600)), 889.6), 1e-3, nil)
}

var pointText = regexp.MustCompile(`\((-?\d+), (-?\d+)\)`)

// pointsIn reads the points of a sentence back into local mm.
func pointsIn(t *testing.T, text string, shift geom.Point) []geom.Point {
	var out []geom.Point
	for _, m := range pointText.FindAllStringSubmatch(text, -1) {
		x, errX := strconv.ParseFloat(m[1], 64)
		y, errY := strconv.ParseFloat(m[2], 64)
		if errX != nil || errY != nil {
			t.Fatalf("no point in %q", m[0])
		}
		out = append(out, xy(x, y).Sub(shift))
	}
	return out
}

// TestSpanRemedy puts in the supports that the sentence names and sees the flag
// go, also for a span that needs two.
func TestSpanRemedy(t *testing.T) {
	for _, width := range []float64{1000, 2000, 3000} {
		tp := carriedTop(box(0, 0, 1200+width, 638), box(0, 0, 600, 600), box(600+width, 0, 1200+width, 600))
		tp.Shift = xy(5000, -300)
		found := runRule(ptr(unsupportedSpan()), supportInput(tp))
		if len(found.flags) != 1 {
			t.Fatalf("%v mm: %d flags, want 1", width, len(found.flags))
		}
		ps := pointsIn(t, found.flags[0].Remedy, tp.Shift)
		if want := 2 * (int(math.Ceil(width/914)) - 1); len(ps) != want {
			t.Errorf("%v mm: %d points in %q, want %d", width, len(ps), found.flags[0].Remedy, want)
		}
		for i := 0; i+1 < len(ps); i += 2 {
			tp.Supports = append(tp.Supports, piece.Support{Line: []geom.Curve{geom.Line(ps[i], ps[i+1])}})
		}
		for _, r := range []Rule{unsupportedSpan(), overhang()} {
			if left := runRule(&r, supportInput(tp)); len(left.flags) != 0 {
				t.Errorf("%v mm: after %q %s still says %s", width, found.flags[0].Remedy, r.ID, left.flags[0].Message)
			}
		}
	}
}

// TestOverhangRemedy sets brackets as the sentence says.
func TestOverhangRemedy(t *testing.T) {
	for _, r := range []Rule{overhang(), overhangShare()} {
		tp := carriedTop(box(0, 0, 2400, 900), box(0, 0, 2400, 520))
		tp.Shift = xy(-700, 100)
		found := runRule(&r, supportInput(tp))
		if len(found.flags) != 1 {
			t.Fatalf("%s: %d flags, want 1", r.ID, len(found.flags))
		}
		remedy := found.flags[0].Remedy
		var apart, within, from, to float64
		if _, err := fmt.Sscanf(remedy, "Brackets at most %f mm apart, one at either end, that reach within %f mm of the edge between x = %f and x = %f", &apart, &within, &from, &to); err != nil {
			t.Fatalf("%q: %v", remedy, err)
		}
		from, to = from-tp.Shift.X, to-tp.Shift.X
		if math.Abs(from) > 1 || math.Abs(to-2400) > 1 {
			t.Errorf("edge from %v to %v, want 0 to 2400", from, to)
		}
		n := math.Ceil((to - from) / apart)
		for i := 0.0; i <= n; i++ {
			x := from + (to-from)*i/n
			tp.Supports = append(tp.Supports, piece.Support{Line: []geom.Curve{geom.Line(xy(x, 520), xy(x, 900-within))}})
		}
		if left := runRule(&r, supportInput(tp)); len(left.flags) != 0 {
			t.Errorf("after %q: %s", remedy, left.flags[0].Message)
		}
	}
}

// TestSupportSharesOneSearch checks that the rules ask for a piece's search once.
func TestSupportSharesOneSearch(t *testing.T) {
	in := supportInput(carriedTop(box(0, 0, 2200, 638), box(0, 0, 600, 600), box(1600, 0, 2200, 600)))
	p := &in.Template.Pieces[0]
	if a, b := in.carried(p), in.carried(p); a != b {
		t.Error("two searches of one piece")
	}
	if r := in.carried(p).past(); len(r.Places) != 1 || r.Places[0].Kind != support.Span {
		t.Errorf("places %v, want one span", r.Places)
	}
}
