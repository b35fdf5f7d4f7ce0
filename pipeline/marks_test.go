package pipeline

import (
	"math"
	"slices"
	"testing"

	"trueup/pipeline/settings"
	"trueup/rules"
)

// Texts that read backwards, from the file to the flag. A mirror turns every other
// scene's texts over with it, so these are turned and moved only.
func TestMirroredText(t *testing.T) {
	ways := slices.DeleteFunc(drawnWays(), func(w drawn) bool { return w.mirror })
	stop := func(n, x, y float64) []sceneWant { return []sceneWant{{rules.Stop, n, pt(x, y)}} }
	const groups = "DXF Reference, TEXT, group 71"
	runScenes(t, "mirrored-text", []sceneCase{
		{"readable", straightTop().text("NOTES", 100, 100, "KITCHEN"), nil, nil, nil, groups},
		{"generated backwards", straightTop().text("NOTES", 100, 100, "KITCHEN", "71 2"), nil, stop(1, 100, 100),
			[]string{`The text "KITCHEN" at (100, 100) reads backwards: the drawing was probably mirrored`, "mirror the drawing back"}, groups},
		{"upside down as in water", straightTop().text("NOTES", 100, 100, "KITCHEN", "71 4"), nil, stop(1, 100, 100), nil, "mirrored in Y: " + groups},
		{"backwards and upside down is turned by 180 degrees", straightTop().text("NOTES", 100, 100, "KITCHEN", "71 6"), nil, nil, nil, groups},
		{"turned by 180 degrees", straightTop().text("NOTES", 100, 100, "KITCHEN", "50 180"), nil, nil, nil, groups},
		{"one of two", straightTop().text("NOTES", 100, 100, "KITCHEN").text("NOTES", 300, 100, "SINK", "71 2"), nil, stop(1, 300, 100), nil, groups},
	}, ways...)
	two := straightTop().text("NOTES", 100, 100, "LOW", "71 2").text("NOTES", 900, 500, "HIGH", "71 2").text("NOTES", 100, 300, "GOOD")
	runScenes(t, "mirrored-text", []sceneCase{{"the topmost is the first", two, nil, stop(2, 900, 500), []string{`2 texts read backwards, the first ("HIGH")`}, groups}}, drawnWays()[0])
}

// The plane of a text and the block that holds it turn it over as well.
func TestMirroredTextInBlocks(t *testing.T) {
	const sections = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nSYMBOL\n10\n0\n20\n0\n"
	const symbol = "0\nTEXT\n8\nNOTES\n10\n0\n20\n0\n40\n20\n1\nDW\n"
	const top = "0\nLWPOLYLINE\n8\nCOUNTER\n90\n4\n70\n1\n10\n0\n20\n0\n10\n2400\n20\n0\n10\n2400\n20\n640\n10\n0\n20\n640\n"
	const good = "0\nTEXT\n8\nNOTES\n10\n100\n20\n100\n40\n20\n1\nKITCHEN\n"
	const rest, end = "0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n", "0\nENDSEC\n0\nEOF\n"
	insert := func(groups string) string { return "0\nINSERT\n2\nSYMBOL\n8\nNOTES\n10\n500\n20\n100\n" + groups }
	for _, c := range []struct {
		name, block, entities string
		want                  rules.Severity // "" for none
	}{
		{"as it was made", symbol, top + good + insert(""), ""},
		{"turned over beside a text that reads well", symbol, top + good + insert("41\n-1\n"), rules.Warn},
		{"turned over in both ways, which turns it by 180 degrees", symbol, top + good + insert("41\n-1\n42\n-1\n"), ""},
		{"seen from below", symbol, top + good + insert("210\n0\n220\n0\n230\n-1\n"), rules.Warn},
		{"the only text", symbol, top + insert("42\n-1\n"), rules.Stop},
		{"the whole top in the block", symbol + top, good + insert("41\n-1\n"), rules.Stop},
		{"generated backwards in a block turned over", "0\nTEXT\n8\nNOTES\n10\n0\n20\n0\n40\n20\n1\nDW\n71\n2\n", top + good + insert("41\n-1\n"), ""},
		{"text seen from behind", symbol, top + good + "0\nTEXT\n8\nNOTES\n10\n-9\n20\n9\n40\n20\n1\nSINK\n230\n-1\n", rules.Stop},
		{"paragraph seen from behind", symbol, top + good + "0\nMTEXT\n8\nNOTES\n10\n9\n20\n9\n40\n20\n71\n6\n1\nSINK\n230\n-1\n", rules.Stop},
		{"paragraph hung from its middle", symbol, top + good + "0\nMTEXT\n8\nNOTES\n10\n9\n20\n9\n40\n20\n71\n2\n1\nSINK\n", ""},
		{"attribute generated backwards", symbol, top + good + insert("66\n1\n") + "0\nATTRIB\n8\nNOTES\n10\n9\n20\n9\n40\n20\n1\nD1\n2\nTAG\n71\n2\n0\nSEQEND\n", rules.Stop},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := check(t, []byte(sections+c.block+rest+c.entities+end), nil).Result
			got := of(r, "mirrored-text")
			if c.want == "" && len(got) > 0 || c.want != "" && (len(got) != 1 || got[0].Severity != string(c.want) || got[0].Measured != 1) {
				t.Errorf("want %q: %s", c.want, told(got))
			}
		})
	}
}

// An edge cannot be finished and stand against a wall.
func TestEdgeContradiction(t *testing.T) {
	stop := func(length, x, y float64) []sceneWant { return []sceneWant{{rules.Stop, length, pt(x, y)}} }
	finished := func() *scene { return straightTop().line("FINISHED", 0, 0, 2400, 0) }
	runScenes(t, "edge-contradiction", []sceneCase{
		{"front finished, back against the wall", finished().line("WALL", 0, 640, 2400, 640), nil, nil, nil, "no edge has both"},
		{"both along the front", finished().line("WALL", 0, 0, 2400, 0), nil, stop(2400, 1200, 0),
			[]string{"Edge 1 of piece A is marked finished (layer FINISHED) and against a wall (layer WALL) over 2400 mm", "delete the wall's line there"}, "by hand"},
		{"over a part", finished().line("WALL", 1400, 0, 3000, 0), nil, stop(1000, 1900, 0), nil, "2400 - 1400"},
		{"no more than a mark may run on", finished().line("WALL", 2395, 0, 3000, 0), nil, nil, nil, "mark_stretch is 5 mm"},
		{"a little more", finished().line("WALL", 2394, 0, 3000, 0), nil, stop(6, 2397, 0), nil, "2400 - 2394"},
		{"the wall in two lines", finished().line("WALL", 0, 0, 1200, 0).line("WALL", 1200, 0, 2400, 0), nil, stop(2400, 1200, 0), nil, "one stretch"},
		{"at two places", finished().line("WALL", 0, 0, 600, 0).line("WALL", 1800, 0, 2400, 0), nil, []sceneWant{{rules.Stop, 600, pt(300, 0)}, {rules.Stop, 600, pt(2100, 0)}}, nil, "by hand"},
		{"wall beside the front", finished().line("WALL", 0, -5, 2400, -5), nil, nil, nil, "marks count within 1 mm"},
		{"along a bowed front", new(scene).bowed().bow("FINISHED", -100).bow("WALL", -100), nil, stop(2*7250*math.Asin(1200.0/7250), 1200, -100),
			nil, "chord 2400, sagitta 100: R = 7250, 2 R asin(1200 / R)"},
	})
	// The remedies: either line goes, or the wall's lies where the wall is.
	for name, s := range map[string]*scene{
		"without the wall": finished(), "without the finish": straightTop().line("WALL", 0, 0, 2400, 0), "wall where it is": finished().line("WALL", 0, 640, 2400, 640),
	} {
		if got := of(s.flagsOf(t, drawn{}, nil), "edge-contradiction"); len(got) > 0 {
			t.Errorf("%s: %s", name, told(got))
		}
	}
}

// A piece without a finished edge where others have one.
func TestPieceUnfinished(t *testing.T) {
	two := func() *scene {
		return new(scene).box("COUNTER", 0, 0, 2400, 640).line("FINISHED", 0, 0, 2400, 0).line("WALL", 0, 640, 2400, 640).box("COUNTER", 0, 1500, 1000, 2140)
	}
	warn := []sceneWant{{rules.Warn, 3280, pt(500, 1820)}}
	runScenes(t, "piece-unfinished", []sceneCase{
		{"nothing is said of the second", two(), nil, warn, []string{"Piece A has no finished edge", "edges 1, 2, 3 and 4, 3280 mm long together, carry no mark", "Mark the edges that show"}, "2 x (1000 + 640)"},
		{"its front is finished", two().line("FINISHED", 0, 1500, 1000, 1500), nil, nil, nil, "one mark is enough"},
		{"walls all round", two().line("WALL", 0, 1500, 1000, 1500, 1000, 2140, 0, 2140, 0, 1500), nil, nil, nil, "nothing to finish"},
		{"walls but for an end", two().line("WALL", 1000, 1500, 0, 1500, 0, 2140, 1000, 2140), nil, []sceneWant{{rules.Warn, 640, pt(500, 1820)}}, nil, "its right end"},
		{"as much as may be left", two().line("WALL", 1000, 1600, 1000, 2140, 0, 2140, 0, 1500, 1000, 1500), nil, nil, nil, "100 mm"},
		{"nobody marks finishes", new(scene).box("COUNTER", 0, 0, 2400, 640).box("COUNTER", 0, 1500, 1000, 2140), nil, nil, nil, "no other has one"},
		{"a splash beside finished tops", two().line("FINISHED", 0, 1500, 1000, 1500).box("SPLASH", 0, 3000, 2400, 3100), nil, nil, nil, "splashes are compared with splashes"},
		{"a splash beside a finished splash", two().line("FINISHED", 0, 1500, 1000, 1500).box("SPLASH", 0, 3000, 2400, 3100).box("SPLASH", 0, 3500, 1000, 3600).line("FINISHED", 0, 3600, 1000, 3600), nil,
			[]sceneWant{{rules.Warn, 5000, pt(1200, 3050)}}, nil, "2 x (2400 + 100)"},
		{"another limit", two(), func(s *settings.Settings) { s.Rules.UnfinishedLeast = 3280 }, nil, nil, "equal passes"},
	})
}
