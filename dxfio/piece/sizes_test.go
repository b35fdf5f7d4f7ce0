package piece

import (
	"math"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// The depth of runs is exact for every band of one width with square corners.
func TestRunDepth(t *testing.T) {
	for _, tc := range []struct {
		name   string
		points []geom.Point
		want   float64
	}{
		{"straight", []geom.Point{{X: 0, Y: 0}, {X: 2400, Y: 0}, {X: 2400, Y: 640}, {X: 0, Y: 640}}, 640},
		{"L", []geom.Point{{X: 0, Y: 0}, {X: 2600, Y: 0}, {X: 2600, Y: 620}, {X: 620, Y: 620}, {X: 620, Y: 2200}, {X: 0, Y: 2200}}, 620},
		{"U", []geom.Point{{X: 0, Y: 0}, {X: 640, Y: 0}, {X: 640, Y: 1400}, {X: 1900, Y: 1400}, {X: 1900, Y: 0}, {X: 2540, Y: 0}, {X: 2540, Y: 2040}, {X: 0, Y: 2040}}, 640},
		{"square", []geom.Point{{X: 0, Y: 0}, {X: 900, Y: 0}, {X: 900, Y: 900}, {X: 0, Y: 900}}, 900},
	} {
		if got := runDepth(geom.Polygon(tc.points...)); math.Abs(got-tc.want) > 1e-6 {
			t.Errorf("%s: %v, want %v", tc.name, got, tc.want)
		}
	}
	// A disc holds more than a square of its boundary does: that square's side, pi r / 2.
	disc := make([]geom.Point, 3600)
	for i := range disc {
		disc[i] = geom.Point{X: 500 * math.Cos(2*math.Pi*float64(i)/3600), Y: 500 * math.Sin(2*math.Pi*float64(i)/3600)}
	}
	if got := runDepth(geom.Polygon(disc...)); math.Abs(got-math.Pi*250) > 0.01 {
		t.Errorf("disc: %v", got)
	}
}

// Of the units in which a drawing fits the one with the most usual sizes is named; two when they are about as usual.
func TestFittingUnits(t *testing.T) {
	for _, tc := range []struct {
		name       string
		sizes      Sizes
		in         dxfio.Unit
		best, next dxfio.Unit
	}{
		{"U of 2540 x 2040 drawn in m under mm", Sizes{Top: [2]float64{2.54, 2.04}, Depth: 0.64}, dxfio.UnitMillimetre, dxfio.UnitMetre, dxfio.UnitNone},
		{"the same, nothing closes", Sizes{Top: [2]float64{2.54, 2.04}, Outline: true}, dxfio.UnitMillimetre, dxfio.UnitMetre, dxfio.UnitNone},
		{"top of 2400 x 640 drawn in feet under mm", Sizes{Top: [2]float64{2400 / 304.8, 640 / 304.8}, Depth: 640 / 304.8}, dxfio.UnitMillimetre, dxfio.UnitFoot, dxfio.UnitNone},
		{"table of 1100 x 500 in feet, 3609 x 1640 in m", Sizes{Top: [2]float64{3.609, 1.64}, Depth: 1.64}, dxfio.UnitMillimetre, dxfio.UnitFoot, dxfio.UnitNone},
		{"lines of 1200 in feet, 3937 in m", Sizes{Top: [2]float64{3.937, 1.5}, Outline: true}, dxfio.UnitMillimetre, dxfio.UnitFoot, dxfio.UnitMetre},
		{"plain top of 2400 x 640 in cm under mm", Sizes{Top: [2]float64{240, 64}, Depth: 64}, dxfio.UnitMillimetre, dxfio.UnitCentimetre, dxfio.UnitNone},
		{"plain top of 2300 x 640 in feet under inches", Sizes{Top: [2]float64{2300. / 12, 640. / 12}, Depth: 640. / 12}, dxfio.UnitInch, dxfio.UnitFoot, dxfio.UnitNone},
		{"nothing drawn", Sizes{}, dxfio.UnitMillimetre, dxfio.UnitNone, dxfio.UnitNone},
	} {
		if best, next := tc.sizes.FittingUnits(tc.in, true); best != tc.best || next != tc.next {
			t.Errorf("%s: %v and %v, want %v and %v", tc.name, best, next, tc.best, tc.next)
		}
	}
}

// A plain top under a header that makes it a tenth or a twelfth is no filler: it does not fit.
func TestSmallTopsDoNotFit(t *testing.T) {
	for _, tc := range []struct {
		name string
		top  [2]float64
		want bool
	}{
		{"2400 x 640 in cm read as mm", [2]float64{240, 64}, false},
		{"2300 x 640 in feet read as inches", [2]float64{2300. / 12, 640. / 12}, false},
		{"filler of 400 x 100", [2]float64{400, 100}, true},
		{"filler of 600 x 60", [2]float64{600, 60}, true},
		{"filler of 300 x 60", [2]float64{300, 60}, true},
	} {
		if got := (Sizes{Top: tc.top}).Fits(1); got != tc.want {
			t.Errorf("%s: fits is %v", tc.name, got)
		}
	}
}
