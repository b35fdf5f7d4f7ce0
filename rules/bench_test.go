package rules

import (
	"fmt"
	"strings"
	"testing"

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
