package rules

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/shop"
	"trueup/rules/support"
)

// seamedTops are two granite tops that meet at x = 1200, A on the left, with
// cabinets under them; the mates are drawn apart by the joint.
func seamedTops(joint float64, cabinets ...geom.Loop) *piece.Template {
	a, b := 1200-joint/2, 1200+joint/2
	t := carriedTop(box(0, 0, a, 638), cabinets...)
	t.Pieces = append(t.Pieces, piece.Piece{ID: "B", Kind: piece.Counter, Outline: box(b, 0, 2400, 638), Material: "granite", Thickness: 30})
	w := geom.Witness{From: xy(a, 319), To: xy(b, 319)}
	second := []geom.Curve{geom.Line(xy(b, 638), xy(b, 0))}
	t.Seams = []piece.Seam{{
		ID: "S1", Kind: piece.StraightSeam, Pieces: [2]string{"A", "B"},
		Chains: [2][]geom.Curve{{geom.Line(xy(a, 0), xy(a, 638))}, second}, Moved: second,
		Length: 638, MaxGap: joint, MinGap: joint, MaxAt: w, MinAt: w,
	}}
	return t
}

// TestSeamUnsupported: no seam over a dishwasher, Dimension Stone Design Manual
// 8.0 (2016), drawing 17-D-1; places by hand.
func TestSeamUnsupported(t *testing.T) {
	whole := box(0, 0, 2400, 600)
	opening := func(x0, y0, x1, y1 float64) func(*piece.Template) {
		return func(t *piece.Template) { t.Openings = []piece.Opening{{Area: box(x0, y0, x1, y1)}} }
	}
	for _, tc := range []struct {
		name     string
		cabinets []geom.Loop
		change   func(*piece.Template)
		want     []wanted
	}{
		{"over one run of cabinets, with a lip of 38", []geom.Loop{whole}, nil, nil},
		{"along the side of two cabinets", []geom.Loop{box(0, 0, 1200, 600), box(1200, 0, 2400, 600)}, nil, nil},
		{"along the side of a dishwasher's opening", []geom.Loop{whole}, opening(1200, 0, 1800, 600), nil},
		{"over a dishwasher", []geom.Loop{whole}, opening(900, 0, 1500, 600), []wanted{{638, 0, 638, xy(1200, 319), Stop}}},
		{"over an opening that ends behind the front", []geom.Loop{whole}, opening(900, 0, 1500, 400), []wanted{{400, 0, 400, xy(1200, 200), Stop}}},
		{"4 mm inside the opening", []geom.Loop{whole}, opening(1196, 0, 1796, 600), []wanted{{638, 0, 638, xy(1200, 319), Stop}}},
		{"over a gap between cabinets", []geom.Loop{box(0, 0, 1100, 600), box(1300, 0, 2400, 600)}, nil, []wanted{{638, 0, 638, xy(1200, 319), Stop}}},
		{"over a joint of 3 mm between cabinets", []geom.Loop{box(0, 0, 1198.5, 600), box(1201.5, 0, 2400, 600)}, nil, nil},
		{"over cabinets that stop short", []geom.Loop{box(0, 0, 2400, 500)}, nil, []wanted{{138, 0, 138, xy(1200, 569), Stop}}},
		{"on a wall cleat and a front cleat", nil, func(t *piece.Template) {
			for _, y := range []float64{0, 600} {
				t.Supports = append(t.Supports, piece.Support{Line: []geom.Curve{geom.Line(xy(0, y), xy(2400, y))}})
			}
		}, []wanted{{520, 0, 520, xy(1200, 300), Stop}}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tp := seamedTops(0, tc.cabinets...)
			if tc.change != nil {
				tc.change(tp)
			}
			checkFlags(t, seamUnsupported(), supportInput(tp), 1e-6, tc.want)
			supported, known := support.SeamSupported(tp, &tp.Seams[0], 80)
			if !known || supported != (len(tc.want) == 0) {
				t.Errorf("supported %v known %v", supported, known)
			}
			joint := seamedTops(1.5, tc.cabinets...)
			if tc.change != nil {
				tc.change(joint)
			}
			if n := len(runRule(ptr(seamUnsupported()), supportInput(joint)).flags); n != len(tc.want) {
				t.Errorf("with a joint of 1.5 mm: %d flags, want %d", n, len(tc.want))
			}
		})
	}
}

func TestSeamSupportUnknown(t *testing.T) {
	bare := seamedTops(0)
	bare.HasSupport = false
	for name, tp := range map[string]*piece.Template{"no support layer": bare, "support elsewhere": seamedTops(0, box(5000, 0, 6000, 600))} {
		t.Run(name, func(t *testing.T) {
			found := runRule(ptr(seamUnsupported()), supportInput(tp))
			if len(found.flags) != 0 || len(found.unchecked) != 1 {
				t.Errorf("flags %v unchecked %v, want one unchecked", found.flags, found.unchecked)
			}
			if _, known := support.SeamSupported(tp, &tp.Seams[0], 80); known {
				t.Error("known without support")
			}
		})
	}
}

// A fold down to a leg stands at the end of the cabinets and on the leg: it was a stop
// in every island with a waterfall.
func TestSeamOfAFold(t *testing.T) {
	cabinets := []geom.Loop{box(0, 0, 1100, 600), box(1300, 0, 2400, 600)} // the seam lies over the gap
	for name, c := range map[string]struct {
		first, second string
		flags         int
	}{
		"mitred on both sides": {"MITRE", "45 miter", 0}, "on one side": {"MITRE", "", 1}, "eased": {"EASED", "EASED", 1}, "plain": {"", "", 1},
	} {
		t.Run(name, func(t *testing.T) {
			tp := seamedTops(1.5, cabinets...)
			for i, profile := range []string{c.first, c.second} {
				tp.Pieces[i].Edges = []piece.Edge{{N: 1, Finish: piece.SeamEdge, Curves: tp.Seams[0].Chains[i], Profile: profile}}
			}
			in := supportInput(tp)
			in.Shop.Saw = shop.Default().Saw
			found := runRule(ptr(seamUnsupported()), in)
			if len(found.flags) != c.flags || len(found.unchecked) != 1-c.flags {
				t.Errorf("flags %v unchecked %v, want %d flags", found.flags, found.unchecked, c.flags)
			}
		})
	}
}

// TestSeamNearCutout: 18 in (457 mm) to a sink, ANSI/AWI 1236-2022 3.3 d; 150 mm
// to any cutout, common practice.
func TestSeamNearCutout(t *testing.T) {
	cutout := func(kind piece.CutoutKind, l geom.Loop, over bool) piece.Cutout {
		return piece.Cutout{ID: "A-1", Kind: kind, Loop: l.Reverse(), OverEdge: over}
	}
	for _, tc := range []struct {
		name   string
		a, b   []piece.Cutout
		want   []wanted
		source string
	}{
		{"cooktop at 100", []piece.Cutout{cutout(piece.Cooktop, box(600, 60, 1100, 550), false)}, nil,
			[]wanted{{100, 150, 0, xy(1150, 305), Warn}}, "1200 - 1100; along parallel edges the middle of what they share, (60 + 550)/2"},
		{"cooktop at 150", []piece.Cutout{cutout(piece.Cooktop, box(550, 60, 1050, 550), false)}, nil, nil, "equal passes"},
		{"cooktop at 300", []piece.Cutout{cutout(piece.Cooktop, box(400, 60, 900, 550), false)}, nil, nil, "only sinks up to 457"},
		{"sink at 120", []piece.Cutout{cutout(piece.Sink, box(600, 60, 1080, 550), false)}, nil,
			[]wanted{{120, 150, 0, xy(1140, 305), Warn}}, "a warning, no note beside it"},
		{"sink at 300", []piece.Cutout{cutout(piece.Sink, box(400, 60, 900, 550), false)}, nil,
			[]wanted{{300, 457, 0, xy(1050, 305), Note}}, "1200 - 900"},
		{"sink at 457", []piece.Cutout{cutout(piece.Sink, box(243, 60, 743, 550), false)}, nil, nil, "equal passes"},
		{"tap hole in the other piece", nil, []piece.Cutout{cutout(piece.Hole, geom.Circle(xy(1280, 560), 17.5), false)},
			[]wanted{{62.5, 150, 0, xy(1231.25, 560), Warn}}, "80 - 35/2"},
		{"cutout over the seam, known to both pieces",
			[]piece.Cutout{cutout(piece.Cooktop, box(900, 60, 1500, 550), true)}, []piece.Cutout{cutout(piece.Cooktop, box(900, 60, 1500, 550), true)},
			[]wanted{{0, 150, 0, xy(1200, 60), Warn}}, "it runs over the seam; one flag"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tp := seamedTops(0)
			tp.Pieces[0].Cutouts, tp.Pieces[1].Cutouts = tc.a, tc.b
			checkFlags(t, seamNearCutout(), supportInput(tp), 1e-9, tc.want)
		})
	}
	// What the seam runs into is about the seam, so that both its pieces show it.
	tp := seamedTops(0)
	over := cutout(piece.Sink, box(900, 60, 1500, 550), true)
	tp.Pieces[0].Cutouts, tp.Pieces[1].Cutouts = []piece.Cutout{over}, []piece.Cutout{over}
	found := runRule(ptr(seamNearCutout()), supportInput(tp)).flags
	if len(found) != 1 || found[0].Other != tp.Seams[0].ID || !strings.Contains(found[0].Message, "of pieces A and B runs into the sink A-1") || !strings.Contains(found[0].Remedy, "rods in both pieces") {
		t.Error(listed(found))
	}
}

// TestSeamNearCutoutRemedy moves the cutout as the sentence says.
func TestSeamNearCutoutRemedy(t *testing.T) {
	tp := seamedTops(0)
	c := box(600.4, 60, 1100.4, 550)
	tp.Pieces[0].Cutouts = []piece.Cutout{{ID: "A-1", Kind: piece.Cooktop, Loop: c.Reverse()}}
	found := runRule(ptr(seamNearCutout()), supportInput(tp)).flags
	if len(found) != 1 {
		t.Fatalf("%d flags, want 1", len(found))
	}
	var by float64
	if _, err := fmt.Sscanf(found[0].Remedy, "Move the seam or the cooktop %f mm apart", &by); err != nil {
		t.Fatalf("%q: %v", found[0].Remedy, err)
	}
	tp.Pieces[0].Cutouts[0].Loop = c.Translate(xy(-by, 0)).Reverse()
	if left := runRule(ptr(seamNearCutout()), supportInput(tp)).flags; len(left) != 0 {
		t.Errorf("after %q: %s", found[0].Remedy, left[0].Message)
	}
}

// TestSeamMismatch: +-1/64 in on the joint, so 1/32 in (0.8 mm) between two
// places, Natural Stone Institute homeowner's guide (2008), section 9.
func TestSeamMismatch(t *testing.T) {
	for _, tc := range []struct {
		name     string
		min, max float64
		flag     bool
	}{
		{"one line divides the piece", 0, 0, false},
		{"nominal joint all along", 1.5, 1.5, false},
		{"wide joint all along", 4, 4, false},
		{"gapes by 0.8", 1.5, 2.3, false},
		{"gapes by 0.9", 1.5, 2.4, true},
		{"touches at one end, 1 mm at the other", 0, 1, true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tp := seamedTops(0)
			s := &tp.Seams[0]
			s.MinGap, s.MaxGap = tc.min, tc.max
			s.MinAt = geom.Witness{From: xy(1200, 0), To: xy(1200+tc.min, 0)}
			s.MaxAt = geom.Witness{From: xy(1200, 638), To: xy(1200+tc.max, 638)}
			var want []wanted
			if tc.flag {
				want = []wanted{{tc.max - tc.min, 0.8, 638, s.MaxAt.Middle(), Stop}}
			}
			checkFlags(t, seamMismatch(), supportInput(tp), 1e-9, want)
		})
	}
}

// steppedSeam has a step of the given depths at the given places of the two
// mates; A travels up, B down.
func steppedSeam(atA, depthA, atB, depthB float64) *piece.Template {
	tp := seamedTops(0)
	s := &tp.Seams[0]
	s.Kind = piece.SteppedSeam
	s.Chains[0] = []geom.Curve{geom.Line(xy(1200, 0), xy(1200, atA)), geom.Line(xy(1200, atA), xy(1200+depthA, atA)), geom.Line(xy(1200+depthA, atA), xy(1200+depthA, 638))}
	// B starts where A ends: its first stretch faces A's last.
	far := 1200 + depthA
	s.Chains[1] = []geom.Curve{geom.Line(xy(far, 638), xy(far, atB)), geom.Line(xy(far, atB), xy(far-depthB, atB)), geom.Line(xy(far-depthB, atB), xy(far-depthB, 0))}
	s.Moved = s.Chains[1]
	s.Steps = []piece.SeamStep{
		{Piece: "A", At: atA, Depth: depthA, Place: xy(1200, atA)},
		{Piece: "B", At: 638 - atB, Depth: depthB, Place: xy(far, atB)},
	}
	return tp
}

// drawnApart moves the mate of a stepped seam away by the joint.
func drawnApart(tp *piece.Template, joint float64) *piece.Template {
	s := &tp.Seams[0]
	away := xy(joint, 0)
	for i, c := range s.Chains[1] {
		s.Chains[1][i] = geom.Line(c.A.Add(away), c.B.Add(away))
	}
	s.Moved, s.MinGap, s.MaxGap = s.Chains[1], joint, joint
	s.Steps[1].Place = s.Steps[1].Place.Add(away)
	return tp
}

func TestSeamStepMismatch(t *testing.T) {
	for _, tc := range []struct {
		name string
		top  *piece.Template
		want []wanted
	}{
		{"mates fit", steppedSeam(300, 38, 300, 38), nil},
		{"mates fit, step inward", steppedSeam(300, -38, 300, -38), nil},
		{"depth differs by 0.8", steppedSeam(300, 38, 300, 38.8), nil},
		{"depth differs by 2", steppedSeam(300, 38, 300, 40), []wanted{{2, 0.8, 0, xy(1219, 300), Stop}}},
		{"place differs by 1.5", steppedSeam(300, 38, 301.5, 38), []wanted{{1.5, 0.8, 0, xy(1219, 300.75), Stop}}},
		{"step the other way", steppedSeam(300, 38, 300, -38), []wanted{{76, 0.8, 0, xy(1219, 300), Stop}}},
		{"straight seam", seamedTops(0), nil},
		// A joint all along leaves the risers apart by it: of a step outward the
		// mate's lies before, of one inward behind.
		{"joint of 1.5 all along", drawnApart(steppedSeam(300, 38, 298.5, 38), 1.5), nil},
		{"joint of 1.5 all along, step inward", drawnApart(steppedSeam(300, -38, 301.5, -38), 1.5), nil},
		{"joint of 3 all along", drawnApart(steppedSeam(300, 38, 297, 38), 3), nil},
		{"2 more than the joint of 1.5", drawnApart(steppedSeam(300, 38, 296.5, 38), 1.5), []wanted{{2, 0.8, 0, xy(1219.75, 298.25), Stop}}},
		{"into each other beside a joint", drawnApart(steppedSeam(300, 38, 301.5, 38), 1.5), []wanted{{1.5, 0.8, 0, xy(1219.75, 300.75), Stop}}},
	} {
		t.Run(tc.name, func(t *testing.T) { checkFlags(t, seamStepMismatch(), supportInput(tc.top), 1e-9, tc.want) })
	}
	t.Run("mates drawn apart and turned", func(t *testing.T) {
		tp := steppedSeam(300, 38, 301.5, 38)
		s := &tp.Seams[0]
		move := func(p geom.Point) geom.Point { return p.Rotate(0.7).Add(xy(3000, 400)) }
		s.Apart = true
		s.Moved = s.Chains[1]
		s.Chains[1] = nil
		for _, c := range s.Moved {
			s.Chains[1] = append(s.Chains[1], geom.Line(move(c.A), move(c.B)))
		}
		s.Steps[1].Place = move(s.Steps[1].Place)
		checkFlags(t, seamStepMismatch(), supportInput(tp), 1e-9, []wanted{{1.5, 0.8, 0, xy(1219, 300.75), Stop}})
	})
	t.Run("only one mate has the step", func(t *testing.T) {
		tp := steppedSeam(300, 38, 300, 38)
		tp.Seams[0].Steps = tp.Seams[0].Steps[:1]
		f := runRule(ptr(seamStepMismatch()), supportInput(tp)).flags
		if len(f) != 1 || f[0].Measured != 38 || !strings.Contains(f[0].Message, "B has none") {
			t.Errorf("flags %v, want the missing step of 38 mm in B", f)
		}
	})
	t.Run("two steps", func(t *testing.T) {
		tp := steppedSeam(200, 38, 200, 38)
		s := &tp.Seams[0]
		s.Steps = []piece.SeamStep{
			{Piece: "A", At: 200, Depth: 38, Place: xy(1200, 200)}, {Piece: "A", At: 400, Depth: 20, Place: xy(1238, 400)},
			{Piece: "B", At: 238, Depth: -18, Place: xy(1220, 400)}, {Piece: "B", At: 438, Depth: 20, Place: xy(1238, 200)},
		}
		if f := runRule(ptr(seamStepMismatch()), supportInput(tp)).flags; len(f) != 0 {
			t.Errorf("mates with steps of 38 and -18 that meet: %v", f[0].Message)
		}
		s.Steps[3].Depth = 25
		f := runRule(ptr(seamStepMismatch()), supportInput(tp)).flags
		if len(f) != 1 || math.Abs(f[0].Measured-5) > 1e-9 {
			t.Errorf("flags %v, want one of 5 mm at the step of 38", f)
		}
	})
}
