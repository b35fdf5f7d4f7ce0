package dxfio

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// decodeName returns a table name (layer, block): \U+ and \M+ escapes resolved,
// blanks at the ends and control characters gone.
func decodeName(s string) string {
	return strings.TrimSpace(clean(decodeEscapes(s, false)))
}

// decodeText returns the plain text of a TEXT or ATTRIB: escapes, caret codes
// and %% codes resolved, control characters gone.
func decodeText(s string) string {
	return clean(decodeEscapes(s, true))
}

// decodeEscapes resolves \U+XXXX, \M+nXXXX and caret codes, and %% codes where
// wanted. What is only half an escape stays as it is.
func decodeEscapes(s string, percents bool) string {
	if !strings.ContainsAny(s, `\^%`) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, n := escape(s[i:], percents)
		if n == 0 {
			_, size := utf8.DecodeRuneInString(s[i:])
			b.WriteString(s[i : i+size])
			i += size
			continue
		}
		if r != noRune {
			b.WriteRune(r)
		}
		i += n
	}
	return b.String()
}

// noRune stands for an escape that gives no character.
const noRune rune = -1

// escape resolves the escape at the start of s and returns its character and
// length, 0 when there is none.
func escape(s string, percents bool) (r rune, n int) {
	switch s[0] {
	case '\\':
		if r, n = unicodeEscape(s); n > 0 {
			return r, n
		}
		return multibyteEscape(s)
	case '^':
		return caretEscape(s)
	case '%':
		if percents {
			return percentEscape(s)
		}
	}
	return 0, 0
}

// unicodeEscape resolves \U+XXXX; two that are a surrogate pair are one
// character.
func unicodeEscape(s string) (rune, int) {
	const size = len(`\U+XXXX`)
	r, ok := hexEscape(s, `\U+`, 4)
	if !ok {
		return 0, 0
	}
	if utf16.IsSurrogate(r) {
		if low, ok := hexEscape(s[size:], `\U+`, 4); ok {
			if pair := utf16.DecodeRune(r, low); pair != unicode.ReplacementChar {
				return pair, 2 * size
			}
		}
		return unicode.ReplacementChar, size
	}
	return r, size
}

// multibyteEscape resolves \M+nXXXX, a character of an East Asian code page.
func multibyteEscape(s string) (rune, int) {
	const size = len(`\M+nXXXX`)
	if len(s) < size || !strings.EqualFold(s[:3], `\M+`) || s[3] < '1' || s[3] > '5' {
		return 0, 0
	}
	v, err := strconv.ParseUint(s[4:size], 16, 16)
	if err != nil {
		return 0, 0
	}
	page := multibytePage(s[3])
	if page == nil {
		return unicode.ReplacementChar, size
	}
	code := []byte{byte(v >> 8), byte(v)}
	if code[0] == 0 {
		code = code[1:]
	}
	out, err := page.NewDecoder().Bytes(code)
	if err != nil {
		return unicode.ReplacementChar, size
	}
	r, _ := utf8.DecodeRune(out)
	return r, size
}

func hexEscape(s, prefix string, digits int) (rune, bool) {
	if len(s) < len(prefix)+digits || !strings.EqualFold(s[:len(prefix)], prefix) {
		return 0, false
	}
	v, err := strconv.ParseUint(s[len(prefix):len(prefix)+digits], 16, 32)
	return rune(v), err == nil
}

// caretEscape resolves ^X, which stands for the control character of X; a caret
// and a blank stand for a caret.
func caretEscape(s string) (rune, int) {
	if len(s) < 2 {
		return 0, 0
	}
	switch c := s[1]; {
	case c == ' ':
		return '^', 2
	case c >= '@' && c <= '_':
		return rune(c - '@'), 2
	}
	return 0, 0
}

// percentEscape resolves %%c, %%d, %%p, %%%, %%nnn and drops the marks of
// underlining, overlining and striking out.
func percentEscape(s string) (rune, int) {
	if len(s) < 3 || s[1] != '%' {
		return 0, 0
	}
	switch s[2] {
	case 'c', 'C':
		return '\u2205', 3 // as \U+2205, the sign CAD programs write for a diameter
	case 'd', 'D':
		return '°', 3
	case 'p', 'P':
		return '±', 3
	case '%':
		return '%', 3
	case 'u', 'U', 'o', 'O', 'k', 'K':
		return noRune, 3
	}
	digits := 2
	for digits < len(s) && digits < 5 && s[digits] >= '0' && s[digits] <= '9' {
		digits++
	}
	if digits == 2 {
		return 0, 0
	}
	v, _ := strconv.Atoi(s[2:digits])
	if v > 255 {
		return unicode.ReplacementChar, digits
	}
	if v < utf8.RuneSelf {
		return rune(v), digits
	}
	return charmap.Windows1252.DecodeByte(byte(v)), digits
}

// clean makes a text safe to show: tabs become blanks, carriage returns and
// line feeds one line feed, other control characters go.
func clean(s string) string {
	if !utf8.ValidString(s) {
		s = strings.ToValidUTF8(s, "\uFFFD")
	}
	if strings.IndexFunc(s, unsafeRune) < 0 {
		return s
	}
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\r' || r == '\n':
			return '\n'
		case r == '\t':
			return ' '
		case unsafeRune(r):
			return -1
		}
		return r
	}, strings.ReplaceAll(s, "\r\n", "\n"))
}

// unsafeRune reports control characters, the invisible ones that turn the
// direction of what follows, and the two that no XML document may hold.
func unsafeRune(r rune) bool {
	return unicode.IsControl(r) || r == '\ufffe' || r == '\uffff' ||
		r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069'
}
