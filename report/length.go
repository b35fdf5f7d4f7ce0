package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"trueup/dxfio"
	"trueup/rules"
)

// Conversions of workbooks and drawings.
const (
	inch      = dxfio.Inch
	foot2     = 92903.04 // mm2
	metre2    = 1e6      // mm2
	pound     = rules.Pound
	sixteenth = 1.0 / 16
)

// fraction returns inches to the nearest sixteenth as whole inches and a
// reduced fraction; denominator 1 when it is whole. Half a sixteenth goes away
// from zero.
func fraction(inches float64) (whole, numerator, denominator int) {
	n := int(math.Round(math.Abs(inches) / sixteenth))
	whole, numerator, denominator = n/16, n%16, 16
	if numerator == 0 {
		return whole, 0, 1
	}
	for numerator%2 == 0 {
		numerator, denominator = numerator/2, denominator/2
	}
	return whole, numerator, denominator
}

// inchText writes millimetres as inches to the sixteenth: 25 1/2".
func inchText(mm float64) string {
	whole, n, d := fraction(mm / inch)
	sign := ""
	if mm < 0 && (whole > 0 || n > 0) {
		sign = "-"
	}
	switch {
	case n == 0:
		return fmt.Sprintf(`%s%d"`, sign, whole)
	case whole == 0:
		return fmt.Sprintf(`%s%d/%d"`, sign, n, d)
	default:
		return fmt.Sprintf(`%s%d %d/%d"`, sign, whole, n, d)
	}
}

// mmText writes millimetres to the tenth, without a trailing zero.
func mmText(mm float64) string {
	s := strings.TrimSuffix(strconv.FormatFloat(math.Round(mm*10)/10, 'f', 1, 64), ".0")
	if s == "-0" {
		return "0"
	}
	return s
}

// text writes a length with its unit as the shop reads it: 2400 mm [94 1/2"].
func (s Settings) text(mm float64) string {
	switch s.Units {
	case UnitsMM:
		return mmText(mm) + " mm"
	case UnitsInch:
		return inchText(mm)
	default:
		return mmText(mm) + " mm [" + inchText(mm) + "]"
	}
}

// label writes a length for a drawing, whose note gives the unit: 2400 [94 1/2"].
func (s Settings) label(mm float64) string {
	switch s.Units {
	case UnitsMM:
		return mmText(mm)
	case UnitsInch:
		return inchText(mm)
	default:
		return mmText(mm) + " [" + inchText(mm) + "]"
	}
}
