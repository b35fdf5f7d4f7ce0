package shop

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// stepped is a top with a stepped front: 876.3 mm, then 38.1 mm back, as an
// operator writes it: 34 1/2 in and 1 1/2 in. What is finished follows.
const stepped = "COUNTER: 0,0 876.3,0 876.3,38.1 1800,38.1 1800,650 0,650 close\n"

func TestPolishPasses(t *testing.T) {
	for _, tc := range []struct {
		name, drawing string
		want          []PolishPass // Edges, Length and steps only
		note          string
	}{
		{"rectangle, front and one end",
			"COUNTER: 0,0 2400,0 2400,650 0,650 close\nFINISHED: 0,0 2400,0 2400,650",
			[]PolishPass{{Edges: []int{1}, Length: 2400}, {Edges: []int{2}, Length: 650}}, ""},
		{"nothing finished", "COUNTER: 0,0 2400,0 2400,650 0,650 close", nil, "no edge is marked finished"},
		{"only a round edge", "COUNTER: circle 0,0 d900\nFINISHED: circle 0,0 d900", nil, "the finished edges are curves or steps: by hand or with the router"},
		{"step inward, both stretches finished",
			stepped + "FINISHED: 0,0 876.3,0\nFINISHED: 876.3,38.1 1800,38.1",
			[]PolishPass{{Edges: []int{1, 3}, Length: 1800,
				StepsLeadStart: []Step{{876.3, -38.1}}, StepsLeadEnd: []Step{{923.7, 38.1}}}}, ""},
		{"step to a seam that is not polished is set all the same",
			stepped + "FINISHED: 0,0 876.3,0",
			[]PolishPass{{Edges: []int{1}, Length: 876.3,
				StepsLeadStart: []Step{{876.3, -38.1}}, StepsLeadEnd: []Step{{923.7, 38.1}}}}, ""},
		{"the edge of the step is finished too: by hand, no pass of its own",
			stepped + "FINISHED: 0,0 876.3,0 876.3,38.1 1800,38.1",
			[]PolishPass{{Edges: []int{1, 3}, Length: 1800,
				StepsLeadStart: []Step{{876.3, -38.1}}, StepsLeadEnd: []Step{{923.7, 38.1}}}}, ""},
		{"a step in the end is none of the front",
			"COUNTER: 0,0 1800,0 1800,500 1838.1,500 1838.1,650 0,650 close\nFINISHED: 0,650 1838.1,650\nFINISHED: 0,0 1800,0",
			[]PolishPass{{Edges: []int{1}, Length: 1800}, {Edges: []int{5}, Length: 1838.1}}, ""},
		{"a return of 400 mm is a side, not a step",
			"COUNTER: 0,0 2400,0 2400,650 650,650 650,1050 0,1050 close\nFINISHED: 2400,650 650,650 650,1050",
			[]PolishPass{{Edges: []int{3}, Length: 1750}, {Edges: []int{4}, Length: 400}}, ""},
		{"a taper between two fronts is a side, and its start their step",
			"COUNTER: 0,0 900,0 1300,30 2400,30 2400,650 0,650 close\nFINISHED: 0,0 900,0 1300,30 2400,30",
			[]PolishPass{
				{Edges: []int{1, 3}, Length: 2000, StepsLeadStart: []Step{{900, -30}}, StepsLeadEnd: []Step{{1100, 30}}},
				{Edges: []int{2}, Length: math.Hypot(400, 30)}}, ""},
		{"notch in the front",
			"COUNTER: 0,0 800,0 800,100 1500,100 1500,0 2400,0 2400,650 0,650 close\nFINISHED: 0,0 800,0\nFINISHED: 1500,0 2400,0",
			[]PolishPass{{Edges: []int{1, 5}, Length: 1700,
				StepsLeadStart: []Step{{800, -100}, {1500, 0}}, StepsLeadEnd: []Step{{900, -100}, {1600, 0}}}}, ""},
		{"notch deeper than the heads follow: its front is still one side",
			"COUNTER: 0,0 800,0 800,480 1500,480 1500,0 2400,0 2400,650 0,650 close\nFINISHED: 0,0 800,0\nFINISHED: 1500,0 2400,0",
			[]PolishPass{{Edges: []int{1, 5}, Length: 1700,
				StepsLeadStart: []Step{{800, -480}, {1500, 0}}, StepsLeadEnd: []Step{{900, -480}, {1600, 0}}}}, ""},
		{"round bite in the front",
			"COUNTER: 0,0 800,0^-1 1000,0 2400,0 2400,650 0,650 close\nFINISHED: 0,0 800,0\nFINISHED: 1000,0 2400,0",
			[]PolishPass{{Edges: []int{1, 3}, Length: 2200,
				StepsLeadStart: []Step{{800, -100}, {1000, 0}}, StepsLeadEnd: []Step{{1400, -100}, {1600, 0}}}}, ""},
		{"step with an inside and an outside radius begins where the straight ends",
			"COUNTER: 0,0 800,0^0.41421356237 810,10 810,30^-0.41421356237 820,40 1800,40 1800,650 0,650 close\nFINISHED: 0,0 800,0\nFINISHED: 820,40 1800,40",
			[]PolishPass{{Edges: []int{1, 5}, Length: 1780,
				StepsLeadStart: []Step{{800, -40}}, StepsLeadEnd: []Step{{980, 40}}}}, ""},
		{"part of the front finished: no step",
			"COUNTER: 0,0 2400,0 2400,650 0,650 close\nFINISHED: 300,0 1500,0",
			[]PolishPass{{Edges: []int{2}, Length: 1200}}, ""},
		{"an edge in a slot behind the front is no part of it",
			"COUNTER: 0,0 1000,0 1000,100 400,100 400,200 1000,200 1000,800 0,800 close\nFINISHED: 0,0 1000,0\nFINISHED: 400,200 1000,200",
			[]PolishPass{{Edges: []int{1}, Length: 1000}, {Edges: []int{5}, Length: 600}}, ""},
		{"L: the inner front and the outer end face the same way, too far back for one pass",
			"COUNTER: 0,0 2400,0 2400,650 650,650 650,1850 0,1850 close\nFINISHED: 2400,650 650,650\nFINISHED: 650,1850 0,1850",
			[]PolishPass{{Edges: []int{3}, Length: 1750}, {Edges: []int{5}, Length: 650}}, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, s := onePiece(t, tc.drawing)
			if s.PolishNote != tc.note || len(s.Polish) != len(tc.want) {
				t.Fatalf("%d passes, note %q; want %d, %q: %+v", len(s.Polish), s.PolishNote, len(tc.want), tc.note, s.Polish)
			}
			for i, want := range tc.want {
				got := s.Polish[i]
				if !reflect.DeepEqual(got.Edges, want.Edges) {
					t.Errorf("edges %v, want %v", got.Edges, want.Edges)
				}
				near(t, "length", got.Length, want.Length, 1e-6)
				minutes := want.Length / 25.4 / 60
				if got.HandWork != "" {
					minutes = 0
				}
				near(t, "minutes at 60 in/min", got.Minutes, minutes, 1e-9)
				if got.Profile != "" {
					t.Errorf("profile %q, want the shop's usual one", got.Profile)
				}
				sameStepList(t, "start leads", got.StepsLeadStart, want.StepsLeadStart)
				sameStepList(t, "end leads", got.StepsLeadEnd, want.StepsLeadEnd)
			}
		})
	}
}

func sameStepList(t *testing.T, what string, got, want []Step) {
	t.Helper()
	if !sameSteps(got, want, 1e-6) {
		t.Errorf("%s: steps %+v, want %+v", what, got, want)
	}
}

// 120 in of edge take 2.000 min at 60 in/min and 1.667 min at 72: common
// practice, checked by division.
func TestPolishMinutes(t *testing.T) {
	tpl := template(t, "COUNTER: 0,0 3048,0 3048,650 0,650 close\nFINISHED: 0,0 3048,0")
	for _, tc := range []struct{ feed, want float64 }{{1524, 2}, {1828.8, 5.0 / 3}} {
		d := Default()
		d.Polisher.Feed = tc.feed
		s := SetUp(&tpl.Pieces[0], tpl, &d)
		near(t, "minutes", s.Polish[0].Minutes, tc.want, 1e-9)
		near(t, "pass", s.Polish[0].FeedMinutes, (3048+300)/tc.feed+1, 1e-9)
		near(t, "all polishing", s.PolishMinutes, s.Polish[0].FeedMinutes, 0)
		near(t, "all machines", s.RunMinutes, s.SawMinutes+s.RouterMinutes+s.PolishMinutes, 1e-12)
	}
}

func TestHandWork(t *testing.T) {
	for _, tc := range []struct{ name, drawing, want string }{
		{"stone stands out past the edge", "COUNTER: 0,0 2400,0 2400,650 650,650 650,1850 0,1850 close\nFINISHED: 2400,650 650,650", "stands out 1200 mm"},
		{"short side", "COUNTER: 0,0 900,0 900,300 0,300 close\nFINISHED: 900,0 900,300", "feeds from 305 mm"},
		{"tall piece", "COUNTER: 0,0 2900,0 2900,650 0,650 close\nFINISHED: 2900,0 2900,650", "takes 2438 mm"},
		{"96 in, given as 2438 mm", "COUNTER: 0,0 2438.4,0 2438.4,650 0,650 close\nFINISHED: 2438.4,0 2438.4,650", ""},
		{"as tall as the line takes", "COUNTER: 0,0 2438,0 2438,650 0,650 close\nFINISHED: 2438,0 2438,650", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, s := onePiece(t, tc.drawing)
			got := s.Polish[0]
			if !strings.Contains(got.HandWork, tc.want) || (got.HandWork == "") != (tc.want == "") {
				t.Errorf("%q, want %q", got.HandWork, tc.want)
			}
			if (got.FeedMinutes == 0) != (got.HandWork != "") {
				t.Errorf("minutes on the line %v for %q", got.FeedMinutes, got.HandWork)
			}
		})
	}
}

func TestFinishedLengths(t *testing.T) {
	_, s := onePiece(t, "COUNTER: 0,0 2400,0^0.41421356237 2500,100 2500,650 0,650 close\nFINISHED: 0,0 2400,0^0.41421356237 2500,100\nFINISHED OGEE: 2500,100 2500,650")
	want := []ProfileLength{{"", 2400 + 50*math.Pi}, {"OGEE", 550}}
	if len(s.Finished) != 2 || len(s.Curves) != 1 {
		t.Fatalf("finished %+v curves %+v", s.Finished, s.Curves)
	}
	for i, w := range want {
		if s.Finished[i].Profile != w.Profile {
			t.Errorf("profile %q, want %q", s.Finished[i].Profile, w.Profile)
		}
		near(t, "finished", s.Finished[i].Length, w.Length, 1e-6)
	}
	if c := s.Curves[0]; !c.Outside || math.Abs(c.Radius-100) > 1e-6 || !strings.Contains(c.Why, "by hand") {
		t.Errorf("curve %+v", c)
	}
}

func TestFinishedStep(t *testing.T) {
	_, s := onePiece(t, stepped+"FINISHED: 0,0 876.3,0 876.3,38.1 1800,38.1")
	if len(s.Curves) != 1 || s.Curves[0].Edge != 2 || s.Curves[0].Radius != 0 || !strings.Contains(s.Curves[0].Why, "step") {
		t.Errorf("%+v", s.Curves)
	}
	near(t, "finished", s.Finished[0].Length, 1800+38.1, 1e-9)
}

// The piece reaches farther than the side where its end is cut at an angle.
func TestAhead(t *testing.T) {
	_, s := onePiece(t, "COUNTER: 0,0 2000,0 2200,650 -50,650 close\nFINISHED: 0,0 2000,0")
	p := s.Polish[0]
	near(t, "before the start", p.AheadStart, 50, 1e-9)
	near(t, "beyond the end", p.AheadEnd, 200, 1e-9)
	near(t, "height", p.Height, 650, 1e-9)
}

// Parallel within 0.1 degrees is one pass, beyond it is two.
func TestParallel(t *testing.T) {
	for _, tc := range []struct {
		deg    float64
		passes int
	}{{0.05, 1}, {0.1, 1}, {0.11, 2}, {-0.1, 1}, {-0.11, 2}} {
		end := geom.Point{X: 1800, Y: 38.1}
		start := end.Sub(geom.Point{X: 900}.Rotate(tc.deg * math.Pi / 180))
		p := piece.Piece{ID: "A", Thickness: 30, Outline: geom.Polygon(geom.Point{}, geom.Point{X: start.X}, start, end, geom.Point{X: 1800, Y: 650}, geom.Point{Y: 650})}
		for i, c := range p.Outline {
			f := piece.Unmarked
			if i == 0 || i == 2 {
				f = piece.Finished
			}
			p.Edges = append(p.Edges, piece.Edge{N: i + 1, Kind: piece.LineEdge, Curves: []geom.Curve{c}, Finish: f})
		}
		d := Default()
		if s := SetUp(&p, &piece.Template{}, &d); len(s.Polish) != tc.passes {
			t.Errorf("%v degrees: %d passes, want %d", tc.deg, len(s.Polish), tc.passes)
		} else if makes := stepEdges(&p, &d.Polisher)[1]; makes != (tc.passes == 1) {
			t.Errorf("%v degrees: the edge between makes a step: %v", tc.deg, makes)
		}
	}
}

// Mirroring a piece swaps the ends, turning it changes nothing, and from the
// other end every step stands at the rest of the length.
func TestStepsTurnedAndMirrored(t *testing.T) {
	rnd := seeded(t, 11)
	d := Default()
	for range 100 {
		pts := []geom.Point{{}}
		n := rnd.IntN(4) + 2
		for i, x, y := 0, 0.0, 0.0; i < n; i++ {
			x += 100 + 400*rnd.Float64()
			pts = append(pts, geom.Point{X: x, Y: y})
			if i < n-1 {
				y = math.Mod(y+5+5*float64(rnd.IntN(29)), 150) // steps of 5 mm or more
				pts = append(pts, geom.Point{X: x, Y: y})
			}
		}
		end := pts[len(pts)-1].X
		pts = append(pts, geom.Point{X: end, Y: 650}, geom.Point{Y: 650})
		front := func(l geom.Loop) piece.Piece {
			p := piece.Piece{ID: "A", Outline: l, Thickness: 30}
			for i, c := range l {
				p.Edges = append(p.Edges, piece.Edge{N: i + 1, Kind: piece.LineEdge, Curves: []geom.Curve{c}, Finish: piece.Unmarked})
			}
			return p
		}
		l := geom.Polygon(pts...)
		mirror := make(geom.Loop, len(l))
		for i, c := range l {
			mirror[len(l)-1-i] = c.Mirror().Reverse()
		}
		a := front(l)
		b := front(l.Rotate(6 * rnd.Float64()).Translate(geom.Point{X: 1000 * rnd.Float64(), Y: 50}))
		c := front(mirror)
		for i := range a.Edges {
			if i < 2*n-1 && i%2 == 0 {
				a.Edges[i].Finish, b.Edges[i].Finish, c.Edges[len(l)-1-i].Finish = piece.Finished, piece.Finished, piece.Finished
			}
		}
		sa, sb, sc := SetUp(&a, &piece.Template{}, &d), SetUp(&b, &piece.Template{}, &d), SetUp(&c, &piece.Template{}, &d)
		if len(sa.Polish) != 1 || len(sb.Polish) != 1 || len(sc.Polish) != 1 {
			t.Fatalf("passes %d %d %d of %v", len(sa.Polish), len(sb.Polish), len(sc.Polish), pts)
		}
		pa, pb, pc := sa.Polish[0], sb.Polish[0], sc.Polish[0]
		if !sameSteps(pa.StepsLeadStart, pb.StepsLeadStart, 1e-6) || !sameSteps(pa.StepsLeadEnd, pb.StepsLeadEnd, 1e-6) {
			t.Errorf("turned: %+v and %+v", pa, pb)
		}
		if !sameSteps(pa.StepsLeadStart, pc.StepsLeadEnd, 1e-6) || !sameSteps(pa.StepsLeadEnd, pc.StepsLeadStart, 1e-6) {
			t.Errorf("mirrored: %+v and %+v", pa, pc)
		}
		k := len(pa.StepsLeadStart)
		for i, st := range pa.StepsLeadStart {
			near(t, "place from both ends", st.At+pa.StepsLeadEnd[k-1-i].At, end, 1e-6)
		}
		if k != len(pa.StepsLeadEnd) {
			t.Fatalf("steps %+v and %+v", pa.StepsLeadStart, pa.StepsLeadEnd)
		}
		if k > 0 {
			near(t, "last offset from both ends", pa.StepsLeadStart[k-1].Offset, -pa.StepsLeadEnd[k-1].Offset, 1e-6)
		}
	}
}

func TestGroups(t *testing.T) {
	tpl := template(t, `COUNTER: 0,0 876.3,0 876.3,38.1 1800,38.1 1800,650 0,650 close
FINISHED: 0,0 876.3,0
FINISHED: 876.3,38.1 1800,38.1
COUNTER: 4000,0 4923.7,0 4923.7,-38.4 5800,-38.4 5800,650 4000,650 close
FINISHED: 4000,0 4923.7,0
FINISHED: 4923.7,-38.4 5800,-38.4
COUNTER: 8000,0 9000,0 9000,650 8000,650 close
FINISHED: 8000,0 9000,0 9000,650`)
	d := Default()
	setups := map[string]*Setup{}
	for i := range tpl.Pieces {
		s := SetUp(&tpl.Pieces[i], tpl, &d)
		setups[s.Piece] = &s
	}
	got := Groups(setups, &d)
	if len(got) != 2 {
		t.Fatalf("groups %+v", got)
	}
	// B is A's mirror image but for 0.3 mm: the same set-up, its other end first.
	if want := []GroupMember{{"A", 0, false}, {"B", 0, true}}; !reflect.DeepEqual(got[0].Members, want) {
		t.Errorf("members %+v, want %+v", got[0].Members, want)
	}
	if len(got[1].Members) != 2 || len(got[1].Steps) != 0 {
		t.Errorf("plain passes %+v", got[1])
	}
	setups["C"].Polish[1].Profile = "OGEE"
	if got := Groups(setups, &d); len(got) != 3 {
		t.Errorf("two profiles: %d groups, want 3", len(got))
	}
	setups["C"].Thickness = 20
	setups["C"].Polish[1].Profile = ""
	setups["B"].Thickness = 20
	if got := Groups(setups, &d); len(got) != 3 {
		t.Errorf("two thicknesses: %d groups, want 3", len(got))
	}
	setups["B"].Thickness = 30
	d.Polisher.SameSetup = 0.1
	if got = Groups(setups, &d); len(got) != 3 {
		t.Errorf("with 0.1 mm: %d groups, want 3", len(got))
	}
}

// Notes for shops that read inches: 400 mm are 15.75 in, 300 mm 11.81 in (25.4 mm
// an inch, NIST SP 811).
func TestWordsInInches(t *testing.T) {
	set := Default()
	set.Polisher.LeastLength = 400
	tpl := template(t, "COUNTER: 0,0 300,0 300,600 0,600 close\nFINISHED: 0,0 300,0")
	for _, tc := range []struct {
		inches bool
		want   string
	}{
		{false, "the side is 300 mm long, the line feeds from 400 mm: by hand or with the router"},
		{true, "the side is 11.81 in long, the line feeds from 15.75 in: by hand or with the router"},
	} {
		tpl.Units.Lengths.Inches = tc.inches
		if got := SetUp(&tpl.Pieces[0], tpl, &set).Polish; len(got) != 1 || got[0].HandWork != tc.want {
			t.Errorf("%+v, want %q", got, tc.want)
		}
	}
}

// What is said about a finished curve: its radius is that of its longest arc,
// and which way it bends decides what can reach it.
func TestFinishedCurves(t *testing.T) {
	arc := func(x float64, bulge, length float64) geom.Curve {
		return geom.Curve{A: geom.Point{X: x}, B: geom.Point{X: x + length}, Bulge: bulge}
	}
	for _, tc := range []struct {
		name    string
		curves  []geom.Curve
		radius  float64 // chord c, bulge b: c (1 + b^2) / (4 |b|)
		outside bool
	}{
		{"full to the front", []geom.Curve{arc(0, 1, 200)}, 100, true},
		{"hollow", []geom.Curve{arc(0, -1, 200)}, 100, false},
		{"a long arc after a short one", []geom.Curve{arc(0, 1, 20), arc(20, -0.5, 400)}, 250, false},
	} {
		c := finishedCurve(&piece.Edge{N: 3, Curves: tc.curves, Profile: "OGEE"})
		near(t, tc.name, c.Radius, tc.radius, 1e-9)
		if c.Outside != tc.outside || strings.Contains(c.Why, "outside") != tc.outside || c.Edge != 3 || c.Profile != "OGEE" {
			t.Errorf("%s: %+v", tc.name, c)
		}
	}
}

// A pass of two profiles names both, and its stretches tell which edge is where.
func TestStretchesOfAPass(t *testing.T) {
	_, s := onePiece(t, stepped+"FINISHED OGEE: 0,0 876.3,0\nFINISHED BULLNOSE: 876.3,38.1 1800,38.1")
	if len(s.Polish) != 1 || s.Polish[0].Profile != "OGEE + BULLNOSE" {
		t.Fatalf("%+v", s.Polish)
	}
	want := []Stretch{{From: 0, To: 876.3, Edge: 1, Finished: true}, {From: 876.3, To: 1800, Offset: -38.1, Edge: 3, Finished: true}}
	if got := s.Polish[0].Stretches; !reflect.DeepEqual(got, want) {
		t.Errorf("stretches %+v, want %+v", got, want)
	}
}
