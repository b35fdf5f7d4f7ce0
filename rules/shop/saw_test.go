package shop

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// short3cm is c(32) - c(2) of a 400 mm blade.
var short3cm = math.Sqrt(32*368) - math.Sqrt(2*398)

func TestSawAndRouter(t *testing.T) {
	fillet := 10 * math.Pi / 2 // quarter circle of radius 10
	for _, tc := range []struct {
		name, drawing string
		saw, router   float64 // by hand from the formula in saw.go
		cuts, runs    int
		holes         int
	}{
		{"rectangle: every end runs past an outside corner",
			"COUNTER: 0,0 2400,0 2400,650 0,650 close", 6100, 0, 4, 0, 0},
		{"L: one inside corner, short from both sides",
			"COUNTER: 0,0 2400,0 2400,650 650,650 650,1850 0,1850 close", 8500 - 2*short3cm, 2 * short3cm, 6, 1, 0},
		{"L with an inside radius of 10",
			"COUNTER: 0,0 2400,0 2400,650 660,650^-0.41421356237 650,660 650,1850 0,1850 close",
			8500 - 20 - 2*short3cm, 2*short3cm + fillet, 6, 1, 0},
		{"rectangle with outside radii: the blade runs on along the tangents",
			"COUNTER: 10,0 2390,0^0.41421356237 2400,10 2400,640^0.41421356237 2390,650 10,650^0.41421356237 0,640 0,10^0.41421356237 10,0 close",
			6100 - 80, 4 * fillet, 4, 4, 0},
		{"sink with sharp corners, and a drilled hole",
			"COUNTER: 0,0 2400,0 2400,650 0,650 close\nSINK: 800,100 1600,100 1600,550 800,550 close\nSINK: circle 1200,600 d35",
			6100 + 2500 - 8*short3cm, 8 * short3cm, 8, 4, 1},
		{"sink too small for the blade's chord of 217 mm",
			"COUNTER: 0,0 2400,0 2400,650 0,650 close\nCUTOUT: 800,100 1000,100 1000,300 800,300 close",
			6100, 800, 4, 1, 0},
		{"sink of 220: room for the stops, not for the blade and its allowance",
			"COUNTER: 0,0 2400,0 2400,650 0,650 close\nCUTOUT: 800,100 1020,100 1020,320 800,320 close",
			6100, 880, 4, 1, 0},
		{"sink of 230: just room enough",
			"COUNTER: 0,0 2400,0 2400,650 0,650 close\nCUTOUT: 800,100 1030,100 1030,330 800,330 close",
			6100 + 920 - 8*short3cm, 8 * short3cm, 8, 4, 0},
		{"sink over the front edge: its sides are the outline's",
			"COUNTER: 0,0 2400,0 2400,650 0,650 close\nSINK: 800,-50 1600,-50 1600,450 800,450 close",
			1600 + 1300 + 2400 + 1700 - 4*short3cm, 4 * short3cm, 8, 2, 0},
		{"step of a seam: 38.1 mm is less than the stop",
			"COUNTER: 0,0 876.3,0 876.3,38.1 1800,38.1 1800,650 0,650 close",
			1800 + 611.9 + 1800 + 650 - short3cm, 38.1 + short3cm, 5, 1, 0},
		{"round top", "COUNTER: circle 0,0 d900", 0, 900 * math.Pi, 0, 1, 0},
		{"clipped corner shorter than a cut is worth",
			"COUNTER: 30,0 2400,0 2400,650 0,650 0,30 close", 6100 - 60, 30 * math.Sqrt2, 4, 1, 0},
		{"clipped corner worth a cut",
			"COUNTER: 60,0 2400,0 2400,650 0,650 0,60 close", 6100 - 120 + 60*math.Sqrt2, 0, 5, 0, 0},
		{"front edge in three lines is one cut",
			"COUNTER: 0,0 800,0 1500,0 2400,0 2400,650 0,650 close", 6100, 0, 4, 0, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p, s := onePiece(t, tc.drawing)
			near(t, "saw", s.SawLength, tc.saw, 1e-6)
			near(t, "router", s.RouterLeft, tc.router, 1e-6)
			addsUp(t, p, &s)
			if len(s.Cuts) != tc.cuts || len(s.Router) != tc.runs || s.Holes != tc.holes {
				t.Errorf("%d cuts, %d runs, %d holes; want %d, %d, %d", len(s.Cuts), len(s.Router), s.Holes, tc.cuts, tc.runs, tc.holes)
			}
		})
	}
}

// addsUp checks that saw and router share the perimeters, that cuts and parts
// are as long as they are told, and that both lie on the boundary.
func addsUp(t testing.TB, p *piece.Piece, s *Setup) {
	t.Helper()
	want := p.Outline.Length()
	curves := append([]geom.Curve(nil), p.Outline...)
	for _, c := range p.Cutouts {
		if c.Kind != piece.Hole && !c.OverEdge {
			want += c.Loop.Length()
			curves = append(curves, c.Loop...)
		}
	}
	near(t, "saw + router against the perimeters", s.SawLength+s.RouterLeft, want, 1e-6)
	index := geom.NewIndex(curves)
	onBoundary := func(q geom.Point) {
		if _, foot, ok := index.Nearest(q); !ok || foot.Distance(q) > 2*sameLine {
			t.Errorf("%v lies off the boundary", q)
		}
	}
	var sawn, routed float64
	for _, c := range s.Cuts {
		sawn += c.Length
		near(t, "cut from end to end", c.From.Distance(c.To), c.Length, 1e-6)
		onBoundary(c.From)
		onBoundary(c.To)
		if c.Start.Short < 0 || c.End.Short < 0 || (c.Start.Short > 0) != (c.Start.Why != "") || (c.End.Short > 0) != (c.End.Why != "") {
			t.Errorf("stops %+v %+v", c.Start, c.End)
		}
	}
	for _, r := range s.Router {
		sum := 0.0
		for _, part := range r.Parts {
			sum += part.Curve.Length()
			onBoundary(part.Curve.Middle())
			if part.Why == "" {
				t.Errorf("part %+v without a reason", part)
			}
		}
		near(t, "run", r.Length, sum, 1e-6)
		routed += r.Length
	}
	near(t, "sum of the cuts", sawn, s.SawLength, 1e-6)
	near(t, "sum of the runs", routed, s.RouterLeft, 1e-6)
}

func TestCutsTellStopsAndEdges(t *testing.T) {
	_, s := onePiece(t, "COUNTER: 0,0 2400,0 2400,650 650,650 650,1850 0,1850 close")
	var got []string
	for _, c := range s.Cuts {
		got = append(got, fmt.Sprintf("%v %.0f %.1f/%q %.1f/%q", c.Edges, c.AngleDeg, c.Start.Short, c.Start.Why, c.End.Short, c.End.Why))
	}
	want := []string{
		`[1] 0 0.0/"" 0.0/""`, `[2] 90 0.0/"" 0.0/""`, `[3] 0 0.0/"" 80.3/"inside corner"`,
		`[4] 90 80.3/"inside corner" 0.0/""`, `[5] 0 0.0/"" 0.0/""`, `[6] 90 0.0/"" 0.0/""`,
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// Past an outside corner the blade runs on until other stone of the piece.
func TestOverrunIntoThePiece(t *testing.T) {
	// A tab of 100 mm ends 50 mm before a taller part of the same piece: cutting
	// its top the blade would run into that part.
	_, s := onePiece(t, "COUNTER: 0,0 1000,0 1000,600 900,600 900,300 850,300 850,400 0,400 close")
	for _, c := range s.Cuts {
		if len(c.Edges) == 1 && math.Abs(c.From.Y-400) < 1e-9 && c.AngleDeg == 0 {
			near(t, "stops short of the outside corner by what 50 mm of run do not cover", c.Start.Short, short3cm-50, 1e-6)
			if !strings.Contains(c.Start.Why, "50 mm past the corner") || c.End.Short != 0 {
				t.Errorf("stops %+v %+v", c.Start, c.End)
			}
			return
		}
	}
	t.Errorf("no cut along the tab's top: %+v", s.Cuts)
}

// A corner of less than a right angle in the waste stops the kerf's far side
// before the near one: with a kerf of 4 mm at 45 degrees, 4 mm earlier.
func TestAcuteWaste(t *testing.T) {
	_, s := onePiece(t, "COUNTER: 0,0 3000,0 3000,800 1000,800 2000,1800 0,1800 close")
	for _, c := range s.Cuts {
		if len(c.Edges) == 1 && math.Abs(c.To.Y-800) < 1e-9 && c.AngleDeg == 0 {
			near(t, "short", c.End.Short, short3cm+4, 1e-6)
			return
		}
	}
	t.Errorf("no cut: %+v", s.Cuts)
}

// The length a blade can cut, on random rectilinear and slanted outlines, agrees
// with a walk of the kerf along the straight in small steps.
func TestFreeAgainstWalk(t *testing.T) {
	rnd := seeded(t, 5)
	saw := Default().Saw
	b := saw.blade(30)
	for range 20 {
		l := comb(rnd.IntN(6)+2, func() float64 { return 20 + 500*rnd.Float64() }, rnd.Float64()*6)
		index := geom.NewIndex(l)
		for _, s := range straights(l) {
			tr := newTrack(&s, b)
			free := tr.free(l, index)
			for x := -tr.room + 0.5; x < tr.length+tr.room; x += 17.3 {
				probe := geom.Line(tr.at.Add(tr.along.Mul(x)).Add(tr.out.Mul(tr.from)), tr.at.Add(tr.along.Mul(x)).Add(tr.out.Mul(tr.to)))
				hit := false
				for _, c := range l {
					hit = hit || geom.Nearest(c, probe).Length() < 1e-7
				}
				in := false
				for _, f := range free {
					in = in || x > f.from && x < f.to
				}
				if hit && in {
					t.Fatalf("loop %v: x %.2f is free in %v, yet a curve crosses the kerf", l, x, free)
				}
				if !hit && !in && !blockedNear(free, x) {
					t.Fatalf("loop %v: x %.2f is taken in %v, yet nothing crosses the kerf", l, x, free)
				}
			}
		}
	}
}

// blockedNear reports whether x lies within a step of an end of a free stretch.
func blockedNear(free []interval, x float64) bool {
	for _, f := range free {
		if math.Abs(f.from-x) < 1e-6 || math.Abs(f.to-x) < 1e-6 {
			return true
		}
	}
	return false
}

// comb is an outline with n teeth of random widths and heights, turned.
func comb(n int, size func() float64, turn float64) geom.Loop {
	pts := []geom.Point{{X: 0, Y: -300}}
	x := 0.0
	var top []geom.Point
	for range n {
		h := size()
		w := size() / 3
		top = append(top, geom.Point{X: x, Y: h}, geom.Point{X: x + w, Y: h})
		x += w
		top = append(top, geom.Point{X: x, Y: 0}, geom.Point{X: x + w/2, Y: 0})
		x += w / 2
	}
	pts = append(pts, geom.Point{X: x, Y: -300})
	for i := len(top) - 1; i >= 0; i-- {
		pts = append(pts, top[i])
	}
	return geom.Polygon(pts...).Rotate(turn)
}

// On random outlines with cutouts and arcs nothing is lost between the machines.
func TestSharesAddUp(t *testing.T) {
	rnd := seeded(t, 6)
	s := Default()
	for range 200 {
		l := comb(rnd.IntN(8)+1, func() float64 { return 5 + 600*rnd.Float64() }, rnd.Float64()*6)
		if rnd.IntN(2) == 0 { // a bow on the back
			l[0].Bulge = 0.1 * rnd.Float64()
		}
		p := &piece.Piece{ID: "A", Outline: l, Thickness: []float64{12, 20, 30, 100}[rnd.IntN(4)]}
		set := SetUp(p, &piece.Template{}, &s)
		addsUp(t, p, &set)
	}
}

func TestBevels(t *testing.T) {
	p, s := onePiece(t, "COUNTER: 0,0 2400,0 2400,650 0,650 close\nFINISHED MITRE: 0,0 2400,0\nFINISHED: 2400,0 2400,650")
	if len(s.Bevels) != 1 || s.Bevels[0].Edge != 1 || s.Bevels[0].Length != 2400 {
		t.Fatalf("bevels %+v of edges %+v", s.Bevels, p.Edges)
	}
	if len(s.Notes) != 1 || !strings.Contains(s.Notes[0], "edge 1 is marked") {
		t.Errorf("notes %q", s.Notes)
	}
	for _, c := range s.Cuts {
		// 2000 mm/min in granite, half of it for the mitre, 0.3 min set-up: the
		// defaults, common practice.
		want := c.Length/2000 + 0.3
		if c.Bevel {
			want = c.Length/1000 + 0.3
		}
		near(t, "minutes", c.Minutes, want, 1e-9)
		if c.Bevel != (len(c.Edges) == 1 && c.Edges[0] == 1) {
			t.Errorf("cut %+v", c)
		}
	}
}

func TestBladeTooSmall(t *testing.T) {
	p := template(t, "COUNTER: 0,0 2400,0 2400,650 0,650 close").Pieces[0]
	p.Thickness = 150
	d := Default()
	s := SetUp(&p, &piece.Template{}, &d)
	if s.SawLength != 0 || s.RouterLeft != 6100 || len(s.Notes) != 1 || !strings.Contains(s.Notes[0], "does not cut through 150.0 mm") {
		t.Errorf("saw %v router %v notes %q", s.SawLength, s.RouterLeft, s.Notes)
	}
}

// A wall line with a hair's kink, as measuring devices give it, is no corner.
func TestKinkedWall(t *testing.T) {
	_, s := onePiece(t, "COUNTER: 0,0 3000,0 3000,650 1500,650.5 0,650 close")
	near(t, "router", s.RouterLeft, 0, 1e-9)
	_, s = onePiece(t, "COUNTER: 0,0 3000,0 3000,650 1500,649.9 0,650 close")
	near(t, "router", s.RouterLeft, 0, 1e-9)
	_, s = onePiece(t, "COUNTER: 0,0 3000,0 3000,650 1500,650 1500,650.06 0,650.06 close")
	near(t, "router at a step of 0.06 mm", s.RouterLeft, 0.06, 1e-9)
	_, s = onePiece(t, "COUNTER: 0,0 3000,0 3000,650 1500,650 1500,650.6 0,650.6 close")
	near(t, "router at a step of 0.6 mm", s.RouterLeft, 0.6+short3cm, 1e-6)
	// At 5 mm in 1500 (0.38 degrees) the blade would cut into the stone once it
	// runs farther than 0.1 mm / tan: it stops short for the rest.
	_, s = onePiece(t, "COUNTER: 0,0 3000,0 3000,650 1500,645 0,650 close")
	turn := 2 * math.Atan2(5, 1500)
	near(t, "router", s.RouterLeft, 2*(short3cm-graze/math.Sin(turn)*math.Cos(turn)), 1e-3)
}

// A slot narrower than the kerf is no place for the blade, however its far side
// is drawn.
func TestSlotNarrowerThanTheKerf(t *testing.T) {
	// 3 mm wide and 600 long, its far side with a nib of 1 mm in the middle.
	_, s := onePiece(t, "COUNTER: 0,0 2000,0 2000,400 1400,400 1400,403 1600,403 1600,402 1700,402 1700,403 2000,403 2000,800 0,800 close")
	for _, c := range s.Cuts {
		if c.AngleDeg == 0 && c.From.Y > 1 && c.From.Y < 799 {
			t.Errorf("a cut along the slot: %+v", c)
		}
	}
}

func TestStraights(t *testing.T) {
	line := func(x0, y0, x1, y1 float64) geom.Curve { return geom.Line(pt(x0, y0), pt(x1, y1)) }
	s := newStraight(line(0, 0, 100, 0))
	for _, tc := range []struct {
		name string
		next geom.Curve
		want bool
	}{
		{"goes on", line(100, 0, 200, 0), true},
		{"goes on within a hundredth", line(100, 0, 200, 0.009), true},
		{"turns", line(100, 0, 200, 0.02), false},
		{"runs back", line(100, 0, 50, 0), false},
		{"an arc", geom.Curve{A: pt(100, 0), B: pt(200, 0), Bulge: 0.001}, false},
	} {
		if s.takes(tc.next) != tc.want {
			t.Errorf("%s: want %v", tc.name, tc.want)
		}
	}
	for dir, want := range map[geom.Point]float64{pt(1, 0): 0, pt(-1, 0): 0, pt(1, -1e-13): 0, pt(0, -1): 90, pt(-1, 1): 135} {
		near(t, "angle", angleDeg(dir), want, 1e-9)
	}
}

// An arc that turns back within the kerf's strip takes it as far as it reaches,
// not just from end to end: half a circle of 1 mm, both ends above each other.
func TestArcWithinTheStrip(t *testing.T) {
	s := newStraight(geom.Line(geom.Point{}, geom.Point{X: 1000}))
	track := newTrack(&s, blade{kerf: 4, plunge: 100})
	for bulge, want := range map[float64][2]float64{1: {499, 500}, -1: {500, 501}} {
		c := geom.Curve{A: geom.Point{X: 500, Y: -1}, B: geom.Point{X: 500, Y: -3}, Bulge: bulge}
		from, to := math.Inf(1), math.Inf(-1)
		for _, k := range track.taken(c) {
			from, to = math.Min(from, k.from), math.Max(to, k.to)
		}
		near(t, "from", from, want[0], 1e-9)
		near(t, "to", to, want[1], 1e-9)
	}
}

// A stretch is one wherever the loop starts: here in the middle of the front.
func TestStraightsOverTheStart(t *testing.T) {
	l := geom.Polygon(pt(500, 0), pt(2400, 0), pt(2400, 650), pt(0, 650), pt(0, 0))
	got := straights(l)
	if len(got) != 4 {
		t.Fatalf("%d stretches, want 4", len(got))
	}
	front := slices.IndexFunc(got, func(s straight) bool { return s.from() == pt(0, 0) })
	if front < 0 {
		t.Fatal("no stretch starts at the corner")
	}
	near(t, "front", got[front].length, 2400, 1e-9)
}

// Stone that comes within the kerf of the middle of a straight, here a tooth that
// ends 2 mm before the lower side of a channel, divides its cut in two. With the
// default 400 mm blade in 30 mm stone a cut ends c(32) - c(2) = 80.3038 mm before
// what is in the way (trade-figures, section 12); from the open end it runs in.
func TestTwoCutsOnAStraight(t *testing.T) {
	const short = 80.3038
	p, s := onePiece(t, "COUNTER: 0,0 2400,0 2400,300 400,300 400,800 1100,800 1100,302 1300,302 1300,800 2400,800 2400,1100 0,1100 close")
	type span struct{ from, to float64 }
	var got []span
	for _, c := range s.Cuts {
		if c.From.Y == 300 && c.To.Y == 300 {
			got = append(got, span{c.From.X, c.To.X})
			near(t, "length", c.Length, c.From.X-c.To.X, 1e-9)
		}
	}
	if len(got) != 2 {
		t.Fatalf("cuts along the lower side %v, want two", got)
	}
	near(t, "the first starts", got[0].from, 2400, 1e-6)
	near(t, "the first ends", got[0].to, 1300+short, 1e-3)
	near(t, "the second starts", got[1].from, 1100-short, 1e-3)
	near(t, "the second ends", got[1].to, 400+short, 1e-3)
	routed := 0.0
	for _, r := range s.Router {
		length := 0.0
		for _, part := range r.Parts {
			length += part.Curve.Length()
		}
		near(t, "a run is as long as its parts", r.Length, length, 1e-9)
		routed += r.Length
	}
	near(t, "sawn and routed", s.SawLength+routed, p.Outline.Length(), 1e-6)
}
