package report

import (
	"math"

	"trueup/dxfio"
	"trueup/rules"
)

const inch2 = inch * inch // mm2

// measure returns a flag's figure and its unit as the shop reads them: in a shop
// of inches alone as the sentence beside it has them. A length is a decimal there,
// since the next sixteenth of a 1/32 in joint would be twice as wide. The exact
// number stands in the result document.
func (s Settings) measure(unit string, v float64) (number, string) {
	if s.Units != UnitsInch {
		return shown(unit, v), unitWord(unit)
	}
	switch unit {
	case "mm":
		return shownInches(v), "in"
	case "mm2":
		return number(roundTo(v/inch2, 100)), "in²"
	case "kg":
		return number(roundTo(v/pound, 10)), "lb"
	case "MPa":
		return number(math.Round(v / rules.PSI)), "psi"
	}
	return shown(unit, v), unitWord(unit)
}

// shownInches rounds a length in mm to inches as sentences write it.
func shownInches(mm float64) number { return number(dxfio.Lengths{Inches: true}.Value(mm)) }

// placeColumns returns the columns of places in the drawing's own frame: in mm,
// or in inches to the thousandth where the shop reads nothing else.
func (b *book) placeColumns(width float64, titles ...string) []column {
	out := make([]column, len(titles))
	for i, title := range titles {
		out[i] = column{title + "\nmm", width, mmColumn}
		if !b.in.Settings.metric() {
			out[i] = column{title + "\nin", width, fineInchColumn}
		}
	}
	return out
}
