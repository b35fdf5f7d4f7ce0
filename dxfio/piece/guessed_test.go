package piece

import (
	"slices"
	"testing"
)

// A drawing on one layer is read by nesting and says so. Shapes by hand.
func TestOneLayerIsReadByNesting(t *testing.T) {
	for _, tc := range []struct {
		name, drawing   string
		pieces, cutouts int
		guessed         bool
	}{
		{"all on layer 0", "0: 0,0 2400,0 2400,640 0,640 close\n0: 300,100 900,100 900,500 300,500 close\n0: circle 1800,560 d35\n0: 3000,0 4000,0 4000,600 3000,600 close", 2, 2, true},
		{"one unknown layer and notes", "LASER 3: 0,0 2400,0 2400,640 0,640 close\nDIM: 0,-50 2400,-50", 1, 0, true},
		{"the sink has its layer", "0: 0,0 2400,0 2400,640 0,640 close\nSINK: 300,100 900,100 900,500 300,500 close", 1, 1, true},
		{"two unknown layers", "0: 0,0 2400,0 2400,640 0,640 close\nLASER 3: 300,100 900,100 900,500 300,500 close", 0, 0, false},
		{"outlines have their layer", "COUNTER: 0,0 2400,0 2400,640 0,640 close\n0: 300,100 900,100 900,500 300,500 close", 1, 0, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := build(t, tc.drawing)
			cutouts := 0
			for _, p := range got.Pieces {
				cutouts += len(p.Cutouts)
			}
			at := slices.IndexFunc(got.Problems, func(p Problem) bool { return p.Kind == RolesGuessed })
			if len(got.Pieces) != tc.pieces || cutouts != tc.cutouts || at >= 0 != tc.guessed {
				t.Fatalf("%d pieces, %d cutouts, problems %+v", len(got.Pieces), cutouts, got.Problems)
			}
			if at >= 0 && (got.Problems[at].Count != tc.pieces || got.Problems[at].Closed != tc.cutouts) {
				t.Errorf("%+v", got.Problems[at])
			}
		})
	}
}
