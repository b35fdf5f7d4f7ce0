package dxfio

import (
	"math"
	"math/bits"
	"strconv"
)

// powersOfTen are exact: 10^22 is the largest power of ten that a float64 holds
// without rounding, 10^19 the largest that a uint64 holds.
var powersOfTen = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

var wholePowersOfTen = [...]uint64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9,
	1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19,
}

// mantissaDigits is how many decimal digits always fit a uint64.
const mantissaDigits = 19

// parseFloat returns the number written in b, blanks around it ignored, rounded
// to nearest even like strconv.ParseFloat, and false when it is none. Decimals
// without an exponent and of up to 19 digits, all that drawings usually hold,
// take an exact path of their own: a third of the time of strconv.
func parseFloat(b []byte) (float64, bool) {
	b = trimBlanks(b)
	i, n := 0, len(b)
	negative := false
	if n > 0 && (b[0] == '-' || b[0] == '+') {
		negative = b[0] == '-'
		i = 1
	}
	var m uint64
	start := i
	for i < n {
		c := b[i] - '0'
		if c > 9 {
			break
		}
		m = m*10 + uint64(c)
		i++
	}
	digits, fraction := i-start, 0
	if i < n && b[i] == '.' {
		i++
		from := i
		for i < n {
			c := b[i] - '0'
			if c > 9 {
				break
			}
			m = m*10 + uint64(c)
			i++
		}
		fraction = i - from
		digits += fraction
	}
	if i != n || digits == 0 || digits > mantissaDigits {
		return parseFloatSlowly(b)
	}
	var f float64
	if m < 1<<53 {
		// Both sides are exact, so the one division rounds once (Clinger, How to
		// Read Floating Point Numbers Accurately, 1990).
		f = float64(m) / powersOfTen[fraction]
	} else {
		f = quotient(m, fraction)
	}
	if negative {
		f = -f
	}
	return f, true
}

// quotient returns m / 10^k rounded to nearest even, for 2^53 <= m and k <= 19.
// The quotient of the normalised 64-bit numbers has at least 62 bits; whatever
// remains is folded into the lowest one, far below the rounding position, so
// that the conversion to float64 rounds as the exact quotient would.
func quotient(m uint64, k int) float64 {
	d := wholePowersOfTen[k]
	mz, dz := bits.LeadingZeros64(m), bits.LeadingZeros64(d)
	m, d = m<<mz, d<<dz
	q, rest := bits.Div64(m>>1, m<<63, d)
	if rest != 0 {
		q |= 1
	}
	scale := math.Float64frombits(uint64(1023+dz-mz-63) << 52) // 2^(dz-mz-63)
	return float64(q) * scale
}

// parseFloatSlowly leaves exponents and many digits to strconv. Numbers past
// the range of float64 become infinite.
func parseFloatSlowly(b []byte) (float64, bool) {
	for _, c := range b {
		if c == 'x' || c == 'X' || c == '_' {
			return 0, false // Go's own hexadecimal notation is no DXF
		}
	}
	f, err := strconv.ParseFloat(string(b), 64)
	if err != nil && !math.IsInf(f, 0) {
		return 0, false
	}
	return f, true
}

// parseInt returns the whole number written in b. A number written with a
// fraction of zeros (some exporters write flags so) counts as whole.
func parseInt(b []byte) (int64, bool) {
	b = trimBlanks(b)
	i, n := 0, len(b)
	negative := false
	if n > 0 && (b[0] == '-' || b[0] == '+') {
		negative = b[0] == '-'
		i = 1
	}
	start := i
	var v int64
	for i < n && i-start < mantissaDigits-1 {
		c := b[i] - '0'
		if c > 9 {
			break
		}
		v = v*10 + int64(c)
		i++
	}
	if i == n && i > start {
		if negative {
			v = -v
		}
		return v, true
	}
	f, ok := parseFloat(b)
	if !ok || f != math.Trunc(f) || math.Abs(f) > 1<<53 {
		return 0, false
	}
	return int64(f), true
}

// parseHandle returns the hexadecimal handle written in b, 0 when it is none:
// a handle only helps people to find an entity.
func parseHandle(b []byte) uint64 {
	b = trimBlanks(b)
	if len(b) > 16 {
		return 0
	}
	var h uint64
	for _, c := range b {
		switch {
		case c >= '0' && c <= '9':
			c -= '0'
		case c >= 'a' && c <= 'f':
			c -= 'a' - 10
		case c >= 'A' && c <= 'F':
			c -= 'A' - 10
		default:
			return 0
		}
		h = h<<4 | uint64(c)
	}
	return h
}

// trimBlanks returns b without blanks and tabs at its ends.
func trimBlanks(b []byte) []byte {
	for len(b) > 0 && (b[0] == ' ' || b[0] == '\t') {
		b = b[1:]
	}
	for len(b) > 0 && (b[len(b)-1] == ' ' || b[len(b)-1] == '\t') {
		b = b[:len(b)-1]
	}
	return b
}
