package report

import (
	"strings"
	"testing"
)

// Each change of a piece is told, whatever else of it changed: what the office
// does not read here it does not look for.
func TestPieceChangesAreAllTold(t *testing.T) {
	for _, tc := range []struct {
		name   string
		before func(p *Piece) // makes the revision before of today's
		want   []string
	}{
		{"nothing", func(*Piece) {}, nil},
		{"material alone", func(p *Piece) { p.Material = "marble" }, []string{"material: marble before, granite now"}},
		{"material and length", func(p *Piece) { p.Material = "marble"; p.Length -= 12 }, []string{"length", "material: marble before, granite now"}},
		{"a cutout more", func(p *Piece) { p.Cutouts = p.Cutouts[:1] }, []string{"cutouts: 1 before, 2 now"}},
		{"a cutout more, and material", func(p *Piece) { p.Cutouts = p.Cutouts[:1]; p.Material = "marble" }, []string{"cutouts: 1 before, 2 now", "material: marble before, granite now"}},
		{"the sink became a cooktop", func(p *Piece) { p.Cutouts[0].Kind = "cooktop" }, []string{"cooktop before, sink now"}},
		{"the front is finished now", func(p *Piece) { p.Edges[0].Finish = "unmarked" }, []string{"finished edges"}},
		{"a splash became a counter", func(p *Piece) { p.Kind = "splash" }, []string{"splash before, counter now"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			in := kitchenBook()
			earlier := *in.Result
			earlier.Pieces = append([]Piece(nil), in.Result.Pieces...)
			p := &earlier.Pieces[0]
			p.Cutouts, p.Edges = append([]Cutout(nil), p.Cutouts...), append([]Edge(nil), p.Edges...)
			tc.before(p)
			in.Earlier = &earlier
			rows, err := open(t, write(t, in)).GetRows("Changes")
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, r := range rows[3:] {
				if r[0] != "flag" {
					got = append(got, r[3])
				}
			}
			if strings.Join(got, ";") != strings.Join(tc.want, ";") {
				t.Errorf("changes %q, want %q", got, tc.want)
			}
		})
	}
	// Without flags and changes the sheet says so rather than being empty.
	in := kitchenBook()
	in.Result.Flags = nil
	earlier := *in.Result
	in.Earlier = &earlier
	rows, err := open(t, write(t, in)).GetRows("Changes")
	if err != nil {
		t.Fatal(err)
	}
	if last := strings.Join(rows[len(rows)-1], " "); !strings.HasPrefix(last, "Nothing changed") {
		t.Errorf("the sheet ends with %q", last)
	}
}
