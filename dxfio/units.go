package dxfio

import (
	"fmt"
	"math"
	"strings"

	"trueup/dxfio/geom"
)

// Unit is a length unit by its $INSUNITS code (DXF Reference, header variable
// INSUNITS: codes 0 to 24).
type Unit int

// The units a shop meets; the other codes are understood too.
const (
	UnitNone        Unit = 0
	UnitInch        Unit = 1
	UnitFoot        Unit = 2
	UnitMillimetre  Unit = 4
	UnitCentimetre  Unit = 5
	UnitMetre       Unit = 6
	UnitYard        Unit = 10
	UnitSurveyFoot  Unit = 21
	UnitSurveyInch  Unit = 22
	UnitSurveyYard  Unit = 23
	unitCodesBehind      = 25
)

type unitEntry struct {
	name string
	mm   float64
}

// unitTable gives the name and the exact length in millimetres of each code.
// Inch, foot, yard, mile and mil by NIST SP 811; the US survey foot is
// 1200/3937 m; astronomical units are listed so that a file naming one is
// refused as implausible rather than misread.
var unitTable = [unitCodesBehind]unitEntry{
	{"none", 0}, {"in", Inch}, {"ft", 304.8}, {"mi", 1609344}, {"mm", 1}, {"cm", 10}, {"m", 1000}, {"km", 1e6},
	{"microinch", 25.4e-6}, {"mil", 25.4e-3}, {"yd", 914.4}, {"angstrom", 1e-7}, {"nm", 1e-6}, {"micron", 1e-3},
	{"dm", 100}, {"dam", 1e4}, {"hm", 1e5}, {"Gm", 1e12}, {"au", 1.495978707e14}, {"light year", 9.4607304725808e18},
	{"parsec", 3.0856775814913673e19}, {"survey ft", 1200.0 / 3937 * 1000}, {"survey in", 100.0 / 3937 * 1000},
	{"survey yd", 3600.0 / 3937 * 1000}, {"survey mi", 5280 * 1200.0 / 3937 * 1000},
}

// Known reports whether the code names a unit.
func (u Unit) Known() bool { return u > 0 && int(u) < len(unitTable) }

// Millimetres returns the length of one unit in mm, 0 when it is not known.
func (u Unit) Millimetres() float64 {
	if !u.Known() {
		return 0
	}
	return unitTable[u].mm
}

// String returns the unit's short name, "none" when it is not known.
func (u Unit) String() string {
	if !u.Known() {
		return "none"
	}
	return unitTable[u].name
}

// Plural returns the unit as a sentence has it, where "drawn in in" would read
// badly: inches, feet, yards, and mm.
func (u Unit) Plural() string {
	words := strings.Fields(u.String())
	last := &words[len(words)-1]
	if word, ok := map[string]string{"in": "inches", "ft": "feet", "yd": "yards", "mi": "miles", "microinch": "microinches"}[*last]; ok {
		*last = word
	}
	return strings.Join(words, " ")
}

// ParseUnit returns the unit of a short name such as "mm", "in" or "ft".
func ParseUnit(name string) (Unit, bool) {
	for i, e := range unitTable {
		if i > 0 && strings.EqualFold(e.name, strings.TrimSpace(name)) {
			return Unit(i), true
		}
	}
	return UnitNone, false
}

// Imperial reports whether it is a unit of inches, feet or yards, survey ones
// included.
func (u Unit) Imperial() bool {
	switch u {
	case UnitInch, UnitFoot, UnitYard, UnitSurveyFoot, UnitSurveyInch, UnitSurveyYard:
		return true
	}
	return false
}

// Place writes a point given in mm as messages do: in the unit, which is named
// unless it is the millimetre of everything else, and as fine as a millimetre is.
// (1270, 102), or (50 in, 4 in).
func (u Unit) Place(p geom.Point) string {
	return fmt.Sprintf("(%s, %s)", u.Coordinate(p.X), u.Coordinate(p.Y))
}

// Coordinate writes a coordinate given in mm as Place does, never as -0.
func (u Unit) Coordinate(mm float64) string {
	scale, unit := u.Millimetres(), " "+u.String()
	if scale == 0 || scale == 1 {
		scale, unit = 1, ""
	}
	return decimal(mm/scale, max(0, int(math.Ceil(math.Log10(scale))))) + unit
}
