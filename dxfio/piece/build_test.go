package piece

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

// describe is the gist of a template: pieces with areas, cutouts, edges.
func describe(t *Template) string {
	var s []string
	for _, p := range t.Pieces {
		line := fmt.Sprintf("%s %s gross %.1f net %.1f edges %d", p.ID, p.Kind, p.Outline.Area(), p.NetArea(), len(p.Edges))
		for _, c := range p.Cutouts {
			line += fmt.Sprintf("; %s %s", c.ID, c.Kind)
			if c.OverEdge {
				line += " over the edge"
			}
		}
		s = append(s, line)
	}
	return strings.Join(s, "\n")
}

func TestBuild(t *testing.T) {
	for _, tc := range []struct {
		name, drawing, want, problems string
	}{
		{"one top with all that goes into it", `
			COUNTER: 0,0 2400,0 2400,640 0,640 close
			SINK: 600,120 1300,120 1300,520 600,520 close
			TAP HOLE: circle 950,580 d35
			COOKTOP: 1600,90 2160,90 2160,550 1600,550 close
			OUTLET: circle 1450,300 d100
			COUNTER: text 100,100 Kitchen`,
			"Kitchen counter gross 1536000.0 net 989583.9 edges 4; Kitchen-1 sink; Kitchen-2 hole; Kitchen-3 cutout; Kitchen-4 cooktop", ""},
		{"loop inside the outline on its own layer", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			COUNTER: 300,200 700,200 700,400 300,400 close`,
			"A counter gross 600000.0 net 520000.0 edges 4; A-1 cutout", ""},
		{"island inside the opening", `
			COUNTER: 0,0 1000,0 1000,900 0,900 close
			COUNTER: 200,200 800,200 800,700 200,700 close
			COUNTER: 400,300 600,300 600,500 400,500 close`,
			"A counter gross 900000.0 net 600000.0 edges 4; A-1 cutout\nB counter gross 40000.0 net 40000.0 edges 4", ""},
		{"sink drawn on two layers", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			COUNTER: 300,200 700,200 700,400 300,400 close
			SINK: 300,200 300,400 700,400 700,200 close`,
			"A counter gross 600000.0 net 520000.0 edges 4; A-1 sink", ""},
		{"sink drawn on two layers for cutouts", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			CUTOUT: 300,200 700,200 700,400 300,400 close
			SINK: 300,200 300,400 700,400 700,200 close`,
			"A counter gross 600000.0 net 520000.0 edges 4; A-1 sink", ""},
		{"outline drawn on two layers, the opening on one", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			OUTLINE: 0,0 1000,0 1000,600 0,600 close
			OUTLINE: 300,200 700,200 700,400 300,400 close`,
			"A counter gross 600000.0 net 520000.0 edges 4; A-1 cutout", ""},
		{"bowl inside the rim", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK: 300,200 700,200 700,400 300,400 close
			SINK: 320,220 680,220 680,380 320,380 close
			SINK: circle 500,300 d90`,
			"A counter gross 600000.0 net 520000.0 edges 4; A-1 sink", "cutout-ambiguous@SINK stray-curve@SINK"},
		{"bowl and drain on a layer beside that of the rim", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK RIM: 300,200 700,200 700,400 300,400 close
			SINK: 320,220 680,220 680,380 320,380 close
			SINK: circle 500,300 d90`,
			"A counter gross 600000.0 net 520000.0 edges 4; A-1 sink", "cutout-ambiguous@SINK stray-curve@SINK layer-doubtful@SINK RIM"},
		{"burners of a hob", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			COOKTOP: 200,50 780,50 780,550 200,550 close
			COOKTOP: circle 350,180 d180
			COOKTOP: circle 620,400 d280`,
			"A counter gross 600000.0 net 310000.0 edges 4; A-1 cooktop", "stray-curve@COOKTOP stray-curve@COOKTOP"},
		{"rim on the layer of the top, bowl on its own", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			COUNTER: 300,200 700,200 700,400 300,400 close
			SINK: 320,220 680,220 680,380 320,380 close`,
			"A counter gross 600000.0 net 520000.0 edges 4; A-1 cutout", "cutout-ambiguous@SINK"},
		{"rim and bowl on the layer of the top", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			COUNTER: 300,200 700,200 700,400 300,400 close
			COUNTER: 320,220 680,220 680,380 320,380 close`,
			"A counter gross 600000.0 net 520000.0 edges 4; A-1 cutout\nB counter gross 57600.0 net 57600.0 edges 4", "cutout-ambiguous@COUNTER"},
		{"apron sink and its rim over the front, one side in common", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK RIM: 200,-60 800,-60 800,500 200,500 close
			SINK: 230,-60 770,-60 770,470 230,470 close`,
			"A counter gross 300000.0 net 300000.0 edges 8; A-1 sink over the edge", "cutout-ambiguous@SINK layer-doubtful@SINK RIM"},
		{"two bowls side by side", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK: 200,100 500,100 500,500 200,500 close
			SINK: 500,100 800,100 800,500 500,500 close`,
			"A counter gross 600000.0 net 360000.0 edges 4; A-1 sink", ""},
		{"a sink and a cooktop with one side in common", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK: 100,100 500,100 500,500 100,500 close
			COOKTOP: 500,100 900,100 900,500 500,500 close`,
			"A counter gross 600000.0 net 280000.0 edges 4; A-1 sink; A-2 cooktop", ""},
		{"finish mark drawn askew", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			FINISHED: 0,0 1000,-4`,
			"A counter gross 600000.0 net 600000.0 edges 5", "stray-finish@FINISHED"},
		{"finish mark along a front that steps back", `
			COUNTER: 0,0 500,0 500,40 1000,40 1000,600 0,600 close
			FINISHED: 0,0 1000,0`,
			"A counter gross 580000.0 net 580000.0 edges 6", "stray-finish@FINISHED"},
		{"finish mark that runs past the end of its edge", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			FINISHED: -50,0 1200,0`,
			"A counter gross 600000.0 net 600000.0 edges 4", ""},
		{"finish mark over an apron sink and a rounded corner", `
			COUNTER: 0,0 300,0 300,400 700,400 700,0 960,0^0.41421356237 1000,40 1000,600 0,600 close
			FINISHED: 0,0 1000,0`,
			"A counter gross 439656.6 net 439656.6 edges 9", ""},
		{"finish mark drawn around a corner, off both edges", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			FINISHED: -10,-10 1010,-10 1010,610`,
			"A counter gross 600000.0 net 600000.0 edges 4", "stray-finish@FINISHED stray-finish@FINISHED"},
		{"sink drawn twice within a mark's distance", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			CUTOUT: 300,200 700,200 700,400 300,400 close
			SINK: 300.6,200.6 699.4,200.6 699.4,399.4 300.6,399.4 close`,
			"A counter gross 600000.0 net 520000.0 edges 4; A-1 sink", "doubled-line@SINK"},
		{"a cross drawn over the sink", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK: 300,200 700,200 700,400 300,400 close
			SINK: 500,200 500,400
			SINK: 300,300 700,300`,
			"A counter gross 600000.0 net 520000.0 edges 4; A-1 sink", ""},
		{"notch drawn as an open chain to the edge", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK: 300,0 300,400 700,400 700,0`,
			"A counter gross 440000.0 net 440000.0 edges 8; A-1 sink over the edge", ""},
		{"notch drawn as an open chain past the edge", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK: 300,-30 300,400 700,400 700,-30`,
			"A counter gross 440000.0 net 440000.0 edges 8; A-1 sink over the edge", ""},
		{"cutout whose front side lies on the edge", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK: 300,0 700,0 700,400 300,400 close`,
			"A counter gross 440000.0 net 440000.0 edges 8; A-1 sink over the edge", ""},
		{"notch in the outline and the sink beside it", `
			COUNTER: 0,0 300,0 300,400 700,400 700,0 1000,0 1000,600 0,600 close
			SINK: 300,-30 700,-30 700,400 300,400 close`,
			"A counter gross 440000.0 net 440000.0 edges 8; A-1 sink over the edge", ""},
		{"hole that touches the edge in a point", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			TAP HOLE: circle 500,20 d40`,
			"A counter gross 600000.0 net 598743.4 edges 4; A-1 hole", ""},
		{"cutout through the whole depth", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			CUTOUT: 400,-10 600,-10 600,700 400,700 close`,
			"A counter gross 240000.0 net 240000.0 edges 4; A-1 cutout over the edge\nB counter gross 240000.0 net 240000.0 edges 4; B-1 cutout over the edge", ""},
		{"a hole cut in half by a seam", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			TAP HOLE: circle 500,100 d36
			SEAM: 500,0 500,600`,
			"A counter gross 299491.1 net 299491.1 edges 6; A-1 hole over the edge\nB counter gross 299491.1 net 299491.1 edges 6; B-1 hole over the edge", ""},
		{"cutout chain that does not close", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK: 300,200 700,200 700,400 320,400`,
			"A counter gross 600000.0 net 600000.0 edges 4", "open-outline@SINK"},
		{"points mark holes, but not the centre of one", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			TAP HOLE: circle 500,500 d38
			TAP HOLE: point 500,500
			TAP HOLE: point 300,500`,
			"A counter gross 600000.0 net 597903.8 edges 4; A-1 hole; A-2 hole", ""},
		{"cutout outside", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK: 1300,200 1700,200 1700,400 1300,400 close`,
			"A counter gross 600000.0 net 600000.0 edges 4", "cutout-outside@SINK"},
		{"corner drawn as six chords that bow further than ends are joined", `
			COUNTER: 0,0 350,0 388.823,5.111 425,20.096 456.066,43.934 479.904,75 494.889,111.177 500,150 500,600 0,600 close`,
			"A counter gross 295171.5 net 295171.5 edges 5", ""}, // 500 x 600 - (1 - pi/4) 150^2
		{"the same drawn twice", `
			COUNTER: 0,0 350,0 388.823,5.111 425,20.096 456.066,43.934 479.904,75 494.889,111.177 500,150 500,600 0,600 close
			COUNTER: 0,0 350,0 388.823,5.111 425,20.096 456.066,43.934 479.904,75 494.889,111.177 500,150 500,600 0,600 close`,
			"A counter gross 295171.5 net 295171.5 edges 5", ""},
		{"layers without a role, and ignored ones", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			LASER 3: 0,700 100,700 100,800
			NOTES: 0,900 100,900`,
			"A counter gross 600000.0 net 600000.0 edges 4", "unmapped-layer@LASER 3"},
		{"gap that must not be closed", `
			COUNTER: 0,0 1500,0 1500,400 0,400 0,12 loose
			COUNTER: 0,700 900,700 900,1100 0,1100 close`,
			"A counter gross 360000.0 net 360000.0 edges 4", "open-outline@COUNTER"},
		{"front edge drawn on the finished layer, walls longer than the top", `
			COUNTER: 0,0 0,600 loose
			COUNTER: 1000,600 1000,0 loose
			FINISHED: 0,0 1000,0
			WALL: -200,600 1400,600`,
			"A counter gross 600000.0 net 600000.0 edges 4", "edge-from-mark@FINISHED edge-from-mark@WALL"},
		{"names: topmost text, of the top itself before notes, doubled ones numbered", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			COUNTER: 1200,0 2200,0 2200,600 1200,600 close
			COUNTER: 2400,0 3400,0 3400,600 2400,600 close
			COUNTER: 3600,0 4600,0 4600,600 3600,600 close
			COUNTER: text 100,300 Bar\nraised
			COUNTER: text 100,200 lower
			NOTES: text 100,500 do not cut
			COUNTER: text 1300,300 bar
			CABINET: text 2500,500 B36
			COUNTER: text 2500,300 Shelf
			CABINET: text 3700,500 B24
			LABELS: text 3700,300 Island
			DIM: text 3700,550 2400
			COUNTER: 4800,0 5800,0 5800,600 4800,600 close
			DIM: text 4900,550 2400`,
			"Bar counter gross 600000.0 net 600000.0 edges 4\nbar-2 counter gross 600000.0 net 600000.0 edges 4\n" +
				"Shelf counter gross 600000.0 net 600000.0 edges 4\nIsland counter gross 600000.0 net 600000.0 edges 4\nA counter gross 600000.0 net 600000.0 edges 4", ""},
		{"splash pieces with their outlet", `
			COUNTER: 0,0 1220,0 1220,560 0,560 close
			SPLASH: 0,700 1220,700 1220,800 0,800 close
			OUTLET: 500,720 550,720 550,790 500,790 close`,
			"A splash gross 122000.0 net 118500.0 edges 4; A-1 cutout\nB counter gross 683200.0 net 683200.0 edges 4", ""},
		{"two tops over each other", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			COUNTER: 900,100 1900,100 1900,500 900,500 close`,
			"A counter gross 600000.0 net 600000.0 edges 4\nB counter gross 400000.0 net 400000.0 edges 4", "overlapping-pieces@"},
		{"a top of another layer drawn on a top", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			ISLAND: 300,200 700,200 700,400 300,400 close`,
			"A counter gross 600000.0 net 600000.0 edges 4\nB counter gross 80000.0 net 80000.0 edges 4", "overlapping-pieces@"},
		{"cutouts that cross", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			SINK: 300,200 500,200 500,400 300,400 close
			CUTOUT: 400,100 700,100 700,300 400,300 close`,
			"A counter gross 600000.0 net 500000.0 edges 4; A-1 sink; A-2 cutout", "overlapping-cutouts@"},
		{"bow tie", `
			COUNTER: 0,0 1000,600 1000,0 0,600 close`,
			"", "self-crossing@COUNTER"},
		{"finished mark far from every edge", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			FINISHED: 0,-50 1000,-50`,
			"A counter gross 600000.0 net 600000.0 edges 4", "stray-finish@FINISHED"},
		{"four tops around a court", `
			COUNTER: 0,0 2000,0 2000,500 0,500 close
			COUNTER: 1500,500 2000,500 2000,1500 1500,1500 close
			COUNTER: 0,1500 2000,1500 2000,2000 0,2000 close
			COUNTER: 0,500 500,500 500,1500 0,1500 close`,
			"A counter gross 1000000.0 net 1000000.0 edges 6\nB counter gross 500000.0 net 500000.0 edges 4\n" +
				"C counter gross 1000000.0 net 1000000.0 edges 6\nD counter gross 500000.0 net 500000.0 edges 4", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := build(t, tc.drawing)
			if d := describe(got); d != tc.want {
				t.Errorf("got\n%s\nwant\n%s", d, tc.want)
			}
			if s := summary(got); s != tc.problems {
				t.Errorf("problems %q, want %q: %+v", s, tc.problems, got.Problems)
			}
		})
	}
}

func TestApronSink(t *testing.T) {
	got := build(t, `
		COUNTER: 0,0 2600,0 2600,640 0,640 close
		SINK: 900,-40 1700,-40 1700,540 900,540 close
		TAP HOLE: circle 1300,595 d35`)
	// By hand: 2600 x 640 less 800 x 540.
	if want := "A counter gross 1232000.0 net 1231037.9 edges 8; A-1 sink over the edge; A-2 hole"; describe(got) != want {
		t.Errorf("got %s, want %s", describe(got), want)
	}
	if len(got.Problems) > 0 {
		t.Errorf("problems: %+v", got.Problems)
	}
	near(t, "drawn cutout", got.Pieces[0].Cutouts[0].Loop.Area(), -800*580)
}

func TestOpenOutlineWitness(t *testing.T) {
	got := build(t, "COUNTER: 0,0 1500,0 1500,400 0,400 0,12 loose")
	if len(got.Problems) != 1 {
		t.Fatalf("problems: %+v", got.Problems)
	}
	p := got.Problems[0]
	near(t, "gap", p.Measured, 12)
	near(t, "witness", p.Witness.Length(), 12)
	if p.At != (geom.Point{X: 0, Y: 6}) || p.Layer != "COUNTER" || p.Line == 0 {
		t.Errorf("place: %+v", p)
	}
}

// Of two chains the shortest gaps belong together, not the first that are found.
func TestOpenOutlineOfTwoChains(t *testing.T) {
	got := build(t, `
		COUNTER: 0,40 0,0 2000,0 2000,300 loose
		COUNTER: 2000,320 2000,640 0,640 0,80 loose`)
	if len(got.Problems) != 2 {
		t.Fatalf("problems: %+v", got.Problems)
	}
	for i, want := range []float64{40, 20} { // from left to right
		near(t, "gap", got.Problems[i].Measured, want)
	}
	if at := got.Problems[1].At; at != (geom.Point{X: 2000, Y: 310}) {
		t.Errorf("the shorter gap at %v", at)
	}
}

// What closing did to an outline is told with its place, size and layer.
func TestRepairsAreTold(t *testing.T) {
	got := build(t, "COUNTER: 0,0 1500,0 1500,400 0,400 0,2 loose")
	if len(got.Pieces) != 1 || len(got.Repairs) != 1 {
		t.Fatalf("%d pieces, repairs %+v", len(got.Pieces), got.Repairs)
	}
	r := got.Repairs[0]
	near(t, "size", r.Size, 2)
	if r.Layer != "COUNTER" || r.At.Distance(geom.Point{}) > 2 {
		t.Errorf("repair %+v", r)
	}
}

// A layer without a role counts its entities, not its curves.
func TestUnmappedCountsEntities(t *testing.T) {
	got := build(t, `
		COUNTER: 0,0 1000,0 1000,600 0,600 close
		DETAIL: 2000,0 2100,0 2100,100 2000,100 close
		DETAIL: 2200,0 2300,0
		DETAIL: 2200,50 2300,50`)
	var counts []int
	for _, p := range got.Problems {
		if p.Kind == UnmappedLayer {
			counts = append(counts, p.Count)
		}
	}
	if len(counts) != 1 || counts[0] != 3 {
		t.Errorf("unmapped entities %v, want 3 on one layer", counts)
	}
}

// A point in a hole that is drawn as a circle marks that hole and makes no second one.
func TestPointInDrawnHole(t *testing.T) {
	got := build(t, `
		COUNTER: 0,0 1000,0 1000,600 0,600 close
		TAP HOLE: circle 500,550 d100
		TAP HOLE: point 540,550
		TAP HOLE: point 700,550`)
	if want := 2; len(got.Pieces) != 1 || len(got.Pieces[0].Cutouts) != want {
		t.Fatalf("%s", describe(got))
	}
}

// What lies nowhere is told for what it was meant: a seam or a finish mark.
func TestStrayMarksSayWhatTheyMiss(t *testing.T) {
	got := build(t, `
		COUNTER: 0,0 1000,0 1000,600 0,600 close
		SEAM: 300,200 300,400
		FINISHED: 0,-300 1000,-300`)
	why := map[string]string{}
	for _, p := range got.Problems {
		why[p.Layer] = p.Why
	}
	if why["SEAM"] != "divides no piece and lies along no edge" || why["FINISHED"] != "marks no edge: it lies along none" {
		t.Errorf("%q", why)
	}
}

// The mark stood in for the edge, and the line of the outline that had slipped was
// a stray like any other: the top came out too small and ready.
func TestStrayBesideABorrowedEdge(t *testing.T) {
	for _, c := range []struct{ name, drawing, want string }{
		{"the front has slipped outward", `
			COUNTER: 0,0 0,600 1000,600 1000,0 loose
			COUNTER: 10,-30 1010,-30 loose
			FINISHED: 0,0 1000,0`, "FINISHED"},
		{"the back lies inward of the wall", `
			COUNTER: 0,600 0,0 1000,0 1000,600 loose
			COUNTER: 10,540 990,540 loose
			WALL: 0,600 1000,600`, "WALL"},
		{"as far off as may be meant", `
			COUNTER: 0,0 0,600 1000,600 1000,0 loose
			COUNTER: 0,-100 1000,-100 loose
			FINISHED: 0,0 1000,0`, "FINISHED"},
		{"farther off", `
			COUNTER: 0,0 0,600 1000,600 1000,0 loose
			COUNTER: 0,-101 1000,-101 loose
			FINISHED: 0,0 1000,0`, ""},
		{"the outline is whole, and the mark only marks it", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			COUNTER: 10,-30 1010,-30 loose
			FINISHED: 0,0 1000,0`, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := build(t, c.drawing)
			got.Problems = slices.DeleteFunc(got.Problems, func(p Problem) bool { return p.Kind == EdgeFromMark })
			if len(got.Pieces) != 1 || len(got.Problems) != 1 || got.Problems[0].Kind != StrayCurve {
				t.Fatalf("%s", describe(got))
			}
			if rival := got.Problems[0].Rival; rival != c.want {
				t.Errorf("rival %q, want %q", rival, c.want)
			}
		})
	}
}
