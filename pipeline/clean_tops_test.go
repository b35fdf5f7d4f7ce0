package pipeline

import (
	"fmt"
	"testing"

	"trueup/pipeline/settings"
	"trueup/report"
	"trueup/rules"
)

// cleanTops are kitchens, islands and vanities as shops get them, with all that is drawn
// on them and nothing wrong: cabinets 38 mm behind the front, sinks and cooktops in their
// cabinets with 70 mm of stone round them or more, walls, splashes, marks, dimensions.
func cleanTops() map[string]*scene {
	out := map[string]*scene{}
	for i, length := range []float64{1800, 2100, 2350, 2430} {
		for _, sink := range []float64{560, 700} {
			out[fmt.Sprintf("straight kitchen of %g, sink of %g", length, sink)] = straightKitchen(length, sink, i%2 == 0)
		}
	}
	for i, leg := range []float64{1500, 1700, 1900, 2200} {
		out[fmt.Sprintf("L with a leg of %g", leg)] = cornerKitchen(2400, leg, i%2 == 0)
	}
	for i, width := range []float64{900, 960, 1000, 1100} {
		out[fmt.Sprintf("island %g wide", width)] = cleanIsland(1600+150*float64(i), width, i%2 == 1)
	}
	for i, length := range []float64{610, 760, 915, 1220, 1525, 1830} {
		out[fmt.Sprintf("vanity of %g", length)] = cleanVanity(length, length > 1400, i%2 == 0)
	}
	for _, depth := range []float64{610, 640, 650} {
		out[fmt.Sprintf("galley, two runs %g deep", depth)] = galley(depth)
	}
	for _, gap := range []float64{762, 915} {
		out[fmt.Sprintf("two runs beside a range of %g", gap)] = rangeKitchen(gap)
	}
	out["peninsula"] = peninsula()
	out["bar top on brackets"] = new(scene).box("COUNTER", 0, 0, 2000, 400).line("FINISHED", 0, 0, 2000, 0, 2000, 400, 0, 400, 0, 0).box("CABINET", 20, 100, 1980, 380).text("COUNTER", 300, 200, "BAR").dim(0, 0, 2000, 0, "2000 mm")
	out["laundry"] = new(scene).box("COUNTER", 0, 0, 1700, 640).line("FINISHED", 0, 0, 1700, 0).line("WALL", 0, 0, 0, 640, 1700, 640, 1700, 0).box("CABINET", 0, 38, 500, 640).box("CABINET", 1200, 38, 1700, 640).
		box("CABINET", 500, 38, 1200, 640).box("OPENING", 560, 38, 1160, 640).text("COUNTER", 200, 300, "LAUNDRY").dim(0, 0, 1700, 0, `66 15/16"`)
	return out
}

// straightKitchen is a run against the back wall, with a dishwasher, a sink and a hob.
func straightKitchen(length, sink float64, end bool) *scene {
	s := new(scene).box("COUNTER", 0, 0, length, 640).line("WALL", 0, 0, 0, 640, length, 640).text("COUNTER", 150, 300, "KITCHEN")
	s.line("FINISHED", 0, 0, length, 0)
	if end {
		s.line("FINISHED", length, 0, length, 640)
	} else {
		s.line("WALL", length, 0, length, 640)
	}
	s.box("CABINET", 0, 38, 800, 640).box("CABINET", 800, 38, length, 640).box("DISHWASHER", 860, 38, 1460, 640)
	left := 400 - sink/2
	s.rounded("SINK", left, 100, left+sink, 500, 20).hole("TAP HOLE", 400, 570, 35)
	s.dim(0, 0, length, 0, fmt.Sprintf("%g mm", length)).linear(0, 0, 0, 640, 0, 1, "", 640).dim(0, 640, left, 500, "")
	s.linear(0, 640, left, 500, 1, 0, fmt.Sprintf("%.1f", left), 0)
	return s.splash(0, length-30).splash(1, 600)
}

// splash draws a splash piece above the tops, the first lowest.
func (s *scene) splash(place int, length float64) *scene {
	y := 3000 + 250*float64(place)
	return s.box("SPLASH", 0, y, length, y+100)
}

// cornerKitchen is two pieces with a seam at the inside corner, the sink in the one and
// the hob in the other.
func cornerKitchen(length, leg float64, splashes bool) *scene {
	s := new(scene).box("COUNTER", 0, 0, length, 640).box("COUNTER", 0, -leg+640, 640, 0).line("SEAM", 0, 0, 640, 0)
	s.line("WALL", 0, -leg+640, 0, 640, length, 640).line("FINISHED", 640, 0, length, 0, length, 640).line("FINISHED", 640, 0, 640, -leg+640).line("WALL", 0, -leg+640, 640, -leg+640)
	s.box("CABINET", 0, 38, 1000, 640).box("CABINET", 1000, 38, 1900, 640).box("CABINET", 1900, 38, length-20, 640).box("CABINET", 0, -leg+640, 602, 38)
	s.rounded("SINK", 1080, 110, 1820, 520, 15).hole("TAP HOLE", 1450, 580, 35).text("COUNTER", 800, 300, "SINK RUN").text("COUNTER", 200, -600, "HOB RUN")
	s.dim(0, 640, length, 640, fmt.Sprintf("%g", length)).dim(0, -leg+640, 0, 640, "").dim(length, 0, length, 640, `25 3/16"`)
	if leg >= 1700 {
		s.rounded("COOKTOP", 75, -leg+640+240, 565, -leg+640+240+560, 12)
	}
	if splashes {
		s.splash(0, length).splash(1, leg-30)
	}
	return s
}

// cleanIsland is an island with cabinets under all but the seating side.
func cleanIsland(length, width float64, sink bool) *scene {
	s := new(scene).rounded("ISLAND", 0, 0, length, width, 25).text("ISLAND", length/2, 60, "ISLAND")
	s.box("CABINET", 38, 230, length/2, width-38).box("CABINET", length/2, 230, length-38, width-38)
	s.entities = append(s.entities, sceneEntity{layer: "POLISH", closed: true, curves: s.entities[0].curves})
	if sink {
		s.rounded("SINK", 120, 420, length/2-60, width-110, 20)
	}
	return s.linear(25, 0, length, 25, 1, 0, "", length-25).linear(length/2, 0, length/2, width, 0, 1, fmt.Sprintf("%g mm", width), 0)
}

// cleanVanity is a vanity between or beside walls, with splashes.
func cleanVanity(length float64, two, side bool) *scene {
	s := new(scene).box("VANITY", 0, 0, length, 560).line("FINISHED", 0, 0, length, 0).line("WALL", 0, 0, 0, 560, length, 560).text("VANITY", 60, 500, "VANITY")
	if side {
		s.line("FINISHED", length, 0, length, 560)
	} else {
		s.line("WALL", length, 560, length, 0)
	}
	s.box("CABINET", 0, 25, length-12, 560)
	for i := range map[bool]int{false: 1, true: 2}[two] {
		x := length / 2
		if two {
			x = length * (0.25 + 0.5*float64(i))
		}
		s.hole("SINK", x, 260, 380).hole("TAP HOLE", x, 505, 35)
		s.linear(0, 0, x, 260, 1, 0, fmt.Sprintf("%g mm", x), 0)
	}
	s.splash(0, length).splash(1, 560-20-20)
	return s.dim(0, 0, length, 0, "").dim(0, 0, 0, 560, "560 mm")
}

// galley is two runs facing each other.
func galley(depth float64) *scene {
	s := new(scene).box("COUNTER", 0, 0, 2400, depth).box("COUNTER", 0, -1200-depth, 2400, -1200).line("WALL", 0, depth, 2400, depth).line("WALL", 0, -1200-depth, 2400, -1200-depth)
	s.line("FINISHED", 0, depth, 0, 0, 2400, 0, 2400, depth).line("FINISHED", 0, -1200-depth, 0, -1200, 2400, -1200, 2400, -1200-depth)
	s.box("CABINET", 12, 38, 2388, depth).box("CABINET", 12, -1200-depth, 2388, -1238)
	s.rounded("COOKTOP", 900, 75, 1460, depth-75, 10).rounded("SINK", 900, -1130-depth, 1500, -1290, 15)
	return s.text("COUNTER", 300, 300, "NORTH").text("COUNTER", 300, -1500, "SOUTH").dim(0, 0, 2400, 0, "2400").dim(0, -1200, 2400, -1200, "7'-10 1/2\"").splash(0, 2400)
}

// rangeKitchen is two pieces to either side of a range.
func rangeKitchen(gap float64) *scene {
	s := new(scene).box("COUNTER", 0, 0, 900, 640).box("COUNTER", 900+gap, 0, 2000+gap, 640).line("WALL", -100, 640, 2500+gap, 640).line("FINISHED", 0, 640, 0, 0, 900, 0).line("FINISHED", 900+gap, 0, 2000+gap, 0, 2000+gap, 640)
	s.box("CABINET", 15, 38, 900, 640).box("CABINET", 900+gap, 38, 1985+gap, 640).box("RANGE", 900, 0, 900+gap, 640)
	return s.text("COUNTER", 300, 300, "LEFT").text("COUNTER", 1300+gap, 300, "RIGHT").dim(900, 0, 900+gap, 0, fmt.Sprintf("%g mm", gap)).splash(0, 900).splash(1, 1100)
}

// peninsula is an L whose leg stands free, with a sink.
func peninsula() *scene {
	s := new(scene).box("COUNTER", 0, 0, 2300, 640).line("WALL", 0, 0, 0, 640).line("FINISHED", 0, 0, 2300, 0, 2300, 640, 0, 640).box("CABINET", 0, 38, 700, 600).box("CABINET", 700, 38, 1600, 600).box("CABINET", 1600, 38, 2260, 600)
	return s.rounded("SINK", 770, 110, 1530, 520, 15).text("COUNTER", 250, 300, "PENINSULA").dim(0, 0, 2300, 0, "2300 mm")
}

// Clean tops are ready, and hardly warned of: a report that cries wolf is not read. Each
// is drawn in another way, too.
func TestCleanTopsAreReady(t *testing.T) {
	tops := cleanTops()
	if len(tops) < 30 {
		t.Errorf("%d clean tops, want 30", len(tops))
	}
	warned, ready := map[string]int{}, 0
	all := 0
	ways := drawnWays()
	for name, s := range tops {
		r := s.flagsOf(t, drawn{}, nil)
		if r.Verdict == report.Ready {
			ready++
		} else {
			t.Errorf("%s is %s: %s", name, r.Verdict, told(r.Flags))
		}
		for _, f := range r.Flags {
			if f.Severity == string(rules.Warn) {
				warned[f.Rule]++
				all++
			}
			if isNew(f.Rule) {
				t.Errorf("%s: %s", name, told([]report.Flag{f}))
			}
		}
		w := ways[len(name)%len(ways)]
		if w.mirror {
			w.mirror = false
		}
		again := s.flagsOf(t, w, func(*settings.Settings) {})
		if len(again.Flags) != len(r.Flags) {
			t.Errorf("%s %s has %d flags, not %d: %s", name, w.name, len(again.Flags), len(r.Flags), told(again.Flags))
		}
	}
	t.Logf("%d of %d ready, %d warnings: %v", ready, len(tops), all, warned)
	if all > len(tops) {
		t.Errorf("%d warnings of %d clean tops: %v", all, len(tops), warned)
	}
}

// isNew tells the rules that must be silent on every clean top.
func isNew(rule string) bool {
	switch rule {
	case "dimension-differs", "mirrored-text", "edge-contradiction", "piece-unfinished", "cabinet-proud", "sink-over-cabinet-side", "cooktop-near-wall", "splash-differs":
		return true
	}
	return false
}
