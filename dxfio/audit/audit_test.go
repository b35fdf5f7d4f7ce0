package audit

import (
	"errors"
	"math"
	"testing"

	"trueup/dxfio/geom"
)

func p(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

func rect(x0, y0, x1, y1 float64) geom.Loop {
	return geom.Polygon(p(x0, y0), p(x1, y0), p(x1, y1), p(x0, y1))
}

// as returns a loop as drawn in one entity.
func as(role Role, entity int32, l geom.Loop) []Curve {
	out := make([]Curve, len(l))
	for i, c := range l {
		out[i] = Curve{Curve: c, Role: role, Entity: entity, Layer: int32(role)}
	}
	return out
}

var limits = Limits{Join: 0.5, Facet: 2.2, Mark: 1}

func compare(t *testing.T, curves []Curve, r *Released, change func(*Drawn)) []Difference {
	t.Helper()
	d := &Drawn{Curves: curves, Limits: limits, Layers: []string{"OUTLINE", "CUTOUT", "SEAM"}}
	if change != nil {
		change(d)
	}
	found, err := Compare(d, r, nil)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// A repair explains no more than its size, and only what it touches. Figures by
// hand: a front edge drawn to 2399.7 that was joined to a side at 2400.
func TestRepairsExplainTheirSize(t *testing.T) {
	drawn := as(Outline, -1, geom.Loop{
		geom.Line(p(0, 0), p(2400, 0)), geom.Line(p(2400, 0.3), p(2400, 640)), geom.Line(p(2400, 640), p(0, 640)), geom.Line(p(0, 640), p(0, 0))})
	gap := as(Outline, -1, geom.Loop{
		geom.Line(p(0, 0), p(2398, 0)), geom.Line(p(2400, 2), p(2400, 640)), geom.Line(p(2400, 640), p(0, 640)), geom.Line(p(0, 640), p(0, 0))})
	top := []Piece{{Outline: rect(0, 0, 2400, 640)}}
	for _, tc := range []struct {
		name    string
		drawn   []Curve
		repairs []Repair
		found   int
	}{
		{"no repair", drawn, nil, 1},
		{"the repair", drawn, []Repair{{At: p(2400, 0.15), Size: 0.3}}, 0},
		{"a smaller one", drawn, []Repair{{At: p(2400, 0.15), Size: 0.1}}, 1},
		{"one elsewhere", drawn, []Repair{{At: p(0, 640), Size: 0.3}}, 1},
		{"a corner restored by 2 mm", gap, []Repair{{At: p(2399, 1), Size: 2 * math.Sqrt2}}, 0},
		{"told too small", gap, []Repair{{At: p(2399, 1), Size: 1.5}}, 1},
	} {
		if found := compare(t, tc.drawn, &Released{Pieces: top, Repairs: tc.repairs}, nil); len(found) != tc.found {
			t.Errorf("%s: %+v", tc.name, found)
		}
	}
}

// Chords that became an arc leave it by their sagitta, and by no more than the
// limit of facets whatever the repair says. r - r cos(a/2) by hand.
func TestFacets(t *testing.T) {
	const r = 300.0
	var chords geom.Loop
	const n = 24
	at := func(k int) geom.Point {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / n)
		return p(r*cos, r*sin)
	}
	for k := range n {
		chords = append(chords, geom.Line(at(k), at((k+1)%n)))
	}
	sagitta := r * (1 - math.Cos(math.Pi/n)) // 2.57 mm
	drawn := as(Outline, 1, chords)
	circle := &Released{Pieces: []Piece{{Outline: geom.Circle(p(0, 0), r)}}, Repairs: []Repair{{At: at(0), Size: sagitta, Facet: true}}}
	if found := compare(t, drawn, circle, func(d *Drawn) { d.Limits.Facet = 3 }); len(found) > 0 {
		t.Errorf("within the limit: %+v", found)
	}
	found := compare(t, drawn, circle, nil)
	if len(found) != 2 { // the chords, and the circle
		t.Fatalf("past the limit: %+v", found)
	}
	for _, d := range found {
		if math.Abs(d.Distance-sagitta) > 1e-3 {
			t.Errorf("measured %g, want %g", d.Distance, sagitta)
		}
	}
}

// What counts as told, named, cut away or only marked.
func TestWhatNeedsNoRelease(t *testing.T) {
	top := []Piece{{Outline: rect(0, 0, 2400, 640)}}
	notched := []Piece{{
		Outline: geom.Polygon(p(0, 0), p(1000, 0), p(1000, 400), p(1500, 400), p(1500, 0), p(2400, 0), p(2400, 640), p(0, 640)),
		Cutouts: []Opening{{Loop: rect(1000, -50, 1500, 400).Reverse(), OverEdge: true}},
	}}
	outline := as(Outline, 1, rect(0, 0, 2400, 640))
	line := func(role Role, a, b geom.Point) Curve { return Curve{Curve: geom.Line(a, b), Role: role, Entity: 9} }
	inStone := line(Cutout, p(300, 300), p(500, 300))
	for _, tc := range []struct {
		name   string
		extra  []Curve
		pieces []Piece
		change func(*Drawn)
		found  int // -1: some
	}{
		{"a cutout's line in stone", []Curve{inStone}, top, nil, 1},
		{"told", []Curve{{Curve: inStone.Curve, Role: Cutout, Entity: 9, Told: true}}, top, nil, 0},
		{"named", []Curve{inStone}, top, func(d *Drawn) { d.Named = []geom.Curve{inStone.Curve} }, 0},
		{"named for half of it", []Curve{inStone}, top, func(d *Drawn) { d.Named = []geom.Curve{inStone.Part(0, 0.5)} }, 1},
		{"a cutout's line beside the stone", []Curve{line(Cutout, p(0, -100), p(500, -100))}, top, nil, 0},
		{"an outline's line beside the stone", []Curve{line(Outline, p(0, -100), p(500, -100))}, top, nil, 1},
		{"a seam in stone", []Curve{line(Seam, p(500, 0), p(500, 640))}, top, nil, 1},
		{"a seam along an edge", []Curve{line(Seam, p(0, 0.9), p(2400, 0.9))}, top, nil, 0},
		{"a seam farther than a mark", []Curve{line(Seam, p(0, 1.1), p(2400, 1.1))}, top, nil, 1},
		{"a wall", []Curve{line(Mark, p(100, 100), p(2400, 100))}, top, nil, 0},
		{"an apron sink", as(Cutout, 2, rect(1000, -50, 1500, 400)), notched, nil, 0},
		{"a notch that nobody drew", nil, notched, nil, -1},
		{"a point", nil, top, func(d *Drawn) { d.Points = []Point{{At: p(1200, 60), Diameter: 35}} }, 1},
		{"a hole where the point is", nil, []Piece{{Outline: rect(0, 0, 2400, 640), Cutouts: []Opening{{Loop: geom.Circle(p(1200, 60), 17.5).Reverse()}}}},
			func(d *Drawn) { d.Points = []Point{{At: p(1200, 60), Diameter: 35}} }, 0},
		{"another hole there", nil, []Piece{{Outline: rect(0, 0, 2400, 640), Cutouts: []Opening{{Loop: geom.Circle(p(1200, 60), 18).Reverse()}}}},
			func(d *Drawn) { d.Points = []Point{{At: p(1200, 60), Diameter: 35}} }, 1},
	} {
		found := compare(t, append(append([]Curve{}, outline...), tc.extra...), &Released{Pieces: tc.pieces}, tc.change)
		if len(found) != tc.found && (tc.found >= 0 || len(found) == 0) {
			t.Errorf("%s: %+v", tc.name, found)
		}
	}
}

// A cutout that coincides with another line and was taken for nothing is seen from
// its inside though its line is released.
func TestSides(t *testing.T) {
	sink := rect(700, 150, 1300, 500)
	drawn := append(as(Outline, 1, rect(0, 0, 2400, 640)), as(Cutout, 2, sink)...)
	for _, tc := range []struct {
		name   string
		pieces []Piece
		kind   Kind
	}{
		{"the sink stayed stone of its own", []Piece{
			{Outline: rect(0, 0, 2400, 640), Cutouts: []Opening{{Loop: sink.Reverse()}}}, {Outline: sink}}, Uncut},
		{"only the sink is stone", []Piece{{Outline: sink}}, Missing},
	} {
		found := compare(t, drawn, &Released{Pieces: tc.pieces}, nil)
		ok := false
		for _, d := range found {
			ok = ok || d.Kind == tc.kind
		}
		if !ok {
			t.Errorf("%s: %+v", tc.name, found)
		}
	}
}

// The comparison ends with the error of its clock.
func TestCompareEnds(t *testing.T) {
	stop := errors.New("enough")
	_, err := Compare(&Drawn{Curves: as(Outline, 1, rect(0, 0, 1, 1)), Limits: limits}, &Released{}, func(int) error { return stop })
	if !errors.Is(err, stop) {
		t.Error(err)
	}
}

// Steps grow as n log n: ten times the tops take little more than ten times the
// steps.
func TestStepsGrowWithTheCurves(t *testing.T) {
	steps := func(n int) int {
		var drawn []Curve
		r := &Released{}
		for i := range n {
			x, y := float64(i%100)*3000, float64(i/100)*1000
			l := rect(x, y, x+2400, y+640)
			drawn = append(drawn, as(Outline, int32(i), l)...)
			r.Pieces = append(r.Pieces, Piece{Outline: l})
		}
		sum := 0
		if found, err := Compare(&Drawn{Curves: drawn, Limits: limits}, r, func(s int) error { sum += s; return nil }); err != nil || len(found) > 0 {
			t.Fatal(found, err)
		}
		return sum
	}
	few, many := steps(300), steps(3000)
	if many > 13*few {
		t.Errorf("%d steps for 300 tops, %d for 3000", few, many)
	}
}

// The boxes of a star's long slanting sides lie over each other by the thousand: the
// work still grows with their number, whichever way round the released outline runs.
func TestSlantingLinesCostNoMore(t *testing.T) {
	steps := func(n int, reverse bool) int {
		l := make(geom.Loop, n)
		at := func(i int) geom.Point {
			sin, cos := math.Sincos(2 * math.Pi * float64(i%n) / float64(n))
			r := float64(n) * (3 + 0.3*float64(i%2))
			return p(r*cos, r*sin)
		}
		for i := range l {
			l[i] = geom.Line(at(i), at(i+1))
		}
		out := l
		if reverse {
			out = l.Reverse()
		}
		sum := 0
		found, err := Compare(&Drawn{Curves: as(Outline, 1, l), Limits: limits}, &Released{Pieces: []Piece{{Outline: out}}}, func(s int) error { sum += s; return nil })
		if err != nil || len(found) > 0 {
			t.Fatal(found, err)
		}
		return sum
	}
	for _, reverse := range []bool{false, true} {
		if few, many := steps(1000, reverse), steps(10000, reverse); many > 15*few {
			t.Errorf("reversed %v: %d steps for 1000 sides, %d for 10000", reverse, few, many)
		}
	}
}

// Tops drawn over each other in part are no holes of each other; one inside the other is.
func TestTopsOverEachOther(t *testing.T) {
	one, two, inner := rect(0, 0, 600, 400), rect(250, 10, 850, 410), rect(200, 100, 400, 300)
	for _, tc := range []struct {
		name  string
		other geom.Loop
		found bool
	}{{"in part", two, false}, {"wholly", inner, true}} {
		drawn := append(as(Outline, 1, one), as(Outline, 2, tc.other)...)
		found := compare(t, drawn, &Released{Pieces: []Piece{{Outline: one}, {Outline: tc.other}}}, func(d *Drawn) { d.Overlapping = true })
		if (len(found) > 0) != tc.found {
			t.Errorf("%s: %+v", tc.name, found)
		}
	}
}

// A top that cutouts take whole is told as that, also where stone of another top lies in it.
func TestSwallowedTop(t *testing.T) {
	top, strip, cut := rect(0, 0, 600, 600), rect(0, 0, 100, 600), rect(-50, -50, 650, 560)
	drawn := append(append(as(Outline, 1, top), as(Outline, 2, strip)...), as(Cutout, 3, cut)...)
	left := []Piece{{Outline: rect(0, 560, 100, 600), Cutouts: []Opening{{Loop: cut.Reverse(), OverEdge: true}}}}
	told := false
	for _, d := range compare(t, drawn, &Released{Pieces: left}, nil) {
		told = told || d.Kind == Swallowed && d.At().X > 100
	}
	if !told {
		t.Error("the top of which nothing is left is not told")
	}
}
