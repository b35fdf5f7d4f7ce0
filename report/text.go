package report

import (
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Limits of a workbook (Microsoft, "Excel specifications and limits").
const (
	mostCellText  = 32767 // UTF-16 units in a cell
	mostLineFeeds = 253   // in a cell
	mostSheetName = 31    // characters
	mostHeader    = 255   // characters in a header or footer, codes counted
)

// cutMark ends a text that was cut.
const cutMark = " … (cut)"

// cellText makes text from a stranger fit for a cell: valid UTF-8, no control
// characters but line feeds, no more of these than Excel shows, and cut at
// Excel's limit with a mark.
func cellText(s string) string {
	if plain(s) && len(s) <= mostCellText {
		return s
	}
	feeds, units := 0, 0
	var b strings.Builder
	room := mostCellText - len(utf16.Encode([]rune(cutMark)))
	cutAt := -1
	s = strings.ReplaceAll(strings.ToValidUTF8(s, string(utf8.RuneError)), "\r\n", "\n")
	for _, r := range s {
		switch {
		case r == '\n' || r == '\r' || r == '\u0085' || r == '\u2028' || r == '\u2029':
			r = '\n'
			if feeds++; feeds > mostLineFeeds {
				r = ' '
			}
		case r == '\t':
			r = ' '
		case unicode.IsControl(r) || r == 0xfffe || r == 0xffff || unicode.Is(unicode.Bidi_Control, r):
			continue
		}
		n := utf16.RuneLen(r)
		if cutAt < 0 && units+n > room {
			cutAt = b.Len()
		}
		if units += n; units > mostCellText {
			return b.String()[:cutAt] + cutMark
		}
		b.WriteRune(r)
	}
	return b.String()
}

func plain(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] >= 0x7f {
			return false
		}
	}
	return true
}

// lineText is cellText on one line.
func lineText(s string) string {
	return strings.Join(strings.Fields(cellText(s)), " ")
}

// looksLikeFormula reports whether a spreadsheet could take the text for a
// formula once somebody edits the cell or saves it as CSV: the prefixes of
// OWASP's page on CSV injection and of ASVS 5.0 item 1.2.10, full-width forms
// included. Such text gets the number format for text.
func looksLikeFormula(s string) bool {
	r, _ := utf8.DecodeRuneInString(strings.TrimLeft(s, " \u00a0"))
	return strings.ContainsRune("=+-@\t\r\n\x00＝＋－＠", r) && s != ""
}

// sheetNames hands out legal sheet names, each once (case aside).
type sheetNames map[string]bool

// name makes a legal sheet name of a text (Microsoft, "Rename a worksheet"): 1
// to 31 characters, none of / \ ? * : [ ], no apostrophe at either end, not
// "History".
func (taken sheetNames) name(wanted string) string {
	s := strings.Map(func(r rune) rune {
		if strings.ContainsRune(`/\?*:[]`, r) {
			return '-'
		}
		return r
	}, lineText(wanted))
	s = strings.Trim(cutUnits(s, mostSheetName), "' ")
	if s == "" || strings.EqualFold(s, "history") {
		s = "Sheet " + s
		s = strings.TrimSpace(s)
	}
	base := s
	for n := 2; taken[strings.ToLower(s)]; n++ {
		tail := " (" + itoa(n) + ")"
		s = cutUnits(base, mostSheetName-len(tail)) + tail
	}
	taken[strings.ToLower(s)] = true
	return s
}

// cutUnits cuts to at most n UTF-16 units, never inside a character.
func cutUnits(s string, n int) string {
	for i, r := range s {
		if n -= utf16.RuneLen(r); n < 0 {
			return s[:i]
		}
	}
	return s
}

// headerText makes text fit for a page header: & starts a code there.
func headerText(s string, most int) string {
	return strings.ReplaceAll(cutUnits(lineText(s), most), "&", "&&")
}
