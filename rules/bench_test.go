package rules

import (
	"fmt"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/shop"
)

// kitchenOf20 is a kitchen of 20 pieces: tops with sinks, cooktops, tap holes and
// notches, L shapes, and splash pieces.
func kitchenOf20() string {
	var b strings.Builder
	for i := range 8 {
		y := float64(i) * 2500
		fmt.Fprintf(&b, "outline 0,%[1]g 2400,%[1]g 2400,%[2]g 1300,%[2]g 1300,%[3]g 1200,%[3]g 1200,%[2]g 0,%[2]g r12;", y, y+640, y+560)
		fmt.Fprintf(&b, "sink 300,%g 1000,%g r12; cooktop 1500,%g 2100,%g r10; hole 600,%g d35; hole 700,%g d35;", y+70, y+500, y+80, y+520, y+570, y+570)
		fmt.Fprintf(&b, "outline 3000,%[1]g 5400,%[1]g 5400,%[2]g 3650,%[2]g 3650,%[3]g 3000,%[3]g r12; sink 4000,%[4]g 4700,%[5]g r12;", y, y+650, y+1850, y+80, y+500)
	}
	for i := range 4 {
		y := 30000 + float64(i)*200
		fmt.Fprintf(&b, "splash 0,%[1]g 2400,%[1]g 2400,%[2]g 0,%[2]g;", y, y+100)
	}
	return b.String()
}

// benchInput is that kitchen as the pipeline hands it over: set-up figures done.
func benchInput(b *testing.B) *Input {
	in := input(template(b, kitchenOf20()))
	in.Setups = map[string]*shop.Setup{}
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		setup := shop.SetUp(p, in.Template, in.Shop)
		in.Setups[p.ID] = &setup
	}
	return in
}

// BenchmarkKitchen runs every rule on a kitchen of 20 pieces without supports.
func BenchmarkKitchen(b *testing.B) {
	tpl := template(b, kitchenOf20())
	if len(tpl.Pieces) != 20 {
		b.Fatal(len(tpl.Pieces))
	}
	in := benchInput(b)
	for b.Loop() {
		r := Run(&Input{Template: in.Template, Settings: in.Settings, Shop: in.Shop, Setups: in.Setups})
		b.ReportMetric(float64(len(r.Flags)), "flags")
	}
}

func BenchmarkRules(b *testing.B) {
	in := benchInput(b)
	for _, r := range Catalogue() {
		b.Run(r.ID, func(b *testing.B) {
			for b.Loop() {
				runRule(&r, &Input{Template: in.Template, Settings: in.Settings, Shop: in.Shop, Setups: in.Setups})
			}
		})
	}
}

func BenchmarkKeys(b *testing.B) {
	tpl := template(b, kitchenOf20())
	flags := Run(input(tpl)).Flags
	for b.Loop() {
		giveKeys(Catalogue(), tpl, flags)
	}
}

// hardKitchen is a kitchen of 20 pieces over cabinets, with dishwashers, sinks,
// seams, and five islands that hang too far, each in another way: a straight
// front, a front whose corners are worst, a post under a square, a round table,
// a knee space with an overhang before it.
func hardKitchen() *piece.Template {
	t := kitchenOf(20, 330)
	island := func(k int, outline geom.Loop, supports ...geom.Loop) {
		y := float64(k)*2500 + 12500
		p := &t.Pieces[5*k+4]
		p.Outline = outline.Translate(xy(8000, y))
		for _, s := range supports {
			t.Supports = append(t.Supports, piece.Support{Area: s.Translate(xy(8000, y))})
		}
	}
	island(0, box(0, 0, 2700, 1050), box(40, 290, 2660, 1010))
	island(1, box(-450, -450, 450, 450), box(-100, -100, 100, 100))
	island(2, geom.Circle(xy(0, 0), 600), geom.Circle(xy(0, 0), 300))
	island(3, box(0, 0, 2200, 900), box(0, 0, 600, 600), box(1600, 0, 2200, 600))
	return t
}

// BenchmarkKitchenWithSupports runs every rule on that kitchen.
func BenchmarkKitchenWithSupports(b *testing.B) {
	tpl := hardKitchen()
	in := input(tpl)
	for _, bc := range []struct {
		name string
		tpl  *piece.Template
	}{{"within the limits", kitchenOf(20, 230)}, {"four straight overhangs", kitchenOf(20, 330)}, {"islands bad in every way", tpl}} {
		b.Run(bc.name, func(b *testing.B) {
			setups := map[string]*shop.Setup{}
			for i := range bc.tpl.Pieces {
				p := &bc.tpl.Pieces[i]
				setup := shop.SetUp(p, bc.tpl, in.Shop)
				setups[p.ID] = &setup
			}
			for b.Loop() {
				r := Run(&Input{Template: bc.tpl, Settings: in.Settings, Shop: in.Shop, Setups: setups})
				b.ReportMetric(float64(len(r.Flags)), "flags")
			}
		})
	}
}
