package support

import (
	"math"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

func pt(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

func rect(x0, y0, x1, y1 float64) geom.Loop {
	return geom.Polygon(pt(x0, y0), pt(x1, y0), pt(x1, y1), pt(x0, y1))
}

// drawing is a top with what lies under it.
type drawing struct {
	outline  geom.Loop
	cutouts  []geom.Loop
	areas    []geom.Loop
	lines    [][]geom.Curve
	openings []geom.Loop
}

func (d drawing) template() *piece.Template {
	p := piece.Piece{ID: "A", Kind: piece.Counter, Outline: d.outline, Thickness: 30}
	for _, c := range d.cutouts {
		p.Cutouts = append(p.Cutouts, piece.Cutout{Loop: c.Reverse()})
	}
	t := &piece.Template{Pieces: []piece.Piece{p}, HasSupport: true}
	for _, a := range d.areas {
		t.Supports = append(t.Supports, piece.Support{Area: a})
	}
	for _, l := range d.lines {
		t.Supports = append(t.Supports, piece.Support{Line: l})
	}
	for _, o := range d.openings {
		t.Openings = append(t.Openings, piece.Opening{Area: o})
	}
	return t
}

func (d drawing) model() *Model {
	t := d.template()
	return modelOf(t, 80)
}

// moved applies f to every curve; turned says whether f mirrors.
func (d drawing) moved(f func(geom.Curve) geom.Curve, mirrors bool) drawing {
	loop := func(l geom.Loop) geom.Loop {
		out := make(geom.Loop, len(l))
		for i, c := range l {
			out[i] = f(c)
		}
		if mirrors {
			out = out.Reverse()
		}
		return out
	}
	loops := func(ls []geom.Loop) []geom.Loop {
		var out []geom.Loop
		for _, l := range ls {
			out = append(out, loop(l))
		}
		return out
	}
	m := drawing{outline: loop(d.outline), cutouts: loops(d.cutouts), areas: loops(d.areas), openings: loops(d.openings)}
	for _, l := range d.lines {
		m.lines = append(m.lines, loop(l))
	}
	return m
}

func lineOf(ps ...geom.Point) []geom.Curve {
	var l []geom.Curve
	for i := range ps[1:] {
		l = append(l, geom.Line(ps[i], ps[i+1]))
	}
	return l
}

// limits of 3 cm stone: 36 in rounded to 914 mm, 10 in (254 mm), Dimension Stone
// Design Manual 8.0 (2016), ch. 17.
var limits3cm = Limits{Span: 914, Cantilever: 254}

var worstCases = []struct {
	name   string
	top    drawing
	kind   Kind
	length float64
	past   int // places past the limits
	source string
}{
	{"seating overhang on an island", drawing{outline: rect(0, 0, 2400, 1000), areas: []geom.Loop{rect(0, 0, 2400, 700)}},
		Cantilever, 300, 1, "by hand: 1000 - 700"},
	{"overhang at the limit passes", drawing{outline: rect(0, 0, 2400, 954), areas: []geom.Loop{rect(0, 0, 2400, 700)}},
		Cantilever, 254, 0, "the rule's own doc: equal passes"},
	{"overhang a tenth over", drawing{outline: rect(0, 0, 2400, 954.1), areas: []geom.Loop{rect(0, 0, 2400, 700)}},
		Cantilever, 254.1, 1, "by hand"},
	{"two overhangs on opposite sides", drawing{outline: rect(0, 0, 2400, 1300), areas: []geom.Loop{rect(0, 300, 2400, 1000)}},
		Cantilever, 300, 2, "by hand: 300 on either side"},
	{"outside corner hangs over its diagonal", drawing{outline: rect(0, 0, 2000, 900), areas: []geom.Loop{rect(0, 0, 1800, 700)}},
		Cantilever, 200 * math.Sqrt2, 1, "Pythagoras: a square of 200"},
	{"rounded outside corner", drawing{outline: roundedRect(0, 0, 2000, 1000, 50), areas: []geom.Loop{rect(-100, -100, 1800, 800)}},
		Cantilever, 150*math.Sqrt2 + 50, 1, "from the support's corner through the arc's centre: Pythagoras and the radius"},
	{"outside corner with unequal overhangs", drawing{outline: rect(0, 0, 2000, 1000), areas: []geom.Loop{rect(0, 0, 1900, 760)}},
		Cantilever, 260, 1, "5-12-13: 100 by 240 hang over the diagonal"},
	{"dishwasher with a lip of 38", drawing{outline: rect(0, 0, 1800, 638), areas: []geom.Loop{rect(0, 0, 600, 600), rect(1200, 0, 1800, 600)}},
		Span, 600, 0, "by hand; 600 mm module EN 1116:2018"},
	{"dishwasher as an opening in one run", drawing{outline: rect(0, 0, 1800, 638), areas: []geom.Loop{rect(0, 0, 1800, 600)}, openings: []geom.Loop{rect(600, 0, 1200, 600)}},
		Span, 600, 0, "by hand"},
	{"opening over its own cabinet", drawing{outline: rect(0, 0, 1800, 638), areas: []geom.Loop{rect(0, 0, 600, 600), rect(600, 0, 1200, 600), rect(1200, 0, 1800, 600)}, openings: []geom.Loop{rect(600, 0, 1200, 600)}},
		Span, 600, 0, "by hand: the cabinet the opening fills carries nothing"},
	{"opening drawn past the cabinets", drawing{outline: rect(0, 0, 1800, 638), areas: []geom.Loop{rect(0, 0, 1800, 600)}, openings: []geom.Loop{rect(600, -50, 1200, 700)}},
		Span, 600, 0, "by hand"},
	{"wall cleat behind the dishwasher", drawing{outline: rect(0, 0, 1800, 638), areas: []geom.Loop{rect(0, 0, 600, 600), rect(1200, 0, 1800, 600)}, lines: [][]geom.Curve{lineOf(pt(600, 0), pt(1200, 0))}},
		Span, 600, 0, "by hand: the front of the opening still spans 600"},
	{"knee space of 1000", drawing{outline: rect(0, 0, 2200, 638), areas: []geom.Loop{rect(0, 0, 600, 600), rect(1600, 0, 2200, 600)}},
		Span, 1000, 1, "by hand: 1600 - 600"},
	{"knee space of 914", drawing{outline: rect(0, 0, 2114, 638), areas: []geom.Loop{rect(0, 0, 600, 600), rect(1514, 0, 2114, 600)}},
		Span, 914, 0, "the rule's own doc: equal passes"},
	{"knee space of 1000 behind an overhang of 300", drawing{outline: rect(0, 0, 2200, 900), areas: []geom.Loop{rect(0, 0, 600, 600), rect(1600, 0, 2200, 600)}},
		Cantilever, 300, 2, "by hand: 300/254 is more than 1000/914; both are past"},
	{"knee space of 1200 behind an overhang of 300", drawing{outline: rect(0, 0, 2400, 900), areas: []geom.Loop{rect(0, 0, 600, 600), rect(1800, 0, 2400, 600)}},
		Span, 1200, 2, "by hand: 1200/914 is more than 300/254; both are past"},
	{"blind corner without a cabinet", drawing{outline: geom.Polygon(pt(0, 0), pt(2400, 0), pt(2400, 600), pt(600, 600), pt(600, 2400), pt(0, 2400)), areas: []geom.Loop{rect(900, 0, 2400, 600), rect(0, 900, 600, 2400)}},
		Cantilever, 900 / math.Sqrt2, 3, "the corner hangs on the line from (900,0) to (0,900), which is 1273 long; beside the inside corner hypot(300,150) hang, past the spans of 849 that run by it"},
	{"corner cabinet with a front of 45 degrees", drawing{outline: geom.Polygon(pt(0, 0), pt(1200, 0), pt(1200, 638), pt(938, 638), pt(638, 938), pt(638, 1200), pt(0, 1200)), areas: []geom.Loop{geom.Polygon(pt(0, 0), pt(1200, 0), pt(1200, 600), pt(900, 600), pt(600, 900), pt(600, 1200), pt(0, 1200))}},
		Cantilever, 38 * math.Sqrt2, 0, "fronts 38 apart along both axes: 53.74 across the slanted one"},
	{"L with a lip all round the inside corner", drawing{outline: geom.Polygon(pt(0, 0), pt(1800, 0), pt(1800, 638), pt(638, 638), pt(638, 1800), pt(0, 1800)), areas: []geom.Loop{rect(0, 0, 1800, 600), rect(0, 600, 600, 1800)}},
		Cantilever, 38, 0, "by hand: the corner itself spans the lips by 2*sqrt(2)*38 at most"},
	{"sink between panels, rails span", drawing{outline: rect(0, 0, 1000, 640), cutouts: []geom.Loop{rect(300, 200, 700, 440)}, areas: []geom.Loop{rect(0, 0, 100, 640), rect(900, 0, 1000, 640)}},
		Span, 800, 0, "by hand: beside the sink 200 hang, the rails span 800"},
	{"sink interrupts the span beside it", drawing{outline: rect(0, 0, 1000, 640), cutouts: []geom.Loop{rect(400, 200, 600, 440)}, areas: []geom.Loop{rect(0, 0, 100, 640), rect(900, 0, 1000, 640)}},
		Cantilever, 300, 2, "by hand: 300 hang on both sides of the sink"},
	{"round table on a pedestal", drawing{outline: geom.Circle(pt(0, 0), 450), areas: []geom.Loop{geom.Circle(pt(0, 0), 300)}},
		Cantilever, 150, 0, "R - r"},
	{"round table too large for its pedestal", drawing{outline: geom.Circle(pt(0, 0), 600), areas: []geom.Loop{geom.Circle(pt(0, 0), 300)}},
		Cantilever, 300, 1, "R - r"},
	{"pedestal off the middle", drawing{outline: geom.Circle(pt(0, 0), 450), areas: []geom.Loop{geom.Circle(pt(60, 0), 300)}},
		Cantilever, 210, 0, "R + e - r, on the far side"},
	{"brackets under a bar", drawing{outline: rect(0, 0, 2000, 900), areas: []geom.Loop{rect(0, 0, 2000, 500)},
		lines: [][]geom.Curve{lineOf(pt(100, 500), pt(100, 700)), lineOf(pt(700, 500), pt(700, 700)), lineOf(pt(1300, 500), pt(1300, 700)), lineOf(pt(1900, 500), pt(1900, 700))}},
		Cantilever, math.Hypot(60, 200), 0, "bearing 80: the end corner is 60 by 200 past the bracket's corner"},
	{"line cleats around a vanity", drawing{outline: rect(0, 0, 900, 550), lines: [][]geom.Curve{lineOf(pt(0, 550), pt(0, 0), pt(900, 0), pt(900, 550))}},
		Span, 820, 0, "900 less half a bearing of 80 on both sides"},
	{"no cantilever beyond a gap that nothing spans", drawing{outline: rect(0, 0, 600, 1000), areas: []geom.Loop{rect(0, 0, 600, 100), rect(0, 900, 600, 1000)}},
		Span, 800, 0, "by hand"},
}

func TestWorst(t *testing.T) {
	for _, tc := range worstCases {
		t.Run(tc.name, func(t *testing.T) {
			checkWorst(t, tc.top, tc.kind, tc.length, tc.past, tc.source)
		})
	}
}

func checkWorst(t *testing.T, d drawing, kind Kind, length float64, past int, source string) {
	t.Helper()
	m := d.model()
	at, c, looked, sure := m.Worst(limits3cm)
	if !looked || !sure || c.Kind != kind || math.Abs(c.Length()-length) > Slack {
		t.Errorf("worst is %v of %.4f mm at %v (looked %v, sure %v), want %v of %.4f: %s", c.Kind, c.Length(), at, looked, sure, kind, length, source)
	}
	r := m.Past(limits3cm)
	if len(r.Places) != past || !r.Sure {
		t.Errorf("%d places past the limits (sure %v), want %d: %s", len(r.Places), r.Sure, past, source)
		for _, p := range r.Places {
			t.Logf("  %v of %.2f mm at %v", p.Kind, p.Length(), p.At)
		}
	}
	if past > 0 && len(r.Places) > 0 {
		if p := r.Places[0]; p.Kind != kind || math.Abs(p.Length()-length) > Slack {
			t.Errorf("worst place is %v of %.4f mm, want %v of %.4f", p.Kind, p.Length(), kind, length)
		}
	}
}

// TestWorstMoved repeats every case turned, mirrored, shifted, drawn in reverse
// and in another order.
func TestWorstMoved(t *testing.T) {
	reversed := func(d drawing) drawing {
		r := d
		r.areas, r.openings = nil, nil
		for i := range d.areas {
			a := d.areas[len(d.areas)-1-i]
			r.areas = append(r.areas, append(a[1:len(a):len(a)], a[0]))
		}
		for _, o := range d.openings {
			r.openings = append(r.openings, o.Reverse())
		}
		r.lines = nil
		for _, l := range d.lines {
			r.lines = append(r.lines, geom.Loop(l).Reverse())
		}
		return r
	}
	for _, tc := range worstCases {
		t.Run(tc.name, func(t *testing.T) {
			for _, move := range []struct {
				name string
				to   drawing
			}{
				{"turned 37.3 degrees", tc.top.moved(func(c geom.Curve) geom.Curve { return c.Rotate(0.651) }, false)},
				{"turned 90 degrees", tc.top.moved(func(c geom.Curve) geom.Curve { return c.Rotate(math.Pi / 2) }, false)},
				{"mirrored", tc.top.moved(geom.Curve.Mirror, true)},
				{"shifted", tc.top.moved(func(c geom.Curve) geom.Curve { return c.Translate(pt(7123.4, -2345.6)) }, false)},
				{"reversed", reversed(tc.top)},
			} {
				t.Run(move.name, func(t *testing.T) { checkWorst(t, move.to, tc.kind, tc.length, tc.past, tc.source) })
			}
		})
	}
}

func TestLipBetweenRoundLegs(t *testing.T) {
	legs := []geom.Loop{geom.Circle(pt(60, 60), 40), geom.Circle(pt(940, 60), 40), geom.Circle(pt(60, 640), 40), geom.Circle(pt(940, 640), 40)}
	m := drawing{outline: rect(0, 0, 1000, 700), areas: legs}.model()
	c := m.Best(limits3cm, pt(500, 10))
	if c.Kind != Span || math.Abs(c.Length()-880) > 1e-6 {
		t.Errorf("lip between round legs hangs on %v of %v mm, want the common tangent of 880 mm (940 - 60)", c.Kind, c.Length())
	}
	// At 2 m span limit the lip itself decides: 20 mm from the tangent at y = 20.
	if c := m.Best(Limits{Span: 20000, Cantilever: 254}, pt(500, 10)); c.Kind != Cantilever || math.Abs(c.Length()-20) > 1e-6 || c.Stands == nil {
		t.Errorf("lip is %v of %v mm, want a cantilever of 20 mm on the tangent", c.Kind, c.Length())
	}
}

func TestUnhelped(t *testing.T) {
	// The far leg of an L sees the only support past no corner.
	m := drawing{
		outline: geom.Polygon(pt(0, 0), pt(2000, 0), pt(2000, 600), pt(600, 600), pt(600, 2000), pt(0, 2000)),
		areas:   []geom.Loop{rect(1700, 0, 2000, 600)},
	}.model()
	r := m.Past(limits3cm)
	if len(r.Places) == 0 || r.Places[0].Kind != Unhelped {
		t.Fatalf("places %+v, want stone that nothing carries", r.Places)
	}
	if want := math.Hypot(1700, 1400); math.Abs(r.Places[0].Length()-want) > 1 {
		t.Errorf("farthest from support %.1f mm, want %.1f: from (0,2000) to (1700,600)", r.Places[0].Length(), want)
	}
}

func TestCarried(t *testing.T) {
	for _, tc := range []struct {
		name          string
		d             drawing
		carried, free bool
	}{
		{"no support under it", drawing{outline: rect(0, 0, 1000, 600), areas: []geom.Loop{rect(2000, 0, 3000, 600)}}, false, true},
		{"support only beside it", drawing{outline: rect(0, 0, 1000, 600), areas: []geom.Loop{rect(1000, 0, 2000, 600)}}, false, true},
		{"all of it on a cabinet", drawing{outline: rect(0, 0, 1000, 600), areas: []geom.Loop{rect(-10, -10, 1010, 610)}}, true, false},
		{"exactly on a cabinet", drawing{outline: rect(0, 0, 1000, 600), areas: []geom.Loop{rect(0, 0, 1000, 600)}}, true, false},
		{"on two cabinets that meet", drawing{outline: rect(0, 0, 1000, 600), areas: []geom.Loop{rect(0, 0, 500, 600), rect(500, 0, 1000, 600)}}, true, false},
		{"the opening takes the whole cabinet", drawing{outline: rect(0, 0, 1000, 600), areas: []geom.Loop{rect(0, 0, 1000, 600)}, openings: []geom.Loop{rect(-5, -5, 1005, 605)}}, false, true},
		{"a bracket stands in the opening", drawing{outline: rect(0, 0, 1000, 600), lines: [][]geom.Curve{lineOf(pt(500, 0), pt(500, 300))}, openings: []geom.Loop{rect(0, 0, 1000, 600)}}, true, true},
		{"a panel on the side of the opening stays outside it", drawing{outline: rect(0, 0, 1000, 600), lines: [][]geom.Curve{lineOf(pt(500, 0), pt(500, 600))}, openings: []geom.Loop{rect(500, 0, 1000, 600)}}, true, true},
		{"a leg stands in the opening", drawing{outline: rect(0, 0, 1000, 600), areas: []geom.Loop{geom.Circle(pt(500, 300), 40)}, openings: []geom.Loop{rect(0, 0, 1000, 600)}}, true, true},
		{"stone cut out over the support", drawing{outline: rect(0, 0, 1000, 600), cutouts: []geom.Loop{rect(300, 100, 700, 500)}, areas: []geom.Loop{rect(310, 110, 690, 490)}}, false, true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			m := tc.d.model()
			if m.Carried() != tc.carried || m.Free() != tc.free {
				t.Errorf("carried %v free %v, want %v %v", m.Carried(), m.Free(), tc.carried, tc.free)
			}
		})
	}
}

// TestWiden checks the areas that lines bear on: length by width, a corner's
// mitre, and of arcs Pappus' theorem (area = width * length of the middle line).
func TestWiden(t *testing.T) {
	quarter := geom.ArcAround(pt(0, 0), 300, 0, math.Pi/2)
	tight := geom.ArcAround(pt(0, 0), 30, 0, math.Pi/2)
	for _, tc := range []struct {
		name string
		line []geom.Curve
		area float64 // sum of the loops' areas; those of a corner overlap inside it
	}{
		{"straight", lineOf(pt(0, 0), pt(500, 0)), 500 * 80},
		{"corner", lineOf(pt(0, 0), pt(500, 0), pt(500, 300)), 800*80 + 40*40},
		{"sharp turn is cut off, not mitred", lineOf(pt(0, 0), pt(500, 0), pt(200, 300)), (500+300*math.Sqrt2)*80 + 40*40*math.Sin(3*math.Pi/4)/2},
		{"quarter circle", quarter, 80 * 300 * math.Pi / 2},
		{"arc the other way", geom.Loop(quarter).Reverse(), 80 * 300 * math.Pi / 2},
		{"arc tighter than half the bearing", tight, 70 * 70 * math.Pi / 4},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var sum float64
			for _, l := range widen(tc.line, 80) {
				if l.Area() <= 0 {
					t.Errorf("loop of area %v runs clockwise", l.Area())
				}
				sum += l.Area()
			}
			if math.Abs(sum-tc.area) > 1e-6*tc.area {
				t.Errorf("area %.3f mm2, want %.3f", sum, tc.area)
			}
		})
	}
}

func TestStations(t *testing.T) {
	top := drawing{outline: rect(0, 0, 1000, 640), cutouts: []geom.Loop{rect(300, 90, 700, 500)}, areas: []geom.Loop{rect(0, 0, 100, 640), rect(900, 0, 1000, 640)}}
	disc := drawing{outline: geom.Circle(pt(0, 0), 450), areas: []geom.Loop{geom.Circle(pt(0, 0), 300)}}
	for _, tc := range []struct {
		name         string
		d            drawing
		w            geom.Witness
		least, start float64 // narrowest, and at the chord's start
		source       string
	}{
		{"front rail beside a sink", top, geom.Witness{From: pt(100, 45), To: pt(900, 45)}, 90, 600, "by hand"},
		{"rear rail", top, geom.Witness{From: pt(100, 570), To: pt(900, 570)}, 140, 600, "by hand"},
		{"beside the sink", top, geom.Witness{From: pt(100, 300), To: pt(299, 300)}, 600, 600, "at most 600"},
		{"across the end", top, geom.Witness{From: pt(150, 0), To: pt(150, 640)}, 300, 600, "150 + 150 beside the sink"},
		{"rim of a disc", disc, geom.Witness{From: pt(300, 0), To: pt(450, 0)}, 0, 600, "chord 2*sqrt(450^2-300^2) = 671 at the pedestal, 0 at the rim"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			st := tc.d.model().Stations(tc.w, 600)
			least := math.Inf(1)
			for _, s := range st {
				least = math.Min(least, s.Width)
			}
			// A hundredth inside the rim the disc is already 2*sqrt(2*450*0.01) = 6 wide.
			if math.Abs(least-tc.least) > 6.1 || tc.least > 0 && math.Abs(least-tc.least) > 0.02 || math.Abs(st[0].Width-tc.start) > 0.02 {
				t.Errorf("least %.3f start %.3f mm, want %.3f %.3f: %s", least, st[0].Width, tc.least, tc.start, tc.source)
			}
		})
	}
}

// TestPlaceTurned: of two points that are as bad on both sides of a top the same
// one is reported however the drawing lies.
func TestPlaceTurned(t *testing.T) {
	for _, tc := range []struct {
		name string
		top  drawing
	}{
		{"island that hangs over a centred cabinet", drawing{outline: rect(0, 0, 2400, 1000), areas: []geom.Loop{rect(40, 40, 2360, 720)}}},
		{"the same with rounded corners", drawing{outline: roundedRect(0, 0, 2400, 1000, 60), areas: []geom.Loop{rect(90, 40, 2310, 730)}}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			want := tc.top.model().Past(limits3cm).Places
			if len(want) == 0 {
				t.Fatal("nothing past the limits")
			}
			for _, angle := range []float64{0.1, 0.651, math.Pi / 2, 2, math.Pi, 4} {
				got := tc.top.moved(func(c geom.Curve) geom.Curve { return c.Rotate(angle) }, false).model().Past(limits3cm).Places
				if len(got) != len(want) {
					t.Errorf("turned by %v: %d places, want %d", angle, len(got), len(want))
					continue
				}
				if len(want) > 1 {
					continue // equal places come in any order
				}
				if back := got[0].At.Rotate(-angle); back.Distance(want[0].At) > 5 {
					t.Errorf("turned by %v: worst at %v of the drawing, want %v", angle, back, want[0].At)
				}
			}
		})
	}
}

// modelOf returns the free stone of the template's first piece; lines bear over
// the width bearing in mm.
func modelOf(t *piece.Template, bearing float64) *Model {
	return NewSite(t, bearing).Piece(&t.Pieces[0])
}
