package shop

import (
	"reflect"
	"strings"
	"testing"
)

// A job as shops quote it: two pieces of 3 cm engineered quartz that meet in a
// stepped seam, a sink in one, fronts polished. It takes less than 30 minutes of
// machine time in all: common practice, no source.
func TestSteppedSeamJobTime(t *testing.T) {
	tpl := template(t, `COUNTER: 0,0 1800,0 1800,500 1838.1,500 1838.1,650 0,650 close
SINK: 700,120 1400,120 1400,530 700,530 close
SINK: circle 1050,590 d35
COUNTER: 1800,0 3000,0 3000,650 1838.1,650 1838.1,500 1800,500 close
FINISHED: 0,0 1800,0
FINISHED: 1800,0 3000,0 3000,650`)
	if len(tpl.Pieces) != 2 || len(tpl.Seams) != 1 {
		t.Fatalf("%d pieces, %d seams", len(tpl.Pieces), len(tpl.Seams))
	}
	d := Default()
	setups := map[string]*Setup{}
	for i := range tpl.Pieces {
		tpl.Pieces[i].Material = "engineered quartz"
		s := SetUp(&tpl.Pieces[i], tpl, &d)
		addsUp(t, &tpl.Pieces[i], &s)
		if len(s.Notes) != 0 {
			t.Errorf("notes %q", s.Notes)
		}
		setups[s.Piece] = &s
	}
	got := JobTime(setups)
	if got.Total >= 30 || got.Total < 10 {
		t.Errorf("%.1f minutes in all; a job of this size takes 10 to 30", got.Total)
	}
	near(t, "sum", got.Total, got.Saw+got.Router+got.Polisher, 1e-12)
	near(t, "sum of the pieces", got.Total, setups["A"].RunMinutes+setups["B"].RunMinutes, 1e-9)

	seam := SeamSetUp(&tpl.Seams[0], setups)
	if len(seam.Differences) != 1 || seam.Differences[0].A == nil || seam.Differences[0].B == nil {
		t.Fatalf("seam %+v", seam)
	}
	near(t, "place", seam.Differences[0].Place, 0, 1e-6)
	near(t, "depth", seam.Differences[0].Depth, 0, 1e-6)
	for _, side := range seam.Sides {
		near(t, "length of the mate", side.Length, 650+38.1, 1e-6)
		// The step, and the stop at the one inside corner each mate has.
		near(t, "router's share", side.RouterLeft, 38.1+short3cm, 1e-6)
		if len(side.StepsLeadStart) != 1 || len(side.StepsLeadEnd) != 1 {
			t.Errorf("steps %+v", side)
		}
	}
}

func TestUnknowns(t *testing.T) {
	tpl := template(t, "COUNTER: 0,0 2400,0 2400,650 0,650 close")
	p := tpl.Pieces[0]
	d := Default()
	p.Material = "cheese"
	d.Feeds = []Feed{{Name: "granite", Material: "granite", To: 50, Saw: 1, Router: 1}}
	s := SetUp(&p, tpl, &d)
	if s.Mass != 0 || s.RunMinutes != 0 || s.SawLength != 6100 || s.Handling.Persons != 0 {
		t.Errorf("%+v", s)
	}
	if want := []string{`no material "cheese"`, "no feed for cheese of 30.0 mm"}; len(s.Notes) != 2 ||
		!strings.Contains(s.Notes[0], want[0]) || !strings.Contains(s.Notes[1], want[1]) {
		t.Errorf("notes %q", s.Notes)
	}
	p.Material = "" // the shop's usual one
	if s = SetUp(&p, tpl, &d); s.Material != "granite" || s.Mass == 0 || s.SawMinutes == 0 {
		t.Errorf("%+v", s)
	}
}

func TestFeedByThickness(t *testing.T) {
	d := Default()
	for _, tc := range []struct {
		material    string
		thickness   float64
		saw, router float64
	}{
		{"granite", 20, 2000, 225}, {"granite", 33, 2000, 225}, {"granite", 40, 1000, 112.5},
		{"engineered quartz", 30, 2250, 325}, {"soapstone", 30, 1000, 150},
	} {
		f, ok := d.feed(tc.material, tc.thickness)
		if !ok || f.Saw != tc.saw || f.Router != tc.router || f.Polish <= 0 {
			t.Errorf("%s %v mm: %+v %v", tc.material, tc.thickness, f, ok)
		}
	}
	d.Feeds = append(d.Feeds, Feed{Name: "our 2 cm", Material: "granite", From: 18, To: 22, Saw: 2500, Router: 300})
	if f, _ := d.feed("granite", 20); f.Saw != 2500 {
		t.Errorf("the shop's own row for 2 cm does not count: %+v", f)
	}
	if f, _ := d.feed("granite", 30); f.Saw != 2000 {
		t.Errorf("the shop's row for 2 cm counts at 3 cm: %+v", f)
	}
	if _, ok := d.feed("granite", 300); ok {
		t.Error("300 mm has a feed")
	}
}

// The defaults lie within the ranges in use (common practice, no source) and
// name materials with the published minimums: ASTM C615, C503, C568, C616.
func TestDefaults(t *testing.T) {
	d := Default()
	if f := d.Validate(20, 30); len(f) != 0 {
		t.Fatalf("the defaults have faults: %+v", f)
	}
	for _, tc := range []struct {
		name                        string
		thickness                   float64
		sawMin, sawMax, routMin, rM float64
	}{
		{"granite", 30, 1000, 3000, 150, 300},
		{"engineered quartz", 30, 1500, 3000, 200, 450},
		{"marble", 30, 2000, 4000, 0, 1e9},
		{"porcelain", 12, 1000, 1500, 100, 250},
	} {
		f, _ := d.feed(tc.name, tc.thickness)
		if f.Saw < tc.sawMin || f.Saw > tc.sawMax || f.Router < tc.routMin || f.Router > tc.rM {
			t.Errorf("%s: %+v", tc.name, f)
		}
	}
	for name, density := range map[string]float64{"granite": 2560, "marble": 2590, "limestone": 2560, "quartzite": 2560} {
		m, ok := d.Material(name)
		if !ok || m.Density < density || m.Source == "" {
			t.Errorf("%s: %+v, specification minimum %v kg/m3", name, m, density)
		}
	}
}

func TestValidate(t *testing.T) {
	for _, tc := range []struct {
		name  string
		wrong func(*Settings)
		key   string
		found string
	}{
		{"blade smaller than the stone is thick", func(s *Settings) { s.Saw.Blade = 50 }, "saw.blade_diameter", "184 mm or more"},
		{"flange as large as the blade", func(s *Settings) { s.Saw.Flange = 400 }, "saw.flange_diameter", "336 mm or less"},
		{"feed left out", func(s *Settings) { s.Feeds[0].Saw = 0 }, "feed.granite.saw", "above 0"},
		{"router feed left out", func(s *Settings) { s.Feeds[0].Router = 0 }, "feed.granite.router", "above 0"},
		{"polish feed too fast", func(s *Settings) { s.Feeds[0].Polish = 3000 }, "feed.granite.polish", "1829"},
		{"range upside down", func(s *Settings) { s.Feeds[0].From = 40 }, "feed.granite.to", "above from, 40 mm"},
		{"feed of no material", func(s *Settings) { s.Feeds[0].Material = "cheese" }, "feed.granite.material", `"cheese"`},
		{"density left out", func(s *Settings) { s.Materials = append(s.Materials, Material{Name: "x"}) }, "material.x.density", "above 0"},
		{"strength without a factor", func(s *Settings) { s.Materials[0].SafetyFactor = 0 }, "material.granite.safety_factor", "1 or more"},
		{"no materials", func(s *Settings) { s.Materials, s.Feeds = nil, nil }, "material", "at least one"},
		{"slab all margin", func(s *Settings) { s.Slabs[0].Margin = 700 }, "slab.usual.margin", "leaves nothing"},
		{"slab of no material", func(s *Settings) { s.Slabs[0].Material = "cheese" }, "slab.usual.material", `"cheese"`},
		{"polisher over its end", func(s *Settings) { s.Polisher.Feed = 2000 }, "polisher.feed", "1829"},
		{"one corridor", func(s *Settings) { s.Access.To = 900 }, "access.corridor_from", "both"},
		{"bevel at no feed", func(s *Settings) { s.Saw.BevelFeedShare = 0 }, "saw.bevel_feed_share", "up to 1"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := Default()
			tc.wrong(&s)
			got := s.Validate(30)
			if len(got) != 1 || got[0].Key != tc.key || !strings.Contains(got[0].Found, tc.found) {
				t.Errorf("%+v, want %s: ...%s...", got, tc.key, tc.found)
			}
		})
	}
	s := Default()
	s.Slabs[0].Thickness = 160
	if got := s.Validate(); len(got) != 1 || got[0].Key != "saw.flange_diameter" {
		t.Errorf("slab thicker than the blade reaches: %+v", got)
	}
}

// Every setting says what it is, and every number its unit.
func TestTags(t *testing.T) {
	var walk func(typ reflect.Type)
	walk = func(typ reflect.Type) {
		for i := range typ.NumField() {
			f := typ.Field(i)
			if f.Tag.Get("toml") == "" || f.Tag.Get("doc") == "" {
				t.Errorf("%s.%s lacks toml or doc", typ, f.Name)
			}
			switch f.Type.Kind() {
			case reflect.Float64, reflect.Int:
				if _, ok := f.Tag.Lookup("unit"); !ok {
					t.Errorf("%s.%s lacks its unit", typ, f.Name)
				}
			case reflect.Struct:
				walk(f.Type)
			case reflect.Slice:
				if f.Type.Elem().Kind() == reflect.Struct {
					walk(f.Type.Elem())
				}
			}
		}
	}
	walk(reflect.TypeFor[Settings]())
	seen := map[string]bool{}
	for _, f := range Figures() {
		if f.Name == "" || f.Formula == "" || f.Source == "" || seen[f.Name] {
			t.Errorf("figure %+v", f)
		}
		seen[f.Name] = true
	}
}

// Minutes of saw and router by hand from the default feeds in 3 cm granite.
func TestMinutes(t *testing.T) {
	_, s := onePiece(t, "COUNTER: 0,0 2400,0 2400,650 0,650 close\nSINK: 800,100 1600,100 1600,550 800,550 close\nSINK: circle 1200,600 d35\nSINK: circle 1400,600 d35")
	near(t, "saw", s.SawMinutes, (6100+2500-8*short3cm)/2000+8*0.3, 1e-9)
	near(t, "router", s.RouterMinutes, 8*short3cm/225+4*0.2+2*1, 1e-9)
}

// The materials against the published minimums, in the units they are published
// in: ASTM C615, C503, C568 (high density), C616 (quartzite) as density in lb/ft3
// and flexural strength (ASTM C880) in psi, "-" where the specification has none;
// factors of the stone associations' table, quartzite's from memory.
func TestMaterialsAgainstSpecifications(t *testing.T) {
	const perCubicFoot, psi = 16.0185, 0.00689476 // kg/m3, MPa
	d := Default()
	for _, tc := range []struct {
		name              string
		density, flexural float64 // 0: none published, or common practice
		factor            float64
	}{
		{"granite", 0, 1200, 3},
		{"marble", 162, 1000, 5},
		{"limestone", 160, 0, 8},
		{"quartzite", 160, 0, 6},
	} {
		m, _ := d.Material(tc.name)
		if tc.density > 0 {
			near(t, tc.name+" density", m.Density, tc.density*perCubicFoot, 6) // told in whole 10 kg
		}
		near(t, tc.name+" strength", m.Flexural, tc.flexural*psi, 0.01)
		near(t, tc.name+" factor", m.SafetyFactor, tc.factor, 0)
	}
	// EN 14617: group means 2320 to 2480 kg/m3, least flexural strength 31 MPa.
	if m, _ := d.Material("engineered quartz"); m.Density < 2320 || m.Density > 2480 || m.Flexural != 31 {
		t.Errorf("engineered quartz: %+v", m)
	}
	// ISO 13006, group BIa: mean modulus of rupture 35 N/mm2 or more.
	if m, _ := d.Material("porcelain"); m.Flexural != 35 {
		t.Errorf("porcelain: %+v", m)
	}
}
