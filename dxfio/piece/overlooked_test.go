package piece

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// What nobody looks at: in stone or as large as a piece it is told, small and outside it
// is not. Shapes by hand, common practice, no source.
func TestOverlookedLayers(t *testing.T) {
	const top = "COUNTER: 0,0 2400,0 2400,640 0,640 close\nSINK: 900,100 1500,100 1500,500 900,500 close\n"
	for _, tc := range []struct {
		name, drawing string
		hidden        string // the layer that is switched off
		want          string // layer closed/large/points, and open if any
	}{
		{"a sink on a notes layer", top + "NOTES: 200,100 700,100 700,500 200,500 close", "", "NOTES 1/0/0"},
		{"a sink of lines with gaps", top + "LAYER 7: 205,100 700,100 loose\nLAYER 7: 700,110 700,500 loose\nLAYER 7: 690,500 200,500 loose\nLAYER 7: 200,492 200,105 loose", "", "LAYER 7 1/0/0"},
		{"a sink of lines that run past their corners", top + "LAYER 7: 190,100 712,100 loose\nLAYER 7: 700,90 700,510 loose\nLAYER 7: 710,500 190,500 loose\nLAYER 7: 200,512 200,88 loose", "", "LAYER 7 1/0/0"},
		{"a tap hole as a circle of notes", top + "NOTES: circle 300,560 d35", "", "NOTES 1/0/0"},
		{"a tap hole as a point", top + "LAYER 7: point 300,560", "", "LAYER 7 0/0/1"},
		{"points measured along an edge", top + "LAYER 7: point 300,4\nLAYER 7: point 900,636", "", ""},
		{"points of dimensions", top + "DEFPOINTS: point 300,300", "", ""},
		{"a balloon of a note", top + "NOTES: circle 300,300 d70\nNOTES: text 290,290 3", "", ""},
		{"a counter on an unknown layer", top + "LAYER 7: 0,1000 1200,1000 1200,1600 0,1600 close", "", "LAYER 7 0/1/0"},
		{"a sink with a side that misses its corner by 60 mm", top + "LAYER 7: 260,100 700,100 700,500 200,500 200,100 loose", "", "LAYER 7 1/0/0"},
		{"a counter on an unknown layer, open by 90 mm", top + "LAYER 7: 0,1000 1200,1000 1200,1600 0,1600 0,1090", "", "LAYER 7 0/1/0"},
		{"a counter on an unknown layer with a gap", top + "LAYER 7: 0,1000 1200,1000 1200,1600 0,1600 0,1010", "", "LAYER 7 0/1/0"},
		{"a counter on an upper layer", top + "UPPER: 0,1000 1200,1000 1200,1600 0,1600 close", "", "UPPER 0/1/0"},
		{"a small thing beside the stone", top + "LAYER 7: 0,1000 100,1000 100,1100 0,1100 close", "", ""},
		{"a sheet's border", top + "BORDER: -500,-500 3000,-500 3000,1500 -500,1500 close\nBORDER: 2000,-400 2900,-400 2900,-200 2000,-200 close", "", ""},
		{"wall units along the wall", top + "WALL UNITS: 0,300 1200,300 1200,640 0,640 close", "", ""},
		{"a sink on the layer of wall units", top + "WALL UNITS: 200,100 700,100 700,500 200,500 close", "", "WALL UNITS 1/0/0"},
		{"a hood over a cooktop", top + "HOOD: 850,50 1550,50 1550,550 850,550 close", "", ""},
		{"dimensions in the stone", top + "DIM: 0,300 2400,300\nDIM: 0,0 0,320\nDIM: 2400,0 2400,320", "", ""},
		{"what is meant to be ignored", top + "IGNORE: 200,100 700,100 700,500 200,500 close", "", ""},
		{"a sink switched off", top + "BASIN: 200,100 700,100 700,500 200,500 close", "BASIN", "BASIN 1/0/0"},
		{"a counter switched off", top + "ISLAND: 0,1000 1200,1000 1200,1600 0,1600 close", "ISLAND", "ISLAND 0/1/0"},
		{"a tap hole switched off", top + "TAP: point 300,560", "TAP", "TAP 0/0/1"},
		{"notes switched off", top + "NOTES: 0,300 2400,300\nNOTES: text 300,300 look", "NOTES", ""},
		{"a seam on an unknown layer", top + "LAYER 7: 1800,0 1800,640", "", "LAYER 7 0/0/0, 1 open"},
		{"the end of the top, pointed on an unknown layer", top + "LAYER 7: 2400,500 2250,320 2400,140", "", "LAYER 7 0/0/0, 2 open"},
		{"a seam switched off", top + "SEAM: 1800,0 1800,640", "SEAM", "SEAM 0/0/0, 1 open"},
		{"a dimension line with its ticks beside the stone", top + "LAYER 7: 0,-200 2400,-200\nLAYER 7: 0,-190 0,-210", "", ""},
		{"extension lines that begin at the edge", top + "LAYER 7: 0,-10 0,-200\nLAYER 7: 2400,8 2400,-200", "", ""},
		{"a sink switched off, and a line", top + "BASIN: 200,100 700,100 700,500 200,500 close\nBASIN: 1700,100 1900,100", "BASIN", "BASIN 1/0/0, 1 open"},
		{"the bowl inside a sink", top + "LAYER 7: 950,150 1450,150 1450,450 950,450 close", "", ""},
		{"the outline once more", top + "LAYER 7: 0,0 2400,0 2400,640 0,640 close", "", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, angle := range []float64{0, 0.37, math.Pi / 2} {
				got := ""
				for _, p := range overlookedOf(t, tc.drawing, tc.hidden, angle, Default()) {
					got = fmt.Sprintf("%s %d/%d/%d", p.Layer, p.Closed, p.Large, p.Points)
					if p.Open > 0 {
						got += fmt.Sprintf(", %d open", p.Open)
					}
				}
				if got != tc.want {
					t.Errorf("turned by %v: %q, want %q", angle, got, tc.want)
				}
			}
		})
	}
}

// overlookedOf returns the stops about what nobody looks at, the drawing turned about its
// origin and its curves shuffled.
func overlookedOf(t *testing.T, text, hidden string, angle float64, s Settings) []Problem {
	t.Helper()
	d := parse(t, text)
	turn := func(p geom.Point) geom.Point {
		s, c := math.Sincos(angle)
		return geom.Point{X: p.X*c - p.Y*s, Y: p.X*s + p.Y*c}
	}
	curves, marks := d.Curves, d.Marks
	d.Curves, d.Marks = nil, nil
	for _, c := range curves {
		c.Curve = c.Rotate(angle)
		if d.Layers[c.Layer].Name == hidden {
			d.Hidden.Curves = append(d.Hidden.Curves, dxfio.HiddenCurve{Curve: c, Why: dxfio.WhyOff})
		} else {
			d.Curves = append(d.Curves, c)
		}
	}
	for _, m := range marks {
		m.At = turn(m.At)
		if d.Layers[m.Layer].Name == hidden {
			d.Hidden.Marks = append(d.Hidden.Marks, dxfio.HiddenMark{Mark: m, Why: dxfio.WhyOff})
		} else {
			d.Marks = append(d.Marks, m)
		}
	}
	for i := range d.Texts {
		d.Texts[i].At, d.Texts[i].Height = turn(d.Texts[i].At), 25
	}
	r := rand.New(rand.NewPCG(1, 2))
	r.Shuffle(len(d.Curves), func(i, j int) { d.Curves[i], d.Curves[j] = d.Curves[j], d.Curves[i] })
	tpl, err := Build(t.Context(), d, s, trace.Default())
	if err != nil {
		t.Fatal(err)
	}
	var out []Problem
	for _, p := range tpl.Problems {
		if p.Kind == UnmappedLayer && p.Closed+p.Large+p.Points+p.Open > 0 {
			out = append(out, p)
		}
	}
	return out
}

// A layer that the settings name is looked at when it shows; what hides on it is missing
// all the same, unless the settings ignore it.
func TestHiddenLayerWithTheShopsOwnRole(t *testing.T) {
	const drawing = "COUNTER: 0,0 2400,0 2400,640 0,640 close\nBASIN: 200,100 700,100 700,500 200,500 close"
	s := Default()
	s.Roles.Cutout = []string{"basin"}
	if got := overlookedOf(t, drawing, "BASIN", 0, s); len(got) != 1 || got[0].Closed != 1 {
		t.Errorf("a sink switched off, of a pattern of the shop's own: %v", got)
	}
	s = Default()
	s.Roles.Ignore = []string{"basin"}
	if got := overlookedOf(t, drawing, "BASIN", 0, s); len(got) > 0 {
		t.Errorf("what the settings ignore: %v", got)
	}
}
