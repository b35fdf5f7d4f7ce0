package shop

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

func pt(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

func box(l, w float64) geom.Loop { return geom.Polygon(pt(0, 0), pt(l, 0), pt(l, w), pt(0, w)) }

func TestFits(t *testing.T) {
	const s2 = math.Sqrt2
	halfDisc := geom.Loop{geom.Line(pt(-500, 0), pt(500, 0)), {A: pt(500, 0), B: pt(-500, 0), Bulge: 1}}
	for _, tc := range []struct {
		name            string
		loop            geom.Loop
		length, breadth float64
		want            bool
		source          string
	}{
		{"just fits", box(3000, 1300), 3000, 1300, true, "equal passes"},
		{"one thousandth too long", box(3000.001, 1300), 3000, 1300, false, "by hand"},
		{"fits turned by 90", box(1300, 3000), 3000, 1300, true, "by hand"},
		{"strip on the diagonal", box(3300, 10), 3000, 1400, true, "p q sides 3000 1400: diagonal 3310.6"},
		{"square in a square turned by 45", box(1000, 1000).Rotate(math.Pi / 4), 1000, 1000, true, "by hand"},
		{"circle of the breadth", geom.Circle(pt(3, 4), 650), 1300, 1300, true, "by hand"},
		{"circle a hair too large", geom.Circle(pt(3, 4), 650.001), 1300, 1300, false, "by hand"},
		{"longest strip on a square", box(20*s2-1, 1), 20, 20, true, "at 45 degrees (L + w) / sqrt 2 = s: L = 20 sqrt 2 - 1"},
		{"a hair longer", box(20*s2-1+0.001, 1), 20, 20, false, "the same"},
		{"half disc in its own box", halfDisc, 1000, 500, true, "by hand"},
		{"half disc in the smallest square", halfDisc, 853.6, 853.6, true, "at 45 degrees r (1 + 1/sqrt 2) = 853.553"},
		{"half disc in less than the smallest square", halfDisc, 853.5, 853.5, false, "the same"},
		{"nothing", nil, 10, 10, true, "no stone"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, turn := range []float64{0, 0.3, 2, 4.5} {
				l := tc.loop.Rotate(turn).Translate(pt(5000*turn, -300))
				deg, ok := fitsIn(l, tc.length, tc.breadth)
				if ok != tc.want {
					t.Fatalf("turned by %v: fits %v, want %v (%s)", turn, ok, tc.want, tc.source)
				}
				if ok && len(l) > 0 {
					dir := pt(1, 0).Rotate(deg * math.Pi / 180)
					a, b := l.Extent(dir)
					c, d := l.Extent(dir.Left())
					if b-a > tc.length+1e-5 || d-c > tc.breadth+1e-5 {
						t.Errorf("at %v degrees it takes %v x %v", deg, b-a, d-c)
					}
				}
			}
		})
	}
}

// Carver's condition for a p x q rectangle, p > a, in an a x b one, a >= b
// (Classroom notes, American Mathematical Monthly 64 (1957), problem E1225, from
// memory): b >= (2 p q a + (p^2 - q^2) sqrt(p^2 + q^2 - a^2)) / (p^2 + q^2).
func TestFitsAgainstRectangleInRectangle(t *testing.T) {
	rnd := seeded(t, 21)
	longer := 0
	for range 3000 {
		a := 1000 + 2000*rnd.Float64()
		p, q := a*(0.9+0.5*rnd.Float64()), a*rnd.Float64()
		if q > p {
			p, q = q, p
		}
		need := q
		if p > a {
			longer++
			need = (2*p*q*a + (p*p-q*q)*math.Sqrt(p*p+q*q-a*a)) / (p*p + q*q)
		}
		if need > a { // the condition is for the longer side a
			continue
		}
		l := box(p, q).Rotate(7 * rnd.Float64())
		if _, ok := fitsIn(l, a, need+1e-3); !ok {
			t.Fatalf("%v x %v does not fit %v x %v", p, q, a, need+1e-3)
		}
		if _, ok := fitsIn(l, a, need-1e-3); ok {
			t.Fatalf("%v x %v fits %v x %v", p, q, a, need-1e-3)
		}
	}
	if longer < 500 {
		t.Fatalf("only %d rectangles longer than the slab", longer)
	}
}

// Brute force: extents of the loop at every tenth of a degree. A rotation
// found there has to be found; where the exact test fits, brute force comes
// within what a twentieth of a degree moves the loop.
func TestFitsAgainstBruteForce(t *testing.T) {
	rnd := seeded(t, 22)
	var yes, no, between int
	for range 80 {
		l := blob(rnd.IntN(7)+3, func() float64 { return rnd.Float64() })
		length, breadth := 1200+1500*rnd.Float64(), 900+900*rnd.Float64()
		_, ok := fitsIn(l, length, breadth)
		best := math.Inf(1)
		const n = 1800
		for k := range n {
			u := pt(1, 0).Rotate(float64(k) * math.Pi / n)
			a, b := l.Extent(u)
			c, d := l.Extent(u.Left())
			best = math.Min(best, math.Max(b-a-length, d-c-breadth))
		}
		moved := 3000 * math.Pi / n / 2 // the loop's size times half a step
		switch {
		case best <= 0 && !ok:
			t.Fatalf("brute force fits %v into %v x %v by %v", l, length, breadth, -best)
		case best > moved && ok:
			t.Fatalf("fits %v into %v x %v, brute force lacks %v", l, length, breadth, best)
		case best > 0 && best <= moved:
			between++
		case ok:
			yes++
		default:
			no++
		}
		w := newWidths(l)
		more := w.excess(length, breadth)
		if more > math.Max(0, best)+1e-5 || more < best-moved {
			t.Errorf("excess %v, brute force %v", more, best)
		}
		angle, _ := w.fit(length+more, breadth+more)
		if w.at(angle) > length+more+1e-5 || w.at(angle+math.Pi/2) > breadth+more+1e-5 {
			t.Errorf("excess %v is not enough at %v", more, angle)
		}
	}
	if yes < 15 || no < 15 || between > 15 {
		t.Fatalf("%d fit, %d do not, %d are too near to tell: the sizes test little", yes, no, between)
	}
}

// blob is a star-shaped loop of lines and arcs about 1 to 2.5 m large.
func blob(n int, random func() float64) geom.Loop {
	var pts []geom.Point
	for i := range n {
		pts = append(pts, pt(300+900*random(), 0).Rotate(2*math.Pi*float64(i)/float64(n)))
	}
	l := geom.Polygon(pts...)
	for i := range l {
		if random() < 0.4 {
			l[i].Bulge = 0.25 * random()
		}
	}
	return l
}

// Wherever the width passes the limit, a critical direction stands.
func TestCriticalDirections(t *testing.T) {
	rnd := seeded(t, 23)
	passed := 0
	for range 200 {
		l := blob(rnd.IntN(7)+3, rnd.Float64)
		w := newWidths(l)
		limit := 900 + 1400*rnd.Float64()
		critical := w.critical(limit)
		const n = 720
		for k := range n {
			a, b := float64(k)*math.Pi/n, float64(k+1)*math.Pi/n
			if (w.at(a) <= limit) == (w.at(b) <= limit) {
				continue
			}
			passed++
			if !slices.ContainsFunc(critical, func(c float64) bool { return c >= a && c <= b && math.Abs(w.at(c)-limit) < 1e-6 }) {
				t.Fatalf("%v: the width passes %v between %v and %v; critical %v", l, limit, a, b, critical)
			}
		}
	}
	if passed < 200 {
		t.Fatalf("only %d passings", passed)
	}
}

func TestFitSlab(t *testing.T) {
	d := Default()
	d.Slabs = []Slab{
		{Name: "veined", Length: 3048, Width: 1372, Margin: 24, Material: "marble", Veined: true},
		{Name: "plain", Length: 3048, Width: 1372, Margin: 24, Material: "granite"},
		{Name: "upright", Length: 1372, Width: 3048, Material: "limestone", Thickness: 30, Veined: true},
		{Name: "large", Length: 3240, Width: 1620, Margin: 10, Thickness: 12},
	}
	strip := box(3150, 60) // longer than 3000, on the diagonal of 3000 x 1324 it fits
	for _, tc := range []struct {
		name      string
		loop      geom.Loop
		material  string
		thickness float64
		slab      string
		ok        bool
	}{
		{"on the diagonal of a plain slab", strip, "granite", 30, "plain", true},
		{"not on a veined one", strip, "marble", 30, "veined", false},
		{"the first that fits", box(3100, 1600), "granite", 12, "large", true},
		{"across the veins", box(1300, 2900), "marble", 30, "veined", true},
		{"drawn at an angle it still lies along the veins", box(2900, 1300).Rotate(0.7), "marble", 30, "veined", true},
		{"the one least too small", box(3230, 1650), "granite", 12, "large", false},
		{"a slab told by its short side first", box(2900, 1300), "limestone", 30, "upright", true},
		{"too wide for a slab told by its short side", box(2900, 1400), "limestone", 30, "upright", false},
		{"3 cm named 1-1/4 in", box(2900, 1300), "limestone", 31.75, "upright", true},
		{"2 cm is another slab", box(2900, 1300), "limestone", 20, "", false},
		{"no slab of its kind", box(100, 100), "porcelain", 30, "", false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := fitSlab(&piece.Piece{Outline: tc.loop, Thickness: tc.thickness}, geom.SmallestRectangle(tc.loop), tc.material, &d)
			if got.Slab != tc.slab || got.OK != tc.ok || (got.Why == "") != (tc.slab != "") {
				t.Errorf("%+v", got)
			}
		})
	}
	got := fitSlab(&piece.Piece{Outline: strip, Thickness: 30}, geom.SmallestRectangle(strip), "marble", &d)
	near(t, "has", got.HasLength, 3000, 1e-9)
	near(t, "lacks", got.More, 150, 1e-6)
	got = fitSlab(&piece.Piece{Outline: box(3010, 1324), Thickness: 30}, geom.SmallestRectangle(box(3010, 1324)), "granite", &d)
	near(t, "lacks, turned any way", got.More, 10, 1e-4)
}

// optimalBins packs by trying everything: the truth for a few items.
func optimalBins(sizes []float64) int {
	best := len(sizes)
	var bins []float64
	var put func(i int)
	put = func(i int) {
		if len(bins) >= best {
			return
		}
		if i == len(sizes) {
			best = len(bins)
			return
		}
		for b := range bins {
			if bins[b]+sizes[i] <= 1+1e-9 {
				bins[b] += sizes[i]
				put(i + 1)
				bins[b] -= sizes[i]
			}
		}
		bins = append(bins, sizes[i])
		put(i + 1)
		bins = bins[:len(bins)-1]
	}
	put(0)
	return best
}

func TestLeastBins(t *testing.T) {
	for _, tc := range []struct {
		sizes []float64
		want  int
	}{
		{nil, 0}, {[]float64{1}, 1}, {[]float64{0.5, 0.5}, 1}, {[]float64{0.6, 0.6, 0.6}, 3},
		{[]float64{0.7, 0.4, 0.4}, 2}, {[]float64{0.6, 0.6, 0.5, 0.5}, 3}, {[]float64{0.1, 0.2, 0.7}, 1},
		{[]float64{0.9, 0.21, 0.21, 0.21, 0.21, 0.21}, 3},
	} {
		if got := leastBins(tc.sizes); got != tc.want {
			t.Errorf("%v: %d, want %d (by hand)", tc.sizes, got, tc.want)
		}
	}
	rnd := seeded(t, 31)
	met := 0
	for range 400 {
		sizes := make([]float64, rnd.IntN(8)+1)
		sum := 0.0
		for i := range sizes {
			sizes[i] = 0.05 + 0.9*rnd.Float64()
			sum += sizes[i]
		}
		got, best := leastBins(sizes), optimalBins(sizes)
		if got > best || float64(got) < sum-1e-9 {
			t.Fatalf("%v: bound %d, best %d, sum %v", sizes, got, best, sum)
		}
		if got == best {
			met++
		}
	}
	if met < 300 {
		t.Errorf("the bound is met in %d of 400 cases only", met)
	}
}

func TestSlabBound(t *testing.T) {
	text := ""
	for i := range 3 { // 2 m2 each: two do not share 4.06 m2 less the margins
		text += fmt.Sprintf("COUNTER: %d,0 %d,0 %d,1000 %d,1000 close\n", 4000*i, 4000*i+2100, 4000*i+2100, 4000*i)
	}
	text += "COUNTER: 0,3000 500,3000 500,3500 0,3500 close\nCOUNTER: 0,5000 3040,5000 3040,6335 0,6335 close"
	tpl := template(t, text)
	d := Default()
	got := SlabBound(tpl, &d, nil)
	if len(got) != 1 || got[0].Least != 3 || len(got[0].TooBig) != 1 || len(got[0].Pieces) != 4 {
		t.Fatalf("%+v", got)
	}
	near(t, "area", got[0].Area, 3*2.1e6+0.25e6, 1e-3)
	near(t, "slab", got[0].SlabArea, (3048-25.4)*(1372-25.4), 1e-6)
	d.Slabs = nil
	if got := SlabBound(tpl, &d, nil); len(got) != 0 {
		t.Errorf("without slabs: %+v", got)
	}
}

// fitsIn reports whether the loop fits a rectangle of length x breadth in some
// rotation, and the direction in degrees along which the rectangle's length then
// lies. An empty loop fits.
func fitsIn(l geom.Loop, length, breadth float64) (angleDeg float64, ok bool) {
	if len(l) == 0 {
		return 0, true
	}
	angle, ok := newWidths(l).fit(length, breadth)
	return angle * 180 / math.Pi, ok
}

// A direction is told as 0 <= a < 180 degrees, a rounding under 0 too.
func TestHalfTurn(t *testing.T) {
	for _, a := range []float64{0, -1e-17, -5e-17, -1e-9, 1, math.Pi, -math.Pi, 2*math.Pi - 1e-16, 7} {
		got := halfTurn(a)
		if !(got >= 0 && got < math.Pi) || math.Abs(math.Sin(got-a)) > 1e-12 {
			t.Errorf("%v becomes %v", a, got)
		}
	}
}

// The bound tells by what it is one, kinds in order: 3 pieces of 2.1 m2 fill two
// slabs of 4.07 m2 by area, and no two of them share one.
func TestSlabBoundSaysWhy(t *testing.T) {
	large := func(id, material string) piece.Piece {
		return piece.Piece{ID: id, Material: material, Thickness: 30, Outline: box(2100, 1000)}
	}
	tpl := &piece.Template{Pieces: []piece.Piece{large("A", "marble"), large("B", "marble"), large("C", "marble"), large("D", "granite")}}
	d := Default()
	got := SlabBound(tpl, &d, nil)
	if len(got) != 2 || got[0].Material != "granite" || got[1].Material != "marble" || got[0].Least != 1 || got[1].Least != 3 {
		t.Fatalf("%+v", got)
	}
	const share = "pieces too large to share a slab"
	if strings.Contains(got[0].Why, share) || !strings.Contains(got[1].Why, share) {
		t.Errorf("why: %q and %q", got[0].Why, got[1].Why)
	}
	if !strings.Contains(got[1].Why, "6.30 m2 of stone on slabs of 4.07 m2 usable") {
		t.Errorf("why: %q", got[1].Why)
	}
}

// boundTwo is Martello and Toth's L2 word by word, for every a: n^2 in the items.
func boundTwo(sizes []float64) int {
	least := 0
	for _, a := range append([]float64{0}, sizes...) {
		if a > 0.5 {
			continue
		}
		alone, half, room, small := 0, 0, 0.0, 0.0
		for _, s := range sizes {
			switch {
			case s > 1-a:
				alone++
			case s > 0.5:
				half++
				room += 1 - s
			case s >= a:
				small += s
			}
		}
		least = max(least, alone+half+max(0, int(math.Ceil(small-room-binRounding))))
	}
	return least
}

// The bound by sums is the bound by its definition, and a drawing of very many
// pieces ends: pair by pair 300,000 of them would take minutes.
func TestLeastBinsByDefinition(t *testing.T) {
	const seed = 12
	r := rand.New(rand.NewPCG(seed, 1))
	for i := range 3000 {
		sizes := make([]float64, r.IntN(14))
		for k := range sizes {
			sizes[k] = r.Float64()
			if i%2 == 0 { // sizes that are equal, or fill a bin together
				sizes[k] = float64(1+r.IntN(8)) / 8
			}
		}
		if got, want := leastBins(sizes), boundTwo(sizes); got != want {
			t.Fatalf("seed %d: %v need %d, want %d", seed, sizes, got, want)
		}
	}
	many := make([]float64, 300_000)
	for k := range many {
		many[k] = 0.25
	}
	many[0] = 0.26
	if got := leastBins(many); got != 75_001 { // 299,999 quarters and a little more
		t.Errorf("%d", got)
	}
	for k := range many {
		many[k] = 0.1 + 0.3*r.Float64()
	}
	if got, area := leastBins(many), 0.25*float64(len(many)); math.Abs(float64(got)-area) > 0.01*area {
		t.Errorf("%d bins for some %.0f of area", got, area)
	}
}
