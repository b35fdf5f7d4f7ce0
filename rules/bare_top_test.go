package rules

import (
	"testing"

	"trueup/dxfio/piece"
)

// A top over nothing beside one with cabinets; limits of 3 cm stone: 914 and 254 mm
// (Dimension Stone Design Manual 8.0, ch. 17).
func TestTopOverNothing(t *testing.T) {
	second := func(id string, length, width float64) *piece.Template {
		s := carriedTop(box(0, 0, 2400, 640), box(0, 38, 2400, 640))
		s.Pieces = append(s.Pieces, piece.Piece{ID: id, Kind: piece.Counter, Outline: box(0, 2000, length, 2000+width), Material: "granite", Thickness: 30})
		return s
	}
	onLayer := func(layer string) *piece.Template {
		s := second("B", 2400, 640)
		s.Pieces[1].Layer = layer
		return s
	}
	alone := second("B", 2400, 640)
	alone.Pieces = alone.Pieces[1:]
	splash := second("B", 2400, 640)
	splash.Pieces[1].Kind = piece.Splash
	for name, c := range map[string]struct {
		in   *piece.Template
		want int
	}{
		"a whole top":                  {second("B", 2400, 640), 1},
		"just past the limits":         {second("B", 916, 256), 1},
		"short enough to span":         {second("B", 914, 640), 0},
		"narrow enough to hang":        {second("B", 2400, 254), 0},
		"it stands":                    {second("WATERFALL LEFT", 1200, 900), 0},
		"its layer says that it does":  {onLayer("WATERFALL PANEL"), 0},
		"a sill in another language":   {onLayer("Fensterbänke"), 0},
		"a top's layer":                {onLayer("COUNTERTOP"), 1},
		"no other is carried":          {alone, 0},
		"splashes stand on their edge": {splash, 0},
	} {
		t.Run(name, func(t *testing.T) {
			r := overhang()
			found := withoutHidden(runRule(&r, supportInput(c.in)).flags)
			if len(found) != c.want || c.want > 0 && (found[0].Piece != "B" || found[0].At.Distance(c.in.Pieces[1].Outline.Box().Center()) > 1e-6) {
				t.Errorf("%+v", found)
			}
		})
	}
}
