package dxfio

import (
	"strings"
	"unicode/utf8"
)

// decodeMText returns the plain text of an MTEXT: paragraphs and columns become
// line feeds, fractions a/b, everything that only changes the look goes (DXF
// Reference, MTEXT; format codes of multiline text).
func decodeMText(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); {
		switch c := s[i]; c {
		case '{', '}':
			i++
		case '\\':
			i += mtextCode(&b, s[i:])
		case '^', '%':
			i += plainEscape(&b, s[i:])
		default:
			_, size := utf8.DecodeRuneInString(s[i:])
			b.WriteString(s[i : i+size])
			i += size
		}
	}
	return clean(b.String())
}

// plainEscape writes the caret or %% code at the start of s, or its first byte
// when it is none, and returns how much it used.
func plainEscape(b *strings.Builder, s string) int {
	r, n := escape(s, true)
	switch {
	case n == 0:
		b.WriteByte(s[0])
		return 1
	case r != noRune:
		b.WriteRune(r)
	}
	return n
}

// mtextCode writes what the backslash code at the start of s stands for and
// returns its length.
func mtextCode(b *strings.Builder, s string) int {
	if len(s) < 2 {
		b.WriteByte('\\')
		return 1
	}
	switch s[1] {
	case '\\', '{', '}':
		b.WriteByte(s[1])
		return 2
	case 'P', 'N', 'X':
		b.WriteByte('\n')
		return 2
	case '~':
		b.WriteByte(' ')
		return 2
	case 'L', 'l', 'O', 'o', 'K', 'k':
		return 2
	case 'S':
		end := codeEnd(s)
		if end == 0 {
			break
		}
		part := s[2 : end-1]
		if before := b.String(); before != "" && part != "" && isDigit(before[len(before)-1]) && isDigit(part[0]) {
			b.WriteByte(' ') // 34 and 1/2 stacked behind it are 34 1/2
		}
		writeFraction(b, part)
		return end
	case 'f', 'F', 'H', 'W', 'Q', 'T', 'A', 'C', 'c', 'p':
		if end := codeEnd(s); end > 0 {
			return end
		}
	case 'U', 'u', 'M', 'm':
		if r, n := escape(s, false); n > 0 {
			b.WriteRune(r)
			return n
		}
	}
	b.WriteByte('\\')
	return 1
}

// codeEnd returns the length of a code that a semicolon ends, 0 when none does.
// A semicolon behind a backslash is text.
func codeEnd(s string) int {
	for i := 2; i < len(s); i++ {
		switch s[i] {
		case '\\':
			i++
		case ';':
			return i + 1
		}
	}
	return 0
}

// writeFraction writes a stacked text on one line: 1/2 for the fractions 1/2 and
// 1#2, both lines with a blank between for a tolerance 1^2.
func writeFraction(b *strings.Builder, s string) {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == '\\' && i+1 < len(s):
			i++
			b.WriteByte(s[i])
		case c == '#':
			b.WriteByte('/')
		case c == '^':
			b.WriteByte(' ')
			if i+1 < len(s) && s[i+1] == ' ' {
				i++
			}
		default:
			b.WriteByte(c)
		}
	}
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
