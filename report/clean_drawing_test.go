package report

import (
	"math"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/piece"
)

// A corner on an axis is written as 0, whatever sign shifting there and back left;
// a tenth of a micrometre beside it stays.
func TestCleanDrawingHasNoNegativeZero(t *testing.T) {
	// 0.1 + 0.2 - 0.3 is 5.6e-17 in binary floating point, IEEE 754.
	left := -(0.1 + 0.2 - math.Nextafter(0.3, 0))
	l := line(math.Copysign(0, -1), left, 2400, left, 2400, 650, 0, 650-1e-4)
	tpl := &piece.Template{Shift: pt(math.Copysign(0, -1), math.Copysign(0, -1)), Pieces: []piece.Piece{{ID: "A", Outline: l, Edges: edgesOf(l)}}}
	for _, unit := range []dxfio.Unit{dxfio.UnitMillimetre, dxfio.UnitInch} {
		for _, p := range CleanDrawing(tpl, unit).Polylines {
			for _, c := range p.Curves {
				for _, v := range [2]float64{c.A.X, c.A.Y} {
					if v == 0 && math.Signbit(v) || v != 0 && math.Abs(v) < 1e-9 {
						t.Errorf("unit %v: %v is written as -0.0", unit, v)
					}
				}
			}
			if want := (650 - 1e-4) / unit.Millimetres(); math.Abs(p.Curves[3].A.Y-want) > 1e-12*want {
				t.Errorf("unit %v: %v, want %v", unit, p.Curves[3].A.Y, want)
			}
		}
	}
}
