package piece

import (
	"fmt"
	"strings"
	"testing"
)

// seamGist is what a shop reads of a seam.
func seamGist(t *Template) string {
	var s []string
	for _, m := range t.Seams {
		line := fmt.Sprintf("%s %s %s-%s length %.1f gap %.2f..%.2f", m.ID, m.Kind, m.Pieces[0], m.Pieces[1], m.Length, m.MinGap, m.MaxGap)
		for _, p := range m.Steps {
			line += fmt.Sprintf("; %s at %.1f depth %.1f", p.Piece, p.At, p.Depth)
		}
		s = append(s, line)
	}
	return strings.Join(s, "\n")
}

func TestSeams(t *testing.T) {
	for _, tc := range []struct {
		name, drawing, want, problems string
	}{
		{"a line across one outline", `
			COUNTER: 0,0 3000,0 3000,640 0,640 close
			SEAM: 1800,0 1800,640`,
			"S1 straight A-B length 640.0 gap 0.00..0.00", ""},
		{"a line across, a little short and a little long", `
			COUNTER: 0,0 3000,0 3000,640 0,640 close
			SEAM: 1800,1 1800,642`,
			"S1 straight A-B length 640.0 gap 0.00..0.00", ""},
		{"one edge drawn once for both, a seam curve on it, fronts apart", `
			COUNTER: 0,0 1800,0 1800,640 0,640 0,0 loose
			COUNTER: 1800,0 3000,0 3000,601.9 1800,601.9 loose
			SEAM: 1800,0 1800,601.9
			FINISHED: 0,640 1800,640
			FINISHED: 1800,601.9 3000,601.9`,
			"S1 straight A-B length 601.9 gap 0.00..0.00", ""},
		{"closed outlines that share an edge, a seam curve on it", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 1800,0 3000,0 3000,640 1800,640 close
			SEAM: 1800,640 1800,0`,
			"S1 straight A-B length 640.0 gap 0.00..0.00", ""},
		{"a hole beside the middle of an edge of a divided top", `
			COUNTER: 0,0 3000,0 3000,640 0,640 close
			TAP HOLE: circle 50,20 d35
			SEAM: 70,0 2900,640`,
			"S1 mitre A-B length 2901.5 gap 0.00..0.00", ""},
		{"a seam drawn as two lines", `
			COUNTER: 0,0 3000,0 3000,640 0,640 close
			SEAM: 1800,0 1800,640
			SEAM: 1802,0 1802,640`,
			"S1 straight A-B length 640.0 gap 2.00..2.00", ""},
		{"closed outlines that abut without a seam curve", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 1802,0 3000,0 3000,640 1801,640 close`,
			"S1 straight A-B length 640.0 gap 1.00..2.00", ""},
		{"an edge that crosses its mate by 0.2 mm at one end", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 1799.8,0 3000,0 3000,640 1802,640 close`,
			"S1 straight A-B length 640.0 gap -0.20..2.00", ""},
		// Sagitta of a bulge b over a chord c: |b| c / 2.
		{"an edge that is hollow by 1 mm against a straight one", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 1802,0 3000,0 3000,640 1802,640^-0.003125 close`,
			"S1 straight A-B length 640.0 gap 2.00..3.00", ""},
		{"an edge that is full by 1 mm against a straight one", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 1802,0 3000,0 3000,640 1802,640^0.003125 close`,
			"S1 straight A-B length 640.0 gap 1.00..2.00", ""},
		{"an edge that is full by 2 mm against one that is full by 1 mm", `
			COUNTER: 0,0 1800,0^0.00625 1800,640 0,640 close
			COUNTER: 1804,0 3000,0 3000,640 1804,640^0.003125 close`,
			"S1 straight A-B length 640.0 gap 1.00..4.00", ""},
		{"a counter and a raised bar behind it, finished where they meet in plan", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 0,640 1800,640 1800,1000 0,1000 close
			FINISHED: 0,640 1800,640`,
			"", ""},
		{"closed outlines that face each other over 40 mm only", `
			COUNTER: 0,0 1800,0 1800,40 0,40 close
			COUNTER: 1802,0 3000,0 3000,640 1802,640 close`,
			"", ""},
		{"laid out apart, no seam", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 1820,0 3000,0 3000,640 1820,640 close`,
			"", ""},
		{"an L with a mitre", `
			COUNTER: 0,0 3000,0 3000,640 640,640 640,2400 0,2400 close
			SEAM: 0,0 640,640
			FINISHED: 640,640 3000,640
			FINISHED: 640,640 640,2400`,
			"S1 mitre A-B length 905.1 gap 0.00..0.00", ""},
		{"an L with a butt seam", `
			COUNTER: 0,0 3000,0 3000,640 640,640 640,2400 0,2400 close
			SEAM: 640,0 640,640
			FINISHED: 640,640 3000,640
			FINISHED: 640,640 640,2400`,
			"S1 straight A-B length 640.0 gap 0.00..0.00", ""},
		{"an L with a radius inside, a mitre to the corner as if it were sharp", `
			COUNTER: 0,0 3000,0 3000,640 660,640^-0.41421356237309503 640,660 640,2400 0,2400 close
			SEAM: 0,0 640,640
			FINISHED: 660,640 3000,640
			FINISHED: 640,660 640,2400`, // 640 sqrt 2, and (sqrt 2 - 1) 20 on to the arc
			"S1 mitre A-B length 913.4 gap 0.00..0.00", ""},
		{"an L with a radius inside, a butt seam to the corner as if it were sharp", `
			COUNTER: 0,0 3000,0 3000,640 660,640^-0.41421356237309503 640,660 640,2400 0,2400 close
			SEAM: 640,0 640,640
			FINISHED: 660,640 3000,640
			FINISHED: 640,660 640,2400`,
			"S1 straight A-B length 660.0 gap 0.00..0.00", ""},
		{"a step in the seam", `
			COUNTER: 0,0 3000,0 3000,640 0,640 close
			SEAM: 1800,0 1800,400 1838.1,400 1838.1,640`,
			"S1 stepped A-B length 678.1 gap 0.00..0.00; A at 400.0 depth 38.1; B at 240.0 depth 38.1", ""},
		{"a step with rounded corners", `
			COUNTER: 0,0 3000,0 3000,640 0,640 close
			SEAM: 1800,0 1800,390^-0.41421356237309503 1810,400 1828.1,400^0.41421356237309503 1838.1,410 1838.1,640`,
			"S1 stepped A-B length 669.5 gap 0.00..0.00; A at 400.0 depth 38.1; B at 240.0 depth 38.1", ""}, // 390 + 18.1 + 230 + 10 pi
		{"two steps, back to the line", `
			COUNTER: 0,0 3000,0 3000,640 0,640 close
			SEAM: 1800,0 1800,200 1780,200 1780,500 1800,500 1800,640`,
			"S1 stepped A-B length 680.0 gap 0.00..0.00; A at 200.0 depth -20.0; A at 500.0 depth 0.0; B at 140.0 depth 20.0; B at 440.0 depth 0.0", ""},
		{"a stepped seam with a gap, steps that differ", `
			COUNTER: 0,0 1800,0 1800,400 1838,400 1838,640 0,640 close
			COUNTER: 1802,0 3000,0 3000,640 1841,640 1841,397 1802,397 close`,
			"S1 stepped A-B length 678.0 gap 2.00..3.00; A at 400.0 depth 38.0; B at 243.0 depth 39.0", ""},
		{"a seam through the sink", `
			COUNTER: 0,0 3000,0 3000,640 0,640 close
			SINK: 1400,120 2200,120 2200,520 1400,520 close
			SEAM: 1800,0 1800,640`,
			"S1 straight A-B length 120.0 gap 0.00..0.00\nS2 straight A-B length 120.0 gap 0.00..0.00", ""},
		{"a seam in front of and behind the sink", `
			COUNTER: 0,0 3000,0 3000,640 0,640 close
			SINK: 1400,120 2200,120 2200,520 1400,520 close
			SEAM: 1800,0 1800,120
			SEAM: 1800,520 1800,640`,
			"S1 straight A-B length 120.0 gap 0.00..0.00\nS2 straight A-B length 120.0 gap 0.00..0.00", ""},
		{"drawn apart, one fits", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 2000,1000 3000,1000 3000,1640 2000,1640 close
			SEAM: 1800,0 1800,640
			SEAM: 2000,1000 2000,1640`,
			"S1 straight A-B length 640.0 gap 0.00..0.00", ""},
		{"drawn apart and turned, stepped", `
			COUNTER: 0,0 1800,0 1800,400 1838.1,400 1838.1,640 0,640 close
			COUNTER: 3000,1000 3000,2000 2360,2000 2360,1038.1 2600,1038.1 2600,1000 close
			SEAM: 1800,0 1800,400 1838.1,400 1838.1,640
			SEAM: 3000,1000 2600,1000 2600,1038.1 2360,1038.1`,
			"S1 stepped A-B length 678.1 gap 0.00..0.00; A at 400.0 depth 38.1; B at 240.0 depth 38.1", ""},
		{"drawn apart, the mate hollow by a millimetre (bulge = 2 x sagitta / chord)", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 2000,1000 3000,1000 3000,1640 2000,1640^-0.003125 close
			SEAM: 1800,0 1800,640
			SEAM: 2000,1640^-0.003125 2000,1000`,
			"S1 straight A-B length 640.0 gap 0.00..1.00", ""},
		{"drawn apart, the mate proud by a millimetre", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 2000,1000 3000,1000 3000,1640 2000,1640^0.003125 close
			SEAM: 1800,0 1800,640
			SEAM: 2000,1640^0.003125 2000,1000`,
			"S1 straight A-B length 640.0 gap 0.00..1.00", ""},
		{"drawn apart, two fit", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 2000,1000 3000,1000 3000,1640 2000,1640 close
			COUNTER: 4000,1000 5000,1000 5000,1640 4000,1640 close
			SEAM: 1800,0 1800,640
			SEAM: 2000,1000 2000,1640
			SEAM: 4000,1000 4000,1640`,
			"", "seam-ambiguous@ seam-ambiguous@ seam-ambiguous@"},
		{"drawn apart, two fit, labels tell", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 2000,1000 3000,1000 3000,1640 2000,1640 close
			COUNTER: 4000,1000 5000,1000 5000,1640 4000,1640 close
			SEAM: 1800,0 1800,640
			SEAM: 2000,1000 2000,1640
			SEAM: 4000,1000 4000,1640
			SEAM: 3000,1000 3000,1640
			SEAM: text 1790,300 s1
			SEAM: text 2010,1300 S1
			SEAM: text 2980,1300 S2
			SEAM: text 4010,1300 S2`,
			"S1 straight A-B length 640.0 gap 0.00..0.00\nS2 straight B-C length 640.0 gap 0.00..0.00", ""},
		{"drawn apart, labelled, of different lengths", `
			COUNTER: 0,0 1800,0 1800,640 0,640 close
			COUNTER: 2000,1000 3000,1000 3000,1610 2000,1610 close
			SEAM: 1800,0 1800,640
			SEAM: 2000,1000 2000,1610
			SEAM: text 1790,300 A1
			SEAM: text 2010,1300 A1`,
			"S1 straight A-B length 640.0 gap 0.00..0.00", ""},
		{"a seam line that stops inside the piece", `
			COUNTER: 0,0 3000,0 3000,640 0,640 close
			SEAM: 1800,0 1800,600`,
			"", "stray-seam@SEAM"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := build(t, tc.drawing)
			if s := seamGist(got); s != tc.want {
				t.Errorf("got\n%s\nwant\n%s", s, tc.want)
			}
			if s := summary(got); s != tc.problems {
				t.Errorf("problems %q, want %q: %+v", s, tc.problems, got.Problems)
			}
		})
	}
}

// A half round beside the seam is no part of it, though both its ends lie on it.
func TestHalfHoleIsNoSeam(t *testing.T) {
	got := build(t, `
		COUNTER: 0,0 1000,0 1000,600 0,600 close
		TAP HOLE: circle 500,100 d36
		SEAM: 500,0 500,600`)
	for _, p := range got.Pieces {
		for _, e := range p.Edges {
			if (e.Finish == SeamEdge) != (e.Kind == LineEdge && e.From().X == 500 && e.To().X == 500) {
				t.Errorf("piece %s: edge %+v", p.ID, e)
			}
		}
	}
	if want := "straight A-B length 82.0 gap 0.00..0.00"; !strings.Contains(seamGist(got), want) {
		t.Errorf("got %s, want %s among them", seamGist(got), want)
	}
}

// What makes a seam a mitre is how it meets the finished front, by the doc of
// setKinds; where a corner is rounded the front runs on behind the rounding. A
// rounding between tangents of 10 mm and a turn of 81.119 degrees, atan(320/50),
// has the bulge tan(81.119/4) = 0.369495.
func TestSeamKindFollowsTheFront(t *testing.T) {
	const (
		bent     = "COUNTER: 0,0 3000,0 3000,640 0,640 close\nSEAM: 1800,0 1800,320 1900,640\n"
		rounded  = "COUNTER: 0,0 1690,0^0.369495 1701.5438,9.8801 1750,320 1750,640 0,640 close\nCOUNTER: 1700,0 3000,0 3000,640 1750,640 1750,320 close\n"
		mirrored = "COUNTER: 3000,0 3000,640 1250,640 1250,320 1298.4562,9.8801^0.369495 1310,0 close\nCOUNTER: 1300,0 1250,320 1250,640 0,640 0,0 close\n"
	)
	for _, tc := range []struct {
		name, drawing string
		want          SeamKind
	}{
		{"oblique to the finished front", "COUNTER: 0,0 3000,0 3000,640 0,640 close\nSEAM: 1800,0 1900,640\nFINISHED: 0,0 3000,0", MitreSeam},
		{"square to the finished front, oblique at the back", bent + "FINISHED: 0,0 3000,0", StraightSeam},
		{"oblique to the finished back", bent + "FINISHED: 0,640 3000,640", MitreSeam},
		{"oblique at one end, nothing finished", bent, StraightSeam},
		{"oblique to a front that is finished on one side of the seam only", "COUNTER: 0,0 3000,0 3000,640 0,640 close\nSEAM: 1800,0 1850,320 1850,640\nFINISHED: 0,0 1800,0", MitreSeam},
		{"oblique to a front behind a rounding", rounded + "FINISHED: 0,0 1690,0", MitreSeam},
		{"the same from the other side", mirrored + "FINISHED: 1310,0 3000,0", MitreSeam},
		{"a rounding, nothing finished, square at the back", rounded, StraightSeam},
		{"the same from the other side, nothing finished", mirrored, StraightSeam},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := build(t, tc.drawing)
			if len(got.Seams) != 1 || got.Seams[0].Kind != tc.want {
				t.Errorf("%s, want %s; problems %+v", seamGist(got), tc.want, got.Problems)
			}
		})
	}
}
