package rules

import (
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// A place is told in the unit that the drawing shows: in a drawing in inches they
// were millimetres, where nobody finds them.
func TestPlaceInTheDrawingsUnit(t *testing.T) {
	for _, c := range []struct {
		name           string
		unit           dxfio.Unit
		place, between string
	}{
		// 1270 mm are 50 in, 4 1/6 ft; 101.6 mm are 4 in, 1/3 ft (1 in = 25.4 mm, NIST SP 811).
		{"millimetre", dxfio.UnitMillimetre, "(1270, 102)", "between x = 0 and x = 1270"},
		{"unknown", dxfio.UnitNone, "(1270, 102)", "between x = 0 and x = 1270"},
		{"inch", dxfio.UnitInch, "(50 in, 4 in)", "between x = 0 in and x = 50 in"},
		{"foot", dxfio.UnitFoot, "(4.167 ft, 0.333 ft)", "between x = 0 ft and x = 4.167 ft"},
		{"centimetre", dxfio.UnitCentimetre, "(127 cm, 10.2 cm)", "between x = 0 cm and x = 127 cm"},
		{"metre", dxfio.UnitMetre, "(1.27 m, 0.102 m)", "between x = 0 m and x = 1.27 m"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := input(template(t, top))
			in.Template.Units.Drawing = c.unit
			in.Template.Shift = geom.Point{X: 1000, Y: 100}
			if got := in.place(geom.Point{X: 270, Y: 1.6}); got != c.place {
				t.Errorf("place %q, want %q", got, c.place)
			}
			if got := in.between(geom.Point{X: 270}, geom.Point{X: -1000.001}); got != c.between {
				t.Errorf("between %q, want %q", got, c.between)
			}
		})
	}
}

// Beside lengths in inches a place in a drawing in millimetres names its unit: 1270 is
// no place in inches.
func TestPlaceNamesMillimetresBesideInches(t *testing.T) {
	for unit, want := range map[dxfio.Unit]string{
		dxfio.UnitMillimetre: "(1270 mm, 102 mm) between x = 0 mm and x = 1270 mm",
		dxfio.UnitNone:       "(1270 mm, 102 mm) between x = 0 mm and x = 1270 mm",
		dxfio.UnitInch:       "(50 in, 4 in) between x = 0 in and x = 50 in",
		dxfio.UnitCentimetre: "(127 cm, 10.2 cm) between x = 0 cm and x = 127 cm",
	} {
		in := input(template(t, top))
		in.Template.Units.Drawing, in.Template.Units.Lengths.Inches = unit, true
		if got := in.place(geom.Point{X: 1270, Y: 101.6}) + " " + in.between(geom.Point{X: 1270}, geom.Point{}); got != want {
			t.Errorf("%v: %q, want %q", unit, got, want)
		}
	}
}
