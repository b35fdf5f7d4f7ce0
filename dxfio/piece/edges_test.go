package piece

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

func edgeGist(p Piece) string {
	var s []string
	for _, e := range p.Edges {
		line := fmt.Sprintf("%d %s %.1f %.1f %s", e.N, e.Kind, e.Length(), e.CornerDeg, e.Finish)
		if e.Profile != "" {
			line += " " + e.Profile
		}
		s = append(s, line)
	}
	return strings.Join(s, "\n")
}

func TestEdges(t *testing.T) {
	quarter := math.Pi / 2
	for _, tc := range []struct{ name, drawing, want string }{
		{"numbered from the lowest, leftmost corner, though level only to 1e-9", `
			COUNTER: 1000,600 0,600 0,0.000000001 1000,0 close`,
			"1 line 1000.0 90.0 unmarked\n2 line 600.0 90.0 unmarked\n3 line 1000.0 90.0 unmarked\n4 line 600.0 90.0 unmarked"},
		{"collinear lines are one edge", `
			COUNTER: 0,0 300,0 300.5,0 1000,0 1000,600 0,600 close`,
			"1 line 1000.0 90.0 unmarked\n2 line 600.0 90.0 unmarked\n3 line 1000.0 90.0 unmarked\n4 line 600.0 90.0 unmarked"},
		{"a circle is one arc, a little lower than its vertices", `
			COUNTER: circle 500,500 d800`,
			fmt.Sprintf("1 arc %.1f 180.0 unmarked", 800*math.Pi)},
		{"arcs of one circle are one edge, a half turn in one curve", `
			COUNTER: 0,0 1000,0^0.41421356237309503 1300,300^0.41421356237309503 1000,600 0,600 close`,
			fmt.Sprintf("1 line 1000.0 90.0 unmarked\n2 arc %.1f 180.0 unmarked\n3 line 1000.0 180.0 unmarked\n4 line 600.0 90.0 unmarked", 600*quarter)},
		{"an oval drawn as an ellipse is one curve", `
			COUNTER: ellipse 600,400 500,300`,
			"1 curve 2513.3 180.0 unmarked"}, // pi (a + b): four quarter turns
		{"inside corner", `
			COUNTER: 0,0 1000,0 1000,1000 600,1000 600,600 0,600 close`,
			"1 line 1000.0 90.0 unmarked\n2 line 1000.0 90.0 unmarked\n3 line 400.0 90.0 unmarked\n4 line 400.0 90.0 unmarked\n5 line 600.0 270.0 unmarked\n6 line 600.0 90.0 unmarked"},
		{"finished over part: split where the rest is longer than 5 mm", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			FINISHED: 0,0 994,0
			FINISHED: 1000,0 1000,596
			WALL: 1000,600 -20,600`,
			"1 line 994.0 90.0 finished\n2 line 6.0 180.0 unmarked\n3 line 600.0 90.0 finished\n4 line 1000.0 90.0 wall\n5 line 600.0 90.0 unmarked"},
		{"marks on several curves, beside the edge, and across it", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			POLISH-EASED: 0,-0.8 500,-0.8
			POLISH-EASED: 500,-0.9 1003,-0.9
			FINISHED: 0,300 100,300
			WALL: 0,0 1000,0`,
			"1 line 1000.0 90.0 finished EASED\n2 line 600.0 90.0 unmarked\n3 line 1000.0 90.0 unmarked\n4 line 600.0 90.0 unmarked"},
		{"an arc and its mark both exported as coarse chords", `
			COUNTER: 0,0 350,0 388.823,5.111 425,20.096 456.066,43.934 479.904,75 494.889,111.177 500,150 500,600 0,600 close
			FINISHED: 0,0 350,0 388.823,5.111 425,20.096 456.066,43.934 479.904,75 494.889,111.177 500,150`,
			fmt.Sprintf("1 line 350.0 90.0 finished\n2 arc %.1f 180.0 finished\n3 line 450.0 180.0 unmarked\n4 line 500.0 90.0 unmarked\n5 line 600.0 90.0 unmarked", 150*quarter)},
		{"a text on the finished layer names the nearest finished edge's profile", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			FINISHED: 0,0 1000,0
			FINISHED: 1000,0 1000,600
			FINISHED: text 400,-60 Half bullnose
			FINISHED: text 400,-300 too far`,
			"1 line 1000.0 90.0 finished Half bullnose\n2 line 600.0 90.0 finished\n3 line 1000.0 90.0 unmarked\n4 line 600.0 90.0 unmarked"},
		{"round top marked all around, from its side", `
			COUNTER: circle 500,500 d800
			FINISHED: circle 500,500 d800`,
			fmt.Sprintf("1 arc %.1f 180.0 finished", 800*math.Pi)},
		{"round top marked over its right half", `
			COUNTER: circle 500,500 d800
			FINISHED: 500,100^1 500,900`,
			fmt.Sprintf("1 arc %.1f 180.0 finished\n2 arc %.1f 180.0 unmarked", 400*math.Pi, 400*math.Pi)},
		{"round top marked by chords over 30 degrees", `
			COUNTER: circle 500,500 d800
			FINISHED: 900,500 897.809,541.811 891.259,583.165 880.423,623.607 865.418,662.695 846.410,700`,
			fmt.Sprintf("1 arc %.1f 180.0 unmarked\n2 arc %.1f 180.0 finished\n3 arc %.1f 180.0 unmarked", 400*math.Pi/2, 400*math.Pi/6, 400*math.Pi*(2-1.0/2-1.0/6))},
		{"a mark askew by a degree, near at one end only: (0.5 + 1 / cos 1) / tan 1", `
			COUNTER: 0,0 1000,0 1000,600 0,600 close
			FINISHED: 1000,0.5 400,-9.97`,
			"1 line 914.0 90.0 unmarked\n2 line 86.0 180.0 finished\n3 line 600.0 90.0 unmarked\n4 line 1000.0 90.0 unmarked\n5 line 600.0 90.0 unmarked"},
		{"arc edge marked by an arc of the same circle; corners 90 + 2 atan 0.2", `
			COUNTER: 0,0 1000,0^0.2 1000,600 0,600 close
			FINISHED: 1000,0^0.2 1000,600`,
			fmt.Sprintf("1 line 1000.0 90.0 unmarked\n2 arc %.1f 112.6 finished\n3 line 1000.0 112.6 unmarked\n4 line 600.0 90.0 unmarked",
				geom.Curve{A: geom.Point{X: 1000}, B: geom.Point{X: 1000, Y: 600}, Bulge: 0.2}.Length())},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := build(t, tc.drawing)
			if len(got.Pieces) != 1 {
				t.Fatalf("%d pieces: %+v", len(got.Pieces), got.Problems)
			}
			if s := edgeGist(got.Pieces[0]); s != tc.want {
				t.Errorf("got\n%s\nwant\n%s", s, tc.want)
			}
		})
	}
}

func TestLayerProfile(t *testing.T) {
	roles := Default().Roles
	for layer, want := range map[string]string{
		"POLISH-EASED": "EASED", "FINISHED EDGE": "", "Finished": "", "EDGE_FINISHED_BULLNOSE": "BULLNOSE", "POLISHED 1/4 ROUND": "ROUND", "POLISH": "", "FRONT EDGE": "",
		"FINISH-HALF BULLNOSE": "HALF BULLNOSE",
	} {
		by := roles.Read(layer)
		if by.Role != FinishedRole {
			t.Errorf("layer %q has the role %q", layer, by.Role)
		}
		if got := layerProfile(layer, by); got != want {
			t.Errorf("profile of %q is %q, want %q", layer, got, want)
		}
	}
}

func TestInsideCorners(t *testing.T) {
	b := math.Tan(math.Pi / 8)
	square := geom.Polygon(geom.Point{}, geom.Point{X: 100}, geom.Point{X: 100, Y: 100}, geom.Point{Y: 100})
	rounded := geom.Loop{ // 100 x 60 with corners of radius 10, two of them drawn in two arcs
		geom.Line(geom.Point{X: 10}, geom.Point{X: 90}), {A: geom.Point{X: 90}, B: geom.Point{X: 100, Y: 10}, Bulge: b},
		geom.Line(geom.Point{X: 100, Y: 10}, geom.Point{X: 100, Y: 50}), {A: geom.Point{X: 100, Y: 50}, B: geom.Point{X: 90, Y: 60}, Bulge: b},
		geom.Line(geom.Point{X: 90, Y: 60}, geom.Point{X: 10, Y: 60}), {A: geom.Point{X: 10, Y: 60}, B: geom.Point{X: 0, Y: 50}, Bulge: b},
		geom.Line(geom.Point{X: 0, Y: 50}, geom.Point{X: 0, Y: 10}), {A: geom.Point{X: 0, Y: 10}, B: geom.Point{X: 10}, Bulge: b},
	}
	last := rounded[7]
	halved := append(append(geom.Loop{last.Part(0.5, 1)}, rounded[:7]...), last.Part(0, 0.5))
	for _, tc := range []struct {
		name string
		loop geom.Loop
		want []float64 // radii
	}{
		{"outline of a rectangle has none", square, nil},
		{"rounded outline has none", rounded, nil},
		{"rectangular cutout is sharp", square.Reverse(), []float64{0, 0, 0, 0}},
		{"rounded cutout", rounded.Reverse(), []float64{10, 10, 10, 10}},
		{"an arc in two parts over the end of the loop is one corner", halved.Reverse(), []float64{10, 10, 10, 10}},
		{"round cutout", geom.Circle(geom.Point{X: 5, Y: 5}, 17.5).Reverse(), []float64{17.5}},
		{"round outline", geom.Circle(geom.Point{X: 5, Y: 5}, 17.5), nil},
		{"stone bulging into a cutout", geom.Loop{
			geom.Line(geom.Point{Y: 100}, geom.Point{X: 100, Y: 100}), geom.Line(geom.Point{X: 100, Y: 100}, geom.Point{X: 100}),
			{A: geom.Point{X: 100}, B: geom.Point{}, Bulge: 0.3}, geom.Line(geom.Point{}, geom.Point{Y: 100})}, []float64{0, 0, 0, 0}},
		{"half a degree off the tangent is tangent", geom.Polygon(geom.Point{}, geom.Point{X: 100}, geom.Point{X: 200, Y: -100 * math.Tan(-0.5*math.Pi/180)},
			geom.Point{X: 200, Y: 100}, geom.Point{Y: 100}), nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := InsideCorners(tc.loop)
			if len(got) != len(tc.want) {
				t.Fatalf("got %+v, want radii %v", got, tc.want)
			}
			for i, k := range got {
				near(t, "radius", k.Radius, tc.want[i])
				if d := tc.loop[k.Curve].Distance(k.At); k.Radius > 0 && len(tc.loop) > 2 && d > 1e-6 {
					near(t, "place off the loop", nearestTo(tc.loop, k.At), 0)
				}
				if k.Radius == 0 && k.At != tc.loop[k.Curve].A {
					t.Errorf("corner at %v, curve %d starts at %v", k.At, k.Curve, tc.loop[k.Curve].A)
				}
			}
		})
	}
}

func nearestTo(l geom.Loop, p geom.Point) float64 {
	least := math.Inf(1)
	for _, c := range l {
		least = math.Min(least, c.Distance(p))
	}
	return least
}

func TestMinRadius(t *testing.T) {
	got := build(t, `
		COUNTER: 0,0 1000,0 1000,600 0,600 close
		SINK: 300,200 700,200^0.41421356237309503 720,220 720,400 300,400 close
		BASIN: ellipse 150,300 100,60
		TAP HOLE: circle 500,500 d35`)
	want := map[CutoutKind]float64{Sink: 0, Hole: 17.5}
	for _, c := range got.Pieces[0].Cutouts {
		if c.ID == "A-1" { // the oval: radius of its ends, a - (a-b)/(2-sqrt 2)
			near(t, "oval", c.MinRadius(), 100-40/(2-math.Sqrt2))
			continue
		}
		near(t, c.ID, c.MinRadius(), want[c.Kind])
	}
}

// TestMinRadiusOverEdge: the front corners of an apron sink hang in the air,
// whatever their radius; those at its back are cut. A blind one along the edge is
// drawn where the outline has its notch already.
func TestMinRadiusOverEdge(t *testing.T) {
	const quarter = "^0.41421356237309503"
	for _, tc := range []struct {
		name, drawing string
		want          float64
	}{
		{"sharp in front, round behind", `
			COUNTER: 0,0 2000,0 2000,600 0,600 close
			SINK: 600,-30 1400,-30 1400,480` + quarter + ` 1380,500 620,500` + quarter + ` 600,480 close`, 20},
		{"round in front, sharp behind", `
			COUNTER: 0,0 2000,0 2000,600 0,600 close
			SINK: 620,-30 1380,-30` + quarter + ` 1400,-10 1400,500 600,500 600,-10` + quarter + ` close`, 0},
		{"smaller radius in front", `
			COUNTER: 0,0 2000,0 2000,600 0,600 close
			SINK: 605,-30 1395,-30` + quarter + ` 1400,-25 1400,480` + quarter + ` 1380,500 620,500` + quarter + ` 600,480 600,-25` + quarter + ` close`, 20},
		{"two radii behind", `
			COUNTER: 0,0 2000,0 2000,600 0,600 close
			SINK: 600,-30 1400,-30 1400,490` + quarter + ` 1390,500 620,500` + quarter + ` 600,480 close`, 10},
		{"the outline has the notch", `
			COUNTER: 0,0 600,0 600,480^-0.41421356237309503 620,500 1380,500^-0.41421356237309503 1400,480 1400,0 2000,0 2000,600 0,600 close
			SINK: 600,-30 1400,-30 1400,480` + quarter + ` 1380,500 620,500` + quarter + ` 600,480 close`, 20},
	} {
		got := build(t, tc.drawing)
		if len(got.Pieces) != 1 || len(got.Pieces[0].Cutouts) != 1 || !got.Pieces[0].Cutouts[0].OverEdge {
			t.Fatalf("%s: %+v", tc.name, got.Pieces)
		}
		near(t, tc.name, got.Pieces[0].Cutouts[0].MinRadius(), tc.want)
	}
}

// A fold is drawn as a seam with a mitre marked along it: both mates keep the
// mitre, which the saw needs. What is finished elsewhere keeps its own texts.
func TestMitreOnASeam(t *testing.T) {
	const fold = "COUNTER: 0,0 2286,0 2286,1016 0,1016 close\nCOUNTER: 2286,0 3162,0 3162,1016 2286,1016 close\nSEAM: 2286,0 2286,1016\n"
	for _, tc := range []struct{ name, drawing, left, right string }{
		{"a line of a finished layer", fold + "FINISHED MITRE: 2286,0 2286,1016", "MITRE", "MITRE"},
		{"on a part of the seam", fold + "FINISHED MITRE: 2286,0 2286,500", "MITRE+", "+MITRE"},
		{"a text beside the seam", fold + "FINISHED: text 2320,500 MITRE", "MITRE", "MITRE"},
		{"a text too far away", fold + "FINISHED: text 2420,500 MITRE", "", ""},
		{"a text beside a finished front, and the seam", fold + "FINISHED: 0,0 2286,0\nFINISHED: text 2270,-40 EASED", "", ""},
		{"a text on the seam, and beside a finished front", fold + "FINISHED: 0,0 2286,0\nFINISHED: text 2286,30 MITRE", "MITRE", "MITRE"},
		{"a plain mark", fold + "FINISHED: 2286,0 2286,1016", "", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := build(t, tc.drawing)
			if len(got.Pieces) != 2 || len(got.Seams) != 1 {
				t.Fatalf("%d pieces, %d seams", len(got.Pieces), len(got.Seams))
			}
			for i, want := range []string{tc.left, tc.right} {
				var profiles []string
				for _, e := range got.Pieces[i].Edges {
					if e.Finish == SeamEdge {
						profiles = append(profiles, e.Profile)
					}
				}
				if s := strings.Join(profiles, "+"); s != want {
					t.Errorf("piece %s: the seam's profiles %q, want %q", got.Pieces[i].ID, s, want)
				}
			}
		})
	}
}

// A finish mark along a seam and nothing else is told: nobody polishes a seam. One
// that goes on along an edge that shows marks that one.
func TestFinishMarksOnSeams(t *testing.T) {
	const apart = "COUNTER: 0,0 1500,0 1500,650 0,650 close\nCOUNTER: 1501,0 3000,0 3000,650 1501,650 close\n"
	const corner = "COUNTER: 0,0 650,0 650,1850 0,1850 close\nCOUNTER: 651.5,1200 3000,1200 3000,1850 651.5,1850 close\n"
	for _, tc := range []struct{ name, drawing, want string }{
		{"only facing each other: no seam, and polished", apart + "FINISHED: 1500,0 1500,650", ""},
		{"with a seam line", apart + "SEAM: 1500.5,0 1500.5,650\nFINISHED: 1500,0 1500,650", "650"},
		{"a front that the seam ends", corner + "FINISHED: 650,0 650,1850", ""},
		{"a short front that the seam ends", "COUNTER: 0,0 650,0 650,1850 0,1850 close\nCOUNTER: 651.5,100 3000,100 3000,1850 651.5,1850 close\nFINISHED: 650,0 650,1850", ""},
		{"fronts on both sides", apart + "FINISHED: 0,0 3000,0", ""},
		{"at a wall", apart + "WALL: 0,650 3000,650\nFINISHED: 0,650 3000,650", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var found []string
			for _, p := range build(t, tc.drawing).Problems {
				if p.Kind == FinishOnSeam {
					found = append(found, fmt.Sprintf("%.0f", p.Measured))
				}
			}
			if got := strings.Join(found, "; "); got != tc.want {
				t.Errorf("%q, want %q", got, tc.want)
			}
		})
	}
}
