package shop

import (
	"math"
	"testing"

	"trueup/dxfio/geom"
)

// Masses worked from area, thickness and density.
func TestMass(t *testing.T) {
	const inch, lb = 25.4, 0.45359237
	for _, tc := range []struct {
		name                             string
		area, thickness, density, kilogs float64
		within                           float64
	}{
		{"1 m2 of 1 cm at 2700", 1e6, 10, 2700, 27, 1e-9},
		{"1 m2 of 2 cm at 2700", 1e6, 20, 2700, 54, 1e-9},
		{"1 m2 of 3 cm at 2700", 1e6, 30, 2700, 81, 1e-9},
		{"1 m2 of 12 mm at 2400", 1e6, 12, 2400, 28.8, 1e-9},
		{"60 x 25.5 x 1.25 in at 168 lb/ft3: 185.94 lb", 60 * 25.5 * inch * inch, 1.25 * inch, 168 * 16.018463373960, 84.34, 5e-3},
		{"the same in pounds", 60 * 25.5 * inch * inch, 1.25 * inch, 168 * 16.018463373960, 185.9375 * lb, 1e-6},
	} {
		near(t, tc.name, Mass(tc.area, tc.thickness, tc.density), tc.kilogs, tc.within)
	}
	// L of 2400 x 650 and 650 x 1200, 3 cm granite: 189.54 kg, centroid by the
	// polygon formulas.
	_, s := onePiece(t, "COUNTER: 0,0 2400,0 2400,650 650,650 650,1850 0,1850 close")
	near(t, "mass of the L", s.Mass, 189.54, 1e-9)
	near(t, "centre x", s.Handling.Centre.X, 908.333, 5e-4)
	near(t, "centre y", s.Handling.Centre.Y, 633.333, 5e-4)
	if s.Handling.Persons != 9 { // 189.54 / 23 = 8.24
		t.Errorf("%d persons", s.Handling.Persons)
	}
	// A hole of half the width moves the centre and takes its mass along.
	_, s = onePiece(t, "COUNTER: 0,0 2000,0 2000,600 0,600 close\nSINK: 1000,100 1800,100 1800,500 1000,500 close")
	near(t, "net mass", s.Mass, (1.2-0.32)*81, 1e-9)
	near(t, "net centre", s.Handling.Centre.X, (1.2*1000-0.32*1400)/0.88, 1e-6)
}

// The worked checks of the revised NIOSH lifting equation, DHHS (NIOSH) 94-110:
// multipliers by hand, frequency and coupling from its tables (from memory).
func TestPersonLoad(t *testing.T) {
	for _, tc := range []struct {
		name string
		lift Lift
		want float64
	}{
		{"best conditions", Default().Lift, 23},
		{"H 40 V 75 D 25", Lift{Load: 23, Horizontal: 400, Vertical: 750, Travel: 250, Frequency: 1, Coupling: 1}, 14.375},
		{"H 50 V 90 D 60 A 30 FM 0.94 CM 0.90", Lift{Load: 23, Horizontal: 500, Vertical: 900, Travel: 600, TurnDeg: 30, Frequency: 0.94, Coupling: 0.90}, 7.517},
		{"V 60, as far below 75 as 90 is above", Lift{Load: 23, Horizontal: 250, Vertical: 600, Travel: 250, Frequency: 1, Coupling: 1}, 23 * 0.955},
		{"nearer and shorter count as best", Lift{Load: 23, Horizontal: 100, Vertical: 750, Travel: 10, Frequency: 1, Coupling: 1}, 23},
	} {
		near(t, tc.name, tc.lift.PersonLoad(), tc.want, 5e-4)
	}
	l := Default().Lift
	if l.Known() {
		t.Error("a shop that said nothing has a crew or gear")
	}
	l.Crew = 2
	near(t, "two people", l.Most(), 46, 1e-12)
	l.Gear = 500
	near(t, "and a crane", l.Most(), 500, 1e-12)
	l.Crew = 0
	near(t, "a crane alone", l.Most(), 500, 1e-12)
}

func TestAroundCorner(t *testing.T) {
	// Without breadth: the ladder around a corner, closed form in any calculus
	// textbook.
	ladder := func(a, b float64) float64 {
		return math.Pow(math.Cbrt(a*a)+math.Cbrt(b*b), 1.5)
	}
	near(t, "corridors 1 and 8: 5 sqrt 5", ladder(1, 8), 5*math.Sqrt(5), 1e-12)
	for _, c := range [][2]float64{{1, 8}, {900, 900}, {800, 1200}, {2000, 700}} {
		near(t, "no breadth", AroundCorner(c[0], c[1], 0), ladder(c[0], c[1]), 1e-8)
	}
	// Equal corridors: by symmetry at 45 degrees, 2 (a sqrt 2 - w).
	near(t, "equal corridors", AroundCorner(900, 900, 130), 2*(900*math.Sqrt2-130), 1e-8)
	for _, w := range []float64{900, 1000} {
		if got := AroundCorner(900, 1000, w); got != 0 {
			t.Errorf("breadth %v: %v, want 0", w, got)
		}
	}
	// Brute force: the rectangle of that length is turned through the corner in
	// small steps, its outer corners on the outer walls; it must keep clear of the
	// inner corner at all of them and touch it at one.
	rnd := seeded(t, 41)
	for range 200 {
		a, b := 600+1400*rnd.Float64(), 600+1400*rnd.Float64()
		w := 0.95 * math.Min(a, b) * rnd.Float64()
		l := AroundCorner(a, b, w)
		least := math.Inf(1)
		for k := 1; k < 4000; k++ {
			v := float64(k) * math.Pi / 2 / 4000
			p, q := pt(l*math.Cos(v), 0), pt(0, l*math.Sin(v))
			u := q.Sub(p).Unit()
			least = math.Min(least, -u.Cross(pt(a, b).Sub(p))-w)
		}
		if least < -1e-6 || least > 0.01*l/1000 {
			t.Errorf("corridors %v %v breadth %v: length %v leaves %v", a, b, w, l, least)
		}
	}
}

func TestRails(t *testing.T) {
	for _, tc := range []struct {
		name, drawing string
		want          []string
	}{
		{"thin in front and behind", "COUNTER: 0,0 2400,0 2400,600 0,600 close\nSINK: 800,80 1600,80 1600,510 800,510 close", []string{"A-1"}},
		{"the same, drawn at an angle", "COUNTER: 0,0 1920,1440 1560,1920 -360,480 close\nSINK: 592,544 1232,1024 974,1368 334,888 close", []string{"A-1"}},
		{"wide behind", "COUNTER: 0,0 2400,0 2400,700 0,700 close\nSINK: 800,80 1600,80 1600,510 800,510 close", nil},
		{"thin at one end only", "COUNTER: 0,0 2400,0 2400,800 0,800 close\nSINK: 80,190 880,190 880,610 80,610 close", nil},
		{"over the front edge", "COUNTER: 0,0 2400,0 2400,600 0,600 close\nSINK: 800,-80 1600,-80 1600,510 800,510 close", nil},
		{"short cutout", "COUNTER: 0,0 2400,0 2400,600 0,600 close\nSINK: 800,80 1250,80 1250,510 800,510 close", nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, s := onePiece(t, tc.drawing)
			var got []string
			for _, r := range s.Handling.Rails {
				got = append(got, r.Cutout)
				one, other := r.Thin[0].Length(), r.Thin[1].Length()
				near(t, "the thinner rail", math.Min(one, other), 80, 1e-6)
				near(t, "the other rail", math.Max(one, other), 90, 1e-6)
			}
			if len(got) != len(tc.want) {
				t.Errorf("rails %+v, want %v", s.Handling.Rails, tc.want)
			}
		})
	}
}

func TestSeams(t *testing.T) {
	chain := func(points ...geom.Point) []geom.Curve {
		var out []geom.Curve
		for i := 1; i < len(points); i++ {
			out = append(out, geom.Line(points[i-1], points[i]))
		}
		return out
	}
	// A runs up, stone on the left; B comes down on the right side of the seam.
	a := chain(pt(0, 0), pt(0, 400), pt(38.1, 400), pt(38.1, 650))
	b := chain(pt(38.1, 650), pt(38.1, 400), pt(0, 400), pt(0, 0))
	start, end := ChainSteps(a)
	sameStepList(t, "A from its start", start, []Step{{400, 38.1}})
	sameStepList(t, "A from its end", end, []Step{{250, -38.1}})
	_, mate := ChainSteps(b)
	sameStepList(t, "B from its end", mate, []Step{{400, -38.1}})
	for _, d := range CompareSteps(start, mate) {
		if d.Place != 0 || math.Abs(d.Depth) > 1e-9 {
			t.Errorf("mates of one make differ: %+v", d)
		}
	}
	// B's step 2 mm farther and 1 mm less deep.
	_, mate = ChainSteps(chain(pt(37.1, 650), pt(37.1, 402), pt(0, 402), pt(0, 0)))
	got := CompareSteps(start, mate)
	if len(got) != 1 {
		t.Fatalf("%+v", got)
	}
	near(t, "place", got[0].Place, -2, 1e-9)
	near(t, "depth", got[0].Depth, 1, 1e-9)
	if got := CompareSteps(start, nil); len(got) != 1 || got[0].B != nil || got[0].A.At != 400 {
		t.Errorf("a step without a mate: %+v", got)
	}
	got = CompareSteps([]Step{{400, 30}}, []Step{{100, -5}, {401, -30}})
	if len(got) != 2 || got[0].A == nil || got[0].B.At != 401 || got[1].A != nil || got[1].B.At != 100 {
		t.Errorf("nearest first: %+v", got)
	}
}
