package report

import (
	"fmt"
	"math"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules"
)

// A flag's dot, the line to its mark and the mark stand clear of the pieces'
// names: over a letter they make another letter of it. The places of the flags
// are those that rules give: the middle of a piece (its weight), of its long and
// of its short side.
func TestMarksStandClearOfNames(t *testing.T) {
	fonts := testFonts(t)
	for _, tc := range []struct {
		name  string
		sizes [][2]float64 // of pieces in a row, mm
		flags []geom.Point // in each piece, as shares of its sides
	}{
		{"a narrow top that is too heavy", [][2]float64{{2400, 250}}, []geom.Point{{X: 0.5, Y: 0.5}}},
		{"two tops side by side", [][2]float64{{1838, 640}, {1200, 602}}, []geom.Point{{X: 0.5, Y: 0.5}}},
		{"an island with three flags in its middle", [][2]float64{{2100, 1020}}, []geom.Point{{X: 0.5, Y: 0.5}, {X: 0.5, Y: 0.5}, {X: 0.5, Y: 0.5}}},
		{"a top and its splashes", [][2]float64{{1400, 600}, {600, 100}, {300, 100}}, []geom.Point{{X: 0.5, Y: 0.5}, {X: 0.5, Y: 1}, {X: 0, Y: 0.5}}},
		{"slabs full of flags", [][2]float64{{1500, 1500}, {1500, 1500}}, []geom.Point{{X: 0.5, Y: 0.5}, {X: 0.3, Y: 0.5}, {X: 0.5, Y: 0.3}, {X: 0.6, Y: 0.6}, {X: 0.4, Y: 0.5}}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tpl := &piece.Template{}
			var flags []rules.Flag
			x := 0.0
			for i, size := range tc.sizes {
				w, h := size[0], size[1]
				outline := line(x, 0, x+w, 0, x+w, h, x, h)
				p := piece.Piece{ID: string(rune('A' + i)), Outline: outline, Edges: edgesOf(outline), Thickness: 30}
				tpl.Pieces = append(tpl.Pieces, p)
				for _, at := range tc.flags {
					flags = append(flags, rules.Flag{Rule: "too-heavy", Severity: rules.Warn, Piece: p.ID, At: pt(x+at.X*w, at.Y*h)})
				}
				x += w + 200
			}
			r := Build(Input{Template: tpl, Findings: rules.Report{Flags: flags}})
			d, _ := newTemplateWork(tpl, r, fonts, Default(), summaryWide, leastPicture)
			d.pieces()
			d.names()
			if want := 2 * len(tc.sizes); len(d.labels) != want {
				t.Fatalf("%d lines of names, want %d", len(d.labels), want)
			}
			for i, at := range d.places {
				dot := boxAround(at, 2*dotRadius, 2*dotRadius)
				mark := d.markPlace(at)
				for _, name := range d.labels {
					if over := hidden([]geom.Box{name, dot}); over > 0 {
						t.Errorf("the dot of flag %d hides %.2f mm2 of a name", i+1, over)
					}
					if over := hidden([]geom.Box{name, boxAround(mark, 4.4, 4.4)}); over > 0 {
						t.Errorf("the mark of flag %d hides %.2f mm2 of a name", i+1, over)
					}
					if mm := through(name, at, mark); mm > 0 {
						t.Errorf("the line of flag %d runs through %.2f mm of a name", i+1, mm)
					}
				}
			}
		})
	}
}

// through returns how much of the line from a to b lies in a box, by many points.
func through(box geom.Box, a, b geom.Point) float64 {
	const points = 1000
	n := 0
	for i := range points {
		if q := a.Lerp(b, (float64(i)+0.5)/points); box.Distance(q) == 0 {
			n++
		}
	}
	return a.Distance(b) * float64(n) / points
}

// A place that is no number is no mark; the flags after it keep their own.
func TestMarksKeepTheirFlags(t *testing.T) {
	in := kitchenBook()
	in.Result.Flags[0].At = XY{math.NaN(), 0}
	d, _ := newTemplateWork(in.Template, in.Result, testFonts(t), Default(), summaryWide, leastPicture)
	for i, f := range in.Result.Flags {
		if got := d.places[i]; got.Finite() != (i > 0) {
			t.Errorf("flag %s is marked at %v", f.ID, got)
		} else if want := d.local(f.At); i > 0 && fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("flag %s is marked at %v, want %v", f.ID, got, want)
		}
	}
}
