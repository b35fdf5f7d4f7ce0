package rules

import (
	"regexp"
	"strconv"
	"strings"

	"trueup/dxfio"
)

// A written length is one that a dimension's text tells. What is written without a
// unit may stand for any that drawings are dimensioned in.
type writtenLength struct {
	value float64    // in unit, or without one
	unit  dxfio.Unit // UnitNone when none is written
	named bool       // it follows another word and has no unit: NOTE 3
}

// Parts of a written length. A fraction may follow its whole number after a blank or
// a dash: 34 1/2 and 34-1/2.
const (
	decimalPart  = `\d+(?:[.,]\d+)*`
	thousands    = `[1-9]\d? \d{3}(?:[.,]\d+)?\b` // 2 400: a blank divides thousands (ISO 80000-1, 7.3.1)
	fractionPart = `(?:(\d+)[ -]+)?(\d+)/(\d+)`
	inchMark     = `(?:"|''|″|”|in\b\.?|inch(?:es)?\b)`
	footMark     = `(?:'|′|’|ft\b\.?|foot\b|feet\b)`
)

// lengthPatterns finds written lengths: feet with inches behind them, then a fraction or a
// number with or without its unit.
type lengthPatterns struct{ feet, fraction, number *regexp.Regexp }

func newLengthPatterns() lengthPatterns {
	anchored := func(s string) *regexp.Regexp { return regexp.MustCompile(`(?i)^` + s) }
	unit := `\s*(` + inchMark + `|` + footMark + `|mm\b|cm\b|m\b)?`
	return lengthPatterns{
		feet:     anchored(`(` + decimalPart + `)\s*` + footMark + `(?:[ -]*(?:` + fractionPart + `|(` + decimalPart + `))\s*` + inchMark + `?)?`),
		fraction: anchored(fractionPart + unit),
		number:   anchored(`(` + thousands + `|` + decimalPart + `)` + unit),
	}
}

// vulgarFractions are the fractions that have a character of their own.
func vulgarFractions() *strings.Replacer {
	return strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "\u00a0", " ", "\u202f", " ", "\u2009", " ")
}

// writtenLengths returns the lengths that a text may tell, in its order: all readings
// of a number whose comma may divide thousands or decimals. A tolerance (±2) and how
// often a length is meant (4x) tell none.
func (f *lengthPatterns) writtenLengths(text string) []writtenLength {
	text = vulgarFractions().Replace(text)
	var out []writtenLength
	afterWord := false
	for i := 0; i < len(text); {
		if text[i] < '0' || text[i] > '9' {
			afterWord = wordBehind(text, i, afterWord)
			i++
			continue
		}
		found, n := f.at(text[i:])
		rest := strings.TrimLeft(text[i+n:], " ")
		times := strings.HasPrefix(strings.ToLower(rest), "x") || strings.HasPrefix(rest, "×")
		tolerance := strings.HasSuffix(strings.TrimRight(text[:i], " "), "±")
		i += n
		if times {
			i = len(text) - len(rest) + len("x")
		}
		if times && found[0].unit == dxfio.UnitNone && found[0].value < mostTimes || tolerance {
			continue
		}
		for _, w := range found {
			w.named = afterWord && w.unit == dxfio.UnitNone
			out = append(out, w)
		}
		afterWord = false
	}
	return out
}

// mostTimes is the number from which 600 x 400 is two lengths and not so many of one.
const mostTimes = 100

// lengthSigns are the words that stand before a length and name what it is: a radius,
// a diameter, a clear width.
const lengthSigns = " R RAD RADIUS D DIA DIAM L W H B T CLEAR LENGTH WIDTH DEPTH IS = ∅ Ø "

// wordBehind tells whether what stands before the next character is a word that makes
// a number behind it a name rather than a length.
func wordBehind(text string, i int, was bool) bool {
	c := text[i]
	if c == ' ' || c == '=' || c == ':' || c == '(' || c == '[' || c == '/' || c == '\n' {
		return was && c != '\n' && c != '/'
	}
	start := i
	for start > 0 && text[start-1] > ' ' {
		start--
	}
	end := i + 1
	for end < len(text) && text[end] > ' ' && (text[end] < '0' || text[end] > '9') {
		end++
	}
	word := strings.ToUpper(strings.Trim(text[start:end], " =:.([~"))
	return word != "" && !strings.Contains(lengthSigns, " "+word+" ")
}

// at returns what the length at the start of a text, which is a digit, may mean, and
// how much of the text it takes.
func (f *lengthPatterns) at(text string) ([]writtenLength, int) {
	if m := f.feet.FindStringSubmatch(text); m != nil {
		feet := readings(m[1])[0]
		inches := 0.0
		switch {
		case m[4] != "":
			inches = fraction(m[2], m[3], m[4])
		case m[5] != "":
			inches = readings(m[5])[0]
		}
		return []writtenLength{{value: feet*12 + inches, unit: dxfio.UnitInch}}, len(m[0])
	}
	if m := f.fraction.FindStringSubmatch(text); m != nil {
		return []writtenLength{{value: fraction(m[1], m[2], m[3]), unit: unitWritten(m[4])}}, len(m[0])
	}
	m := f.number.FindStringSubmatch(text)
	var out []writtenLength
	for _, v := range readings(m[1]) {
		out = append(out, writtenLength{value: v, unit: unitWritten(m[2])})
	}
	return out, len(m[0])
}

// fraction returns whole + over/under; 0 over nothing.
func fraction(whole, over, under string) float64 {
	w, _ := strconv.ParseFloat(whole, 64) // "" is none
	o, _ := strconv.ParseFloat(over, 64)
	u, _ := strconv.ParseFloat(under, 64)
	if u == 0 {
		return w
	}
	return w + o/u
}

// readings returns what a decimal number may mean: 1,500 is 1500 and 1.5.
func readings(s string) []float64 {
	s = strings.ReplaceAll(s, " ", "")
	last := strings.LastIndexAny(s, ".,")
	if last < 0 {
		v, _ := strconv.ParseFloat(s, 64)
		return []float64{v}
	}
	plain := strings.NewReplacer(".", "", ",", "")
	whole, _ := strconv.ParseFloat(plain.Replace(s), 64)
	decimal, _ := strconv.ParseFloat(plain.Replace(s[:last])+"."+s[last+1:], 64)
	switch {
	case strings.Count(s, s[last:last+1]) > 1: // 1.234.500
		return []float64{whole}
	case len(s)-last-1 == 3 && last <= 3 && !strings.HasPrefix(s, "0"):
		return []float64{decimal, whole}
	}
	return []float64{decimal}
}

// unitWritten returns the unit of its sign or word.
func unitWritten(s string) dxfio.Unit {
	switch s = strings.ToLower(strings.TrimSuffix(s, ".")); s {
	case "":
		return dxfio.UnitNone
	case "mm":
		return dxfio.UnitMillimetre
	case "cm":
		return dxfio.UnitCentimetre
	case "m":
		return dxfio.UnitMetre
	case "'", "′", "’", "ft", "foot", "feet":
		return dxfio.UnitFoot
	}
	return dxfio.UnitInch
}
