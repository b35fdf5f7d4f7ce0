package dxfio

import (
	"math"
	"strconv"
	"strings"

	"trueup/dxfio/geom"
)

// Lengths writes lengths, given in mm, in sentences: in millimetres, or in inches
// as CAD shows them, with decimals. A sentence compares what was measured with a
// limit, and the next sixteenth of an inch, 0.8 mm to either side, would often be
// the same for both.
type Lengths struct{ Inches bool }

// Inch is an inch in mm (NIST SP 811).
const Inch = 25.4

// Of writes a length with its unit: 41.2 mm, or 1.62 in. It is as fine as a tenth
// of a mm, a hundredth of an inch, and a thousandth where there is less than one.
func (l Lengths) Of(mm float64) string { return l.figure(mm) + l.unit() }

// Fine writes a length to a hundredth of a mm, or a thousandth of an inch.
func (l Lengths) Fine(mm float64) string {
	if l.Inches {
		return decimal(mm/Inch, 3) + l.unit()
	}
	return strconv.FormatFloat(mm, 'f', 2, 64) + l.unit()
}

// Rough writes a length to a whole mm, or a tenth of an inch.
func (l Lengths) Rough(mm float64) string {
	if l.Inches {
		return decimal(mm/Inch, 1) + l.unit()
	}
	return decimal(mm, 0) + l.unit()
}

// Radius writes a radius as finely as drawings give it: to a thousandth of either
// unit, of large ones four digits.
func (l Lengths) Radius(mm float64) string {
	v := mm
	if l.Inches {
		v /= Inch
	}
	return strconv.FormatFloat(math.Round(v*1000)/1000, 'g', 4, 64) + l.unit()
}

// RadiusUp writes the least radius that will do: rounded up to a thousandth of
// either unit.
func (l Lengths) RadiusUp(mm float64) string {
	scale := 1.0
	if l.Inches {
		scale = Inch
	}
	return decimal(math.Ceil((mm-geom.Tolerance)/scale*1000)/1000, 3) + l.unit()
}

// Size writes a length by a width: 600 x 400 mm.
func (l Lengths) Size(length, width float64) string {
	return l.figure(length) + " x " + l.figure(width) + l.unit()
}

// Pair writes two lengths that share their unit: 3.5 and 4 mm.
func (l Lengths) Pair(a, b float64) string { return l.figure(a) + " and " + l.figure(b) + l.unit() }

// Up writes a length rounded up, for what must be at least that much.
func (l Lengths) Up(mm float64) string { return l.rounded(mm, math.Ceil, -geom.Tolerance) }

// Down writes a length rounded down, for what may be at most that much.
func (l Lengths) Down(mm float64) string { return l.rounded(mm, math.Floor, geom.Tolerance) }

func (l Lengths) rounded(mm float64, round func(float64) float64, slack float64) string {
	step := 0.1
	if l.Inches {
		step = Inch / math.Pow10(l.decimals(mm))
	}
	return l.Of(round((mm+slack)/step) * step)
}

// Under writes a length that is under a limit so that it never reads as the limit
// itself, as Up writes it.
func (l Lengths) Under(mm, limit float64) string {
	if s := l.Of(mm); s != l.Up(limit) {
		return s
	}
	scale, decimals := 1.0, 3
	if l.Inches {
		scale, decimals = Inch, 4
	}
	fine := math.Pow10(decimals)
	return strconv.FormatFloat(math.Floor(mm/scale*fine)/fine, 'f', decimals, 64) + l.unit()
}

// Area writes an area given in mm2: in square metres or square feet, small ones, such
// as two pieces that overlap, in mm2 or square inches.
func (l Lengths) Area(mm2 float64) string {
	const small = 1e5 // mm2, about 1 ft2
	switch {
	case l.Inches && mm2 < small:
		return decimal(mm2/(Inch*Inch), 2) + " in2"
	case l.Inches:
		return decimal(mm2/(144*Inch*Inch), 1) + " ft2"
	case mm2 < small:
		return decimal(mm2, 1) + " mm2"
	}
	return strconv.FormatFloat(mm2/1e6, 'f', 2, 64) + " m2"
}

// Value rounds a length to what Of writes, in its unit.
func (l Lengths) Value(mm float64) float64 {
	step, v := 10.0, mm
	if l.Inches {
		step, v = math.Pow10(l.decimals(mm)), mm/Inch
	}
	return math.Round(v*step) / step
}

func (l Lengths) figure(mm float64) string {
	if l.Inches {
		return decimal(mm/Inch, l.decimals(mm))
	}
	return decimal(mm, 1)
}

// decimals of a length in inches.
func (l Lengths) decimals(mm float64) int {
	if math.Abs(mm) < Inch {
		return 3
	}
	return 2
}

func (l Lengths) unit() string {
	if l.Inches {
		return " in"
	}
	return " mm"
}

// decimal writes v to the given decimals, without trailing zeros and never as -0.
func decimal(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
