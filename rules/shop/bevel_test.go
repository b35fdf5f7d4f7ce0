package shop

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// Only the marked stretch of a straight is sawn with a tilted blade: in length,
// blade set-ups and minutes. Feeds and set-ups are the defaults, common practice,
// no source: 2000 mm/min in granite, half of it tilted, 0.3 min a cut.
func TestBevelOverPartOfAnEdge(t *testing.T) {
	type cut struct {
		from, to float64 // x of its ends
		tilted   bool
	}
	const top = "COUNTER: 0,0 2400,0 2400,650 0,650 close\n"
	for _, tc := range []struct {
		name, text string
		want       []cut // along the front
		note       string
	}{
		{"in the middle", top + "FINISHED BEVEL: 700,0 1700,0", []cut{{0, 700, false}, {700, 1700, true}, {1700, 2400, false}}, "finished by hand"},
		{"from the left corner", top + "FINISHED BEVEL: 0,0 900,0", []cut{{0, 900, true}, {900, 2400, false}}, "finished by hand"},
		{"to the right corner, the rest polished", top + "FINISHED BEVEL: 900,0 2400,0\nFINISHED: 0,0 900,0", []cut{{0, 900, false}, {900, 2400, true}}, "finished by hand"},
		{"two bevels side by side", top + "FINISHED BEVEL 30: 0,0 1200,0\nFINISHED MITRE: 1200,0 2400,0", []cut{{0, 1200, true}, {1200, 2400, true}}, "finished by hand"},
		{"the whole edge", top + "FINISHED BEVEL: 0,0 2400,0", []cut{{0, 2400, true}}, ""},
		{"finish changes, bevel does not", top + "FINISHED: 0,0 1200,0", []cut{{0, 2400, false}}, ""},
		// Half the chord of the default 400 mm blade at 32 mm is 108.5173
		// (trade-figures, section 12): plunging needs 2 x 108.5 + 10 = 227 mm.
		{"too short to plunge in", top + "FINISHED BEVEL: 1000,0 1200,0", []cut{{0, 2400, false}}, "needs 227 mm between its ends and has 200"},
		{"room to plunge", top + "FINISHED BEVEL: 1000,0 1230,0", []cut{{0, 1000, false}, {1000, 1230, true}, {1230, 2400, false}}, "finished by hand"},
		// c(32) - c(2) = 108.5173 - sqrt(2 x 398) = 80.30 mm short at the bottom.
		{"too short from a corner", top + "FINISHED BEVEL: 0,0 79,0", []cut{{0, 2400, false}}, "stops 80 mm short"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, s := onePiece(t, tc.text)
			var got []cut
			length, minutes := 0.0, 0.0
			for _, c := range s.Cuts {
				if c.From.Y == 0 && c.To.Y == 0 {
					got = append(got, cut{math.Round(c.From.X*1e6) / 1e6, math.Round(c.To.X*1e6) / 1e6, c.Bevel})
					length += c.Length
					minutes += c.Minutes
				}
			}
			if !slices.Equal(got, tc.want) {
				t.Fatalf("cuts along the front %v, want %v", got, tc.want)
			}
			want := 0.0
			for _, c := range tc.want {
				feed := 2000.0
				if c.tilted {
					feed = 1000
				}
				want += (c.to-c.from)/feed + 0.3
			}
			near(t, "length along the front", length, 2400, 1e-9)
			near(t, "minutes along the front", minutes, want, 1e-9)
			near(t, "saw", s.SawLength, 6100, 1e-9)
			if notes := strings.Join(s.Notes, "\n"); tc.note != "" && !strings.Contains(notes, tc.note) || tc.note == "" && strings.Contains(notes, "by hand") {
				t.Errorf("notes %q, want %q", s.Notes, tc.note)
			}
		})
	}
}

// Each cut names the edges that it makes, a bevel in the middle none but its own.
func TestBevelCutsNameTheirEdges(t *testing.T) {
	p, s := onePiece(t, "COUNTER: 0,0 2400,0 2400,650 0,650 close\nFINISHED BEVEL: 700,0 1700,0")
	for _, c := range s.Cuts[:3] {
		if len(c.Edges) != 1 || p.Edges[c.Edges[0]-1].From() != c.From || p.Edges[c.Edges[0]-1].To() != c.To {
			t.Errorf("cut %v to %v makes edges %v", c.From, c.To, c.Edges)
		}
	}
}

// A bevel that ends at an inside corner keeps the stop there.
func TestBevelAtAnInsideCorner(t *testing.T) {
	_, s := onePiece(t, "COUNTER: 0,0 2400,0 2400,1850 1750,1850 1750,650 0,650 close\nFINISHED BEVEL: 1750,650 1200,650")
	var tilted []SawCut
	for _, c := range s.Cuts {
		if c.Bevel {
			tilted = append(tilted, c)
		}
	}
	if len(tilted) != 1 {
		t.Fatalf("tilted cuts %+v", tilted)
	}
	near(t, "stop at the inside corner", tilted[0].Start.Short, short3cm, 1e-6)
	near(t, "end of the bevel", tilted[0].To.X, 1200, 1e-6)
	near(t, "length", tilted[0].Length, 550-short3cm, 1e-6)
	if tilted[0].End.Short != 0 {
		t.Errorf("stop at the end of the bevel: %+v", tilted[0].End)
	}
}

// Of a straight that is bevelled in part each cut ends as the straight does where
// it ends with it: here the upright one at an inside corner, 80.3 mm short.
func TestBevelBeforeAnInsideCorner(t *testing.T) {
	_, s := onePiece(t, "COUNTER: 0,0 2400,0 2400,650 650,650 650,1850 0,1850 close\nFINISHED BEVEL: 2400,650 1600,650")
	var got []SawCut
	for _, c := range s.Cuts {
		if c.From.Y == 650 && c.To.Y == 650 {
			got = append(got, c)
		}
	}
	if len(got) != 2 || !got[0].Bevel || got[1].Bevel {
		t.Fatalf("cuts %+v, want a tilted and an upright one", got)
	}
	near(t, "the tilted one ends", got[0].To.X, 1600, 1e-6)
	if got[0].Start.Short != 0 || got[0].End.Short != 0 || got[1].Start.Short != 0 || got[1].End.Why != "inside corner" {
		t.Errorf("stops %+v %+v, %+v %+v", got[0].Start, got[0].End, got[1].Start, got[1].End)
	}
	near(t, "the upright one stops short", got[1].End.Short, 80.3038, 1e-3)
	near(t, "and ends", got[1].To.X, 650+80.3038, 1e-3)
}

// A mitre marked along a seam is sawn with a tilted blade on both mates, and
// polished on neither.
func TestMitreAlongASeam(t *testing.T) {
	tpl := template(t, "COUNTER: 0,0 2286,0 2286,1016 0,1016 close\nCOUNTER: 2286,0 3162,0 3162,1016 2286,1016 close\nSEAM: 2286,0 2286,1016\nFINISHED MITRE: 2286,0 2286,1016\nFINISHED: 0,0 3162,0")
	set := Default()
	for i := range tpl.Pieces {
		s := SetUp(&tpl.Pieces[i], tpl, &set)
		tilted := 0.0
		for _, c := range s.Cuts {
			if c.Bevel {
				tilted += c.Length
			}
		}
		near(t, "sawn tilted", tilted, 1016, 1e-9)
		if len(s.Polish) != 1 || s.Polish[0].Profile != "" {
			t.Errorf("piece %d: passes %+v, want the front alone", i, s.Polish)
		}
		if len(s.Bevels) != 1 || !strings.Contains(strings.Join(s.Notes, "\n"), fmt.Sprintf("edge %d is marked", s.Bevels[0].Edge)) {
			t.Errorf("piece %d: bevels %+v, notes %q", i, s.Bevels, s.Notes)
		}
	}
}
