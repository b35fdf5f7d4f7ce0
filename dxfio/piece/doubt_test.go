package piece

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"trueup/dxfio/trace"
)

// Names and drawings in which a built-in word took stone away. Shapes by hand, common
// practice, no source.
func TestDoubtfulLayers(t *testing.T) {
	const top = "COUNTER: 0,0 2400,0 2400,640 0,640 close\nCABINETS: 0,40 2400,40 2400,640 0,640 close\n"
	for _, tc := range []struct {
		name, drawing string
		want          string // layer, roles, why; "" for no doubt
	}{
		{"a window ledge", top + "WINDOW LEDGE: 0,1000 1200,1000 1200,1200 0,1200 close", "WINDOW LEDGE [outline support] " + DoubtName},
		{"an existing counter", top + "EXISTING COUNTER: 0,1000 1200,1000 1200,1600 0,1600 close", "EXISTING COUNTER [outline ignore] " + DoubtName},
		{"a panel apart from the tops", top + "END PANEL: 3000,0 3640,0 3640,900 3000,900 close", "END PANEL [outline support] " + DoubtApart},
		{"a panel under the top", top + "END PANEL: 0,0 100,0 100,640 0,640 close", ""},
		{"a tall cabinet beside the top", top + "BASE CABINETS: 2420,40 3020,40 3020,640 2420,640 close", ""},
		{"a leg away from the top", top + "LEGS: 3000,0 3080,0 3080,80 3000,80 close", ""},
		{"a panel in the crook of an L", "COUNTER: 0,0 2400,0 2400,640 640,640 640,2400 0,2400 close\nPANEL: 1200,1200 1900,1200 1900,2100 1200,2100 close", "PANEL [outline support] " + DoubtApart},
		{"a panel of loose lines", top + "PANEL: 3000,0 3640,0 3640,900 3000,900 3000,0 loose", "PANEL [outline support] " + DoubtApart},
		{"an upper layer round a sink", top + "UPPER: 3000,0 4200,0 4200,600 3000,600 close\nSINK: 3300,100 3900,100 3900,500 3300,500 close", "UPPER [outline ignore] " + DoubtHolds},
		{"a wall unit over the sink's top", top + "WALL UNITS: 0,300 2400,300 2400,640 0,640 close\nSINK: 300,100 900,100 900,500 300,500 close", ""},
		{"a cutout larger than every top", top + "SINK: 3000,0 6000,0 6000,650 3000,650 close", "SINK [outline cutout] " + DoubtLargest},
		{"a sink beside the tops", top + "SINK: 3000,0 3600,0 3600,450 3000,450 close", ""},
		{"plain names", top + "SINK: 300,100 900,100 900,500 300,500 close\nFINISHED: 0,0 2400,0\nWALL: 0,640 2400,640\nNOTES: 5000,0 6000,0 6000,500 5000,500 close", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			found := func(angle float64) string {
				d := parse(t, tc.drawing)
				for i := range d.Curves {
					d.Curves[i].Curve = d.Curves[i].Rotate(angle)
				}
				tpl, err := Build(t.Context(), d, Default(), trace.Default())
				if err != nil {
					t.Fatal(err)
				}
				for _, p := range tpl.Problems {
					if p.Kind == LayerDoubtful {
						return fmt.Sprint(p.Layer, " ", p.Roles, " ", p.Why)
					}
				}
				return ""
			}
			for _, angle := range []float64{0, 0.4, math.Pi / 2, 2.9} {
				if got := found(angle); got != tc.want {
					t.Errorf("turned by %v: %q, want %q", angle, got, tc.want)
				}
			}
		})
	}
}

// The shop's own pattern is law, whatever the drawing holds.
func TestOwnPatternsAreNotDoubted(t *testing.T) {
	d := parse(t, "COUNTER: 0,0 2400,0 2400,640 0,640 close\nWINDOW LEDGE: 0,1000 1200,1000 1200,1200 0,1200 close\nEND PANEL: 3000,0 3640,0 3640,900 3000,900 close")
	s := Default()
	s.Roles.Outline = []string{"window ledge"}
	s.Roles.Support = []string{"*panel*"}
	tpl, err := Build(t.Context(), d, s, trace.Default())
	if err != nil {
		t.Fatal(err)
	}
	if len(tpl.Pieces) != 2 || slices.ContainsFunc(tpl.Problems, func(p Problem) bool { return p.Kind == LayerDoubtful }) {
		t.Errorf("%d pieces, problems %+v", len(tpl.Pieces), tpl.Problems)
	}
}

// What `init` wrote in earlier settings and nobody changed is not the shop's word; what
// was added in front of it is.
func TestEarlierSettings(t *testing.T) {
	roles := earlierPatterns()
	roles.Words = true
	roles.Outline = append([]string{"konturlinie"}, roles.Outline...)
	for layer, want := range map[string]Reading{
		"KONTURLINIE":  {Role: OutlineRole, Own: true},
		"UPPER TOP":    {Role: OutlineRole},
		"END PANEL":    {Role: SupportRole},
		"NOT FINISHED": {Role: IgnoreRole},
		"COOK TOP":     {Role: CutoutRole},
	} {
		if got := roles.Read(layer); got.Role != want.Role || got.Own != want.Own {
			t.Errorf("%s: %+v, want %+v", layer, got, want)
		}
	}
	own := Roles{Words: true, Support: []string{"*panel*"}}
	if got := own.Read("WATERFALL PANEL"); got.Role != SupportRole || !got.Own {
		t.Errorf("the shop's own *panel* gives %+v", got)
	}
	if got := (Roles{Cutout: []string{"loch*"}}).Read("COUNTER"); got.Role != NoRole {
		t.Errorf("without built-in words COUNTER is %q", got.Role)
	}
}
