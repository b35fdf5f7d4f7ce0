package rules

import (
	"maps"
	"math"
	"strings"
	"testing"
)

// Flaws of drawings that were told as everything but what they are. Each is one
// flag that measures what is wrong, and nothing is told beside it that the mended
// drawing, the remedy done, does not have as well. Measures by hand.
func TestDrawnFlaws(t *testing.T) {
	const top, sink = "COUNTER 0,0 2400,0 2400,640 0,640 close; ", "SINK 800,100 1400,100 1400,500 800,500 close; "
	const vanity = "COUNTER 0,0 1200,0 1200,560 0,560 close; SINK 350,80 850,80 850,430 350,430 close; "
	for _, c := range []struct {
		rule                  Rule
		name, drawing, mended string
		measured              float64
		says                  string
	}{
		{doubledLine(), "outline again, 2 mm inside", top + "COUNTER 2,2 2398,2 2398,638 2,638 close", top, 2 * math.Sqrt2, "of 2400 x 640 mm on layer COUNTER around (1200, 320) is drawn twice, up to 2.8 mm apart"},
		{doubledLine(), "outline again, 1 mm aside", top + sink + "COUNTER 1,0 2401,0 2401,640 1,640 close", top + sink, 1, "is drawn twice, up to 1 mm apart"},
		{doubledLine(), "outline in loose lines and again, 1 mm off", "COUNTER loose 0,0 2400,0 2400,640 0,640 close; COUNTER loose 1,1 2401,1 2401,641 1,641 close", top, math.Sqrt2, ""},
		{doubledLine(), "outline again the other way round", top + "COUNTER 0,1 0,641 2400,641 2400,1 close", top, 1, ""},
		{doubledLine(), "sink again, 0.8 mm inside", top + sink + "SINK 800.8,100.8 1399.2,100.8 1399.2,499.2 800.8,499.2 close", top + sink, 0.8 * math.Sqrt2, "The closed line of 600 x 400 mm on layer SINK"},
		{doubledLine(), "sink again, 1 mm off", top + sink + "SINK 801,101 1401,101 1401,501 801,501 close", top + sink, math.Sqrt2, ""},
		{doubledLine(), "tap hole again, 1 mm off", top + "HOLE circle 1200,560 d35; HOLE circle 1201,560 d35", top + "HOLE circle 1200,560 d35", 1, "of 35 mm round"},
		{doubledLine(), "line along a side, 1 mm inside", top + "COUNTER loose 0,1 2400,1", top, 1, "LINE of 2400 mm on layer COUNTER"},
		{doubledLine(), "line along a side, 1 mm outside", top + "COUNTER loose 0,-1 2400,-1", top, 1, "up to 1 mm apart; the closed line was taken"},
		{doubledLine(), "line along a part of a side", top + "COUNTER loose 500,0.8 900,0.8", top, 0.8, "between x = 500 and x = 900"},
		{doubledLine(), "polyline along two sides", top + "COUNTER 100,2 2398,2 2398,600", top, 2, ""},

		{overlappingCutouts(), "sink and cooktop", top + sink + "COOKTOP 1300,120 1900,120 1900,520 1300,520 close", top + sink + "COOKTOP 1463.5,120 2063.5,120 2063.5,520 1463.5,520 close", 100 * 380,
			"The sink A-1 and the cooktop A-2 lie over each other by 380 x 100 mm (38000 mm2) around (1350, 310). Move one of the two until 63.5 mm"},
		{overlappingCutouts(), "the one not cut goes", top + sink + "COOKTOP 1300,120 1900,120 1900,520 1300,520 close", top + sink, 100 * 380, ""},
		{overlappingCutouts(), "hole over the sink's edge", top + sink + "HOLE circle 1100,510 d35", top + sink + "HOLE circle 1100,542.5 d35", 17.5*17.5*math.Acos(10/17.5) - 10*math.Sqrt(17.5*17.5-100),
			"Move one of the two until 25 mm"},

		{overlappingCutouts(), "hole in a sink but for 5.5 mm", top + sink + "HOLE circle 1100,488 d35", top + sink + "HOLE circle 1100,542.5 d35",
			17.5*17.5*(math.Pi-math.Acos(12/17.5)) + 12*math.Sqrt(17.5*17.5-144), "(865.3 mm2)"},
		{overlappingCutouts(), "but for 1 mm, the sink of loose lines", top + "SINK loose 800,100 1400,100 1400,500 800,500 close; HOLE circle 1100,483.5 d35", top + sink + "HOLE circle 1100,542.5 d35",
			17.5*17.5*(math.Pi-math.Acos(16.5/17.5)) + 16.5*math.Sqrt(17.5*17.5-16.5*16.5), ""},
		{overlappingCutouts(), "two whose sides are a hair apart", top + sink + "HOLE 1300,145 1400.4,145 1400.4,445 1300,445 close", top + sink, 100 * 300, "lie over each other by 300 x 100 mm (30000 mm2)"},
		{overlappingCutouts(), "one past the other by a bridge", top + sink + "HOLE 1300,145 1402.9,145 1402.9,445 1300,445 close", top + sink, 100 * 300, ""},
		{cutoutAmbiguous(), "one in the other with a side in common", top + sink + "HOLE 900,145 1400,145 1400,474 900,474 close", top + sink, 0, "inside it, with a side in common"},

		{outlineAmbiguous(), "a sheet's border", "COUNTER -500,-500 3500,-500 3500,2500 -500,2500 close; " + top + sink, top + sink, 500, "The line of 4000 x 3000 mm on layer COUNTER lies around an outline of 2400 x 640 mm: it is taken for a frame"},
		{outlineAmbiguous(), "a double border", "COUNTER -520,-520 3520,-520 3520,2520 -520,2520 close; COUNTER -500,-500 3500,-500 3500,2500 -500,2500 close; " + top, top, 20, "a frame"},
		{outlineAmbiguous(), "a border on another layer of outlines", "OUTLINE -500,-500 3500,-500 3500,2500 -500,2500 close; " + top + sink, top + sink, 500, "on layer OUTLINE"},
		{outlineAmbiguous(), "a border around two tops", "COUNTER -500,-500 3500,-500 3500,2500 -500,2500 close; " + vanity + "COUNTER 0,1000 1300,1000 1300,1560 0,1560 close", vanity + "COUNTER 0,1000 1300,1000 1300,1560 0,1560 close", 500,
			"lies around 2 outlines, the largest of 1300 x 560 mm"},
		{outlineAmbiguous(), "a rectangle round a vanity", "COUNTER -200,-200 1400,-200 1400,760 -200,760 close; " + vanity, vanity, 200, "around an outline of 1200 x 560 mm"},
		{outlineAmbiguous(), "the cabinets' line inside", top + sink + "COUNTER 20,20 2380,20 2380,620 20,620 close", top + sink, 20, "a second line of 2360 x 600 mm inside it, 20 mm from it"},
	} {
		t.Run(c.rule.ID+", "+c.name, func(t *testing.T) {
			tpl := drawn(t, c.drawing)
			flags, _ := check(t, c.rule, input(tpl))
			if len(flags) != 1 || flags[0].Severity != Stop || math.Abs(flags[0].Measured-c.measured) > 1e-6 || !strings.Contains(flags[0].Message+" "+flags[0].Remedy, c.says) {
				t.Fatalf("want %v, %q:\n%s", c.measured, c.says, listed(flags))
			}
			before, after := ruleIDs(t, tpl), ruleIDs(t, drawn(t, c.mended))
			delete(before, "stop "+c.rule.ID)
			if c.rule.ID == "overlapping-cutouts" { // two cutouts or one: their own corners are not the matter
				delete(before, "stop inside-radius")
				delete(after, "stop inside-radius")
			}
			if !maps.Equal(before, after) {
				t.Errorf("beside it %v, mended %v", before, after)
			}
		})
	}
}

// What looks like them and is none of them: nothing is told, or what was told before.
func TestNoDrawnFlaws(t *testing.T) {
	const top, sink = "COUNTER 0,0 2400,0 2400,640 0,640 close; ", "SINK 800,100 1400,100 1400,500 800,500 close; "
	for name, text := range map[string]string{
		"two tops with a joint of 2 mm":             top + "COUNTER 2402,0 4000,0 4000,640 2402,640 close",
		"two tops with a joint, one in loose lines": top + "COUNTER loose 2402,0 4000,0 4000,640 2402,640 close",
		"drawn twice to a hair":                     top + "COUNTER 0.2,0.2 2400.2,0.2 2400.2,640.2 0.2,640.2 close",
		"drawn twice exactly":                       top + top,
		"sink on two layers":                        top + sink + "CUTOUT 800,100 1400,100 1400,500 800,500 close",
		"a sink in the outline's own layer":         top + "COUNTER 800,100 1400,100 1400,500 800,500 close",
		"two cutouts with a side in common":         top + sink + "SINK 1400,100 1900,100 1900,500 1400,500 close",
		"a frame of stone around an opening":        "COUNTER 0,0 1800,0 1800,1500 0,1500 close; COUNTER 300,200 1500,200 1500,1100 300,1100 close",
	} {
		for _, f := range Run(input(drawn(t, text))).Flags {
			if f.Rule == "drawing-not-kept" || f.Rule == "doubled-line" || f.Rule == "overlapping-cutouts" || f.Rule == "outline-ambiguous" {
				t.Errorf("%s: %s", name, listed([]Flag{f}))
			}
		}
	}
}

// Of two strays with their middles at one place one hid the other: the strokes of
// a cross, and a tick across a line.
func TestStraysAtOnePlace(t *testing.T) {
	const top = "COUNTER 0,0 2400,0 2400,640 0,640 close; "
	for name, text := range map[string]string{
		"a cross":       "COUNTER loose 500,100 900,500; COUNTER loose 500,500 900,100",
		"a tick across": "COUNTER loose 500,300 900,300; COUNTER loose 700,295 700,305",
	} {
		flags, _ := check(t, strayCurve(), input(drawn(t, top+text)))
		if len(flags) != 2 {
			t.Errorf("%s: %s", name, listed(flags))
		}
	}
}
