package dxfio

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"
)

// EscapeText returns s as a single-line text of a DXF that has no Unicode of its
// own: characters outside ASCII become \U+XXXX (two of them past the basic
// plane), line breaks become blanks, control characters go, and what would be
// taken for an escape (%% codes, caret codes, \U+) is itself escaped.
func EscapeText(s string) string {
	var b strings.Builder
	percent := false
	for _, r := range s {
		if percent && r != '%' {
			b.WriteByte('%')
			percent = false
		}
		switch {
		case r == '%' && percent:
			b.WriteString("%%%%%%") // %%% stands for one percent sign
			percent = false
		case r == '%':
			percent = true
		case r == '\n' || r == '\t' || r == '\r':
			b.WriteByte(' ')
		case unicode.IsControl(r):
		case r == '^':
			b.WriteString("^ ") // a caret and a blank stand for one caret
		case r == '\\':
			b.WriteString(`\U+005C`)
		case r < 0x80:
			b.WriteRune(r)
		default:
			writeUnicodeEscape(&b, r)
		}
	}
	if percent {
		b.WriteByte('%')
	}
	return b.String()
}

func writeUnicodeEscape(b *strings.Builder, r rune) {
	if hi, lo := utf16.EncodeRune(r); hi != unicode.ReplacementChar {
		fmt.Fprintf(b, `\U+%04X\U+%04X`, hi, lo)
		return
	}
	fmt.Fprintf(b, `\U+%04X`, r)
}

// layerNameForbidden are the characters that symbol table names may not hold
// (DXF Reference, symbol table naming: < > / \ " : ; ? * | , = `).
const layerNameForbidden = "<>/\\\":;?*|,=`"

// LayerName returns name as a legal layer name: forbidden and control characters
// become underscores, characters outside ASCII are escaped, an empty name is 0,
// and names are cut at 255 characters.
func LayerName(name string) string {
	var b strings.Builder
	for _, r := range name {
		if b.Len() >= 240 { // one escaped character takes up to 14 more
			break
		}
		switch {
		case unicode.IsControl(r) || strings.ContainsRune(layerNameForbidden, r):
			b.WriteByte('_')
		case r < 0x80:
			b.WriteRune(r)
		default:
			writeUnicodeEscape(&b, r)
		}
	}
	if strings.TrimSpace(b.String()) == "" {
		return "0"
	}
	return b.String()
}
