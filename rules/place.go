package rules

import (
	"fmt"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// lengths writes the lengths of messages, in the unit that the shop reads.
func (in *Input) lengths() dxfio.Lengths { return in.Template.Units.Lengths }

// Exact conversions of masses, loads and stresses (NIST SP 811).
const (
	Pound      = 0.45359237          // avoirdupois, kg
	poundForce = 4.4482216152605     // N
	PSI        = 0.00689475729316836 // pound-force to the square inch, MPa
)

// mass writes a mass given in kg for a message, in pounds where lengths are in inches.
func (in *Input) mass(kg float64) string {
	if in.lengths().Inches {
		return number(kg/Pound) + " lb"
	}
	return number(kg) + " kg"
}

// force writes a load given in N for a message, in pounds-force where lengths are
// in inches.
func (in *Input) force(newtons float64) string {
	if in.lengths().Inches {
		return fmt.Sprintf("%.0f lbf", newtons/poundForce)
	}
	return fmt.Sprintf("%.0f N", newtons)
}

// stress writes a stress given in MPa for a message, in pounds to the square inch
// where lengths are in inches.
func (in *Input) stress(megapascals float64) string {
	if in.lengths().Inches {
		return fmt.Sprintf("%.0f psi", megapascals/PSI)
	}
	return fmt.Sprintf("%.2f MPa", megapascals)
}

// Places in messages are read to find a spot in the drawing, so they stand in the
// drawing's own frame and its own unit, which they name unless it is the
// millimetre of everything else in the sentence. They are as fine as a millimetre is.

// place writes a point: (1270, 102), or (50 in, 4 in).
func (in *Input) place(p geom.Point) string {
	return in.Template.Units.Place(p.Add(in.Template.Shift))
}

// between writes the stretch from p to q, by one coordinate when it runs along an
// axis.
func (in *Input) between(p, q geom.Point) string {
	a, b := p.Add(in.Template.Shift), q.Add(in.Template.Shift)
	switch {
	case withinMM(a.Y, b.Y):
		return fmt.Sprintf("between x = %s and x = %s", in.coordinate(min(a.X, b.X)), in.coordinate(max(a.X, b.X)))
	case withinMM(a.X, b.X):
		return fmt.Sprintf("between y = %s and y = %s", in.coordinate(min(a.Y, b.Y)), in.coordinate(max(a.Y, b.Y)))
	}
	return fmt.Sprintf("between %s and %s", in.place(p), in.place(q))
}

// withinMM reports whether two coordinates read the same in whole mm.
func withinMM(a, b float64) bool { return a-b < 1 && b-a < 1 }

// coordinate writes a coordinate given in mm.
func (in *Input) coordinate(mm float64) string { return in.Template.Units.Coordinate(mm) }
