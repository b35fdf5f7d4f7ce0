package pipeline

import (
	"testing"

	"trueup/pipeline/settings"
	"trueup/rules"
)

func straightTop() *scene { return new(scene).box("COUNTER", 0, 0, 2400, 640) }

// What a dimension says against what it spans, from the file to the flag.
func TestDimensionDiffers(t *testing.T) {
	stop := func(measured, x, y float64) []sceneWant { return []sceneWant{{rules.Stop, measured, pt(x, y)}} }
	const byHand = "by hand; 1 in = 25.4 mm"
	runScenes(t, "dimension-differs", []sceneCase{
		{"no text: it shows what it spans", straightTop().dim(0, 0, 2400, 0, ""), nil, nil, nil, byHand},
		{"the right length", straightTop().dim(0, 0, 2400, 0, "2400 mm"), nil, nil, nil, byHand},
		{"100 mm more than drawn", straightTop().dim(0, 0, 2400, 0, "2500 mm"), nil, stop(100, 2450, 0),
			[]string{`says 2500.00 mm (written 2500 mm), and spans 2400.00 mm`, "from (0, 0) to (2400, 0)", "draw 2500.00 mm, or write 2400.00 mm"}, byHand},
		{"as far off as may be", straightTop().dim(0, 0, 2400, 0, "2401.6 mm"), nil, nil, nil, "1.6 mm passes"},
		{"farther", straightTop().dim(0, 0, 2400, 0, "2401.7 mm"), nil, stop(1.7, 2400.85, 0), nil, byHand},
		{"another limit", straightTop().dim(0, 0, 2400, 0, "2405 mm"), func(s *settings.Settings) { s.Rules.DimensionDiffers = 5 }, nil, nil, "the setting"},
		{"inches and a fraction", straightTop().dim(0, 0, 0, 640, `25 3/16"`), nil, nil, nil, "25.1875 in = 639.76 mm"},
		{"an inch less", straightTop().dim(0, 0, 0, 640, `24-3/16"`), nil, stop(640-24.1875*25.4, 0, (640+24.1875*25.4)/2), nil, byHand},
		{"feet and inches", straightTop().dim(0, 0, 2400, 0, `7'-10 1/2"`), nil, nil, nil, "94.5 in = 2400.3 mm"},
		{"a foot less", straightTop().dim(0, 0, 2400, 0, `6'-10 1/2"`), nil, stop(2400-82.5*25.4, (2400+82.5*25.4)/2, 0), nil, byHand},
		{"metres", straightTop().dim(0, 0, 2400, 0, "2,40 m"), nil, nil, nil, byHand},
		{"centimetres", straightTop().dim(0, 0, 2400, 0, "250 cm"), nil, stop(100, 2450, 0), nil, byHand},
		{"no unit, read as inches in a drawing in mm", straightTop().dim(0, 0, 2400, 0, "94 1/2"), nil, nil, nil, byHand},
		{"two units", straightTop().dim(0, 0, 2400, 0, `2400 mm [94 1/2"]`), nil, nil, nil, byHand},
		{"the measured length and a word", straightTop().dim(0, 0, 2400, 0, "<> TYP"), nil, nil, nil, byHand},
		{"a word", straightTop().dim(0, 0, 2400, 0, "VERIFY"), nil, nil, nil, "it tells no length"},
		{"across the way between its points", straightTop().linear(0, 0, 2400, 640, 1, 0, "2400 mm", 0), nil, nil, nil, byHand},
		{"across, and wrong", straightTop().linear(0, 0, 2400, 640, 0, 1, "600 mm", 0), nil, stop(40, 2400, 620), nil, byHand},
		{"measured before the stone was moved", straightTop().linear(0, 0, 2400, 0, 1, 0, "", 2380), nil, stop(20, 2390, 0),
			[]string{"shows 2380.00 mm, and spans 2400.00 mm", "let CAD update the dimension"}, byHand},

		{"ends 20 mm before the corner", straightTop().dim(0, 0, 2380, 0, ""), nil, []sceneWant{{rules.Warn, 20, pt(2390, 0)}},
			[]string{"ends 20 mm beside the corner at (2400, 0)"}, byHand},
		{"ends far from any corner", straightTop().dim(0, 0, 2300, 0, ""), nil, nil, nil, "past dimension_reach"},
		{"ends at the middle of a sink", straightTop().rounded("SINK", 1900, 120, 2600-100, 500, 20).box("COUNTER", 0, 1000, 2400, 1640).dim(0, 1000, 2370, 1000, "").line("NOTES", 2370, 1300, 2370, 1400), nil, nil, nil,
			"the height of a line somewhere is measured to"},
		{"ends at a cabinet's side", straightTop().box("CABINET", 30, 38, 2370, 640).dim(0, 0, 2370, 0, ""), nil, nil, nil, "a corner of the cabinet is at that height"},
	})
}

// The remedies are done to the drawing, and the flag is gone.
func TestDimensionRemedies(t *testing.T) {
	for name, s := range map[string]*scene{
		"the stone is drawn as it says":        new(scene).box("COUNTER", 0, 0, 2500, 640).dim(0, 0, 2500, 0, "2500 mm"),
		"the text is corrected":                straightTop().dim(0, 0, 2400, 0, "2400.00 mm"),
		"the dimension is put onto the corner": straightTop().dim(0, 0, 2400, 0, ""),
	} {
		if got := of(s.flagsOf(t, drawn{}, nil), "dimension-differs"); len(got) > 0 {
			t.Errorf("%s: %s", name, told(got))
		}
	}
}

// A drawing whose unit is flagged is not flagged again for every dimension that says
// so; what differs otherwise is.
func TestDimensionsOfADoubtfulUnit(t *testing.T) {
	for text, want := range map[string]int{`24"`: 0, `30"`: 1} {
		s := new(scene).box("COUNTER", 0, 0, 24, 6.4).dim(0, 0, 24, 0, text)
		r := s.flagsOf(t, drawn{}, nil)
		if len(of(r, "units-implausible")) != 1 {
			t.Fatalf("the unit is not flagged: %s", told(r.Flags))
		}
		if got := of(r, "dimension-differs"); len(got) != want {
			t.Errorf("%s beside a flagged unit: %s", text, told(got))
		}
	}
	s := new(scene).box("COUNTER", 0, 0, 2400, 640).dim(0, 0, 2400, 0, "2400 in")
	if got := of(s.flagsOf(t, drawn{}, nil), "dimension-differs"); len(got) != 1 {
		t.Errorf("inches in a drawing that is in mm for certain: %s", told(got))
	}
}

// What cannot be compared is told.
func TestDimensionsNotCompared(t *testing.T) {
	for name, s := range map[string]*scene{
		"1 dimension without the points":      straightTop().dim(0, 0, 0, 0, "2400 mm"),
		"1 dimension with a text in which no": straightTop().dim(0, 0, 2400, 0, "SEE NOTE 3"),
	} {
		r := s.flagsOf(t, drawn{}, nil)
		found := false
		for _, u := range r.Unchecked {
			found = found || u.Rule == "dimension-differs" && len(u.Why) > len(name) && u.Why[:len(name)] == name
		}
		if !found || len(of(r, "dimension-differs")) > 0 {
			t.Errorf("%s: not told; %v", name, r.Unchecked)
		}
		if len(r.Unread) != 1 || r.Unread[0].Type != "DIMENSION" || r.Unread[0].Count != 1 {
			t.Errorf("%s: %v", name, r.Unread)
		}
	}
}
