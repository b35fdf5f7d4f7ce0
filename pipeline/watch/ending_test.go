package watch

import (
	"encoding/binary"
	"strings"
	"testing"
	"unicode/utf16"
)

// The forms are those of the DXF Reference: "DXF File Structure" (a text file
// ends with group 0, EOF) and "Binary DXF Files".
func TestEndsAsDXF(t *testing.T) {
	sentinel := "AutoCAD Binary DXF\r\n\x1a\x00"
	wide := func(s string, order binary.AppendByteOrder) string {
		var b []byte
		for _, u := range utf16.Encode([]rune("\ufeff" + s)) {
			b = order.AppendUint16(b, u)
		}
		return string(b)
	}
	for _, tc := range []struct {
		name, content string
		want          bool
	}{
		{"line feeds", "0\nSECTION\n0\nENDSEC\n0\nEOF\n", true},
		{"carriage returns", "  0\r\nENDSEC\r\n  0\r\nEOF\r\n", true},
		{"old carriage returns alone", "0\rENDSEC\r0\rEOF\r", true},
		{"no line end", "0\nENDSEC\n0\nEOF", true},
		{"Ctrl-Z", "0\r\nEOF\r\n\x1a", true},
		{"padded with NUL", "0\r\nEOF\r\n" + strings.Repeat("\x00", 200), true},
		{"blank lines", "0\nEOF\n\n \n", true},
		{"blanks before", "   0\n  EOF\n", true},
		{"nothing but the end", "0\nEOF\n", true},
		{"UTF-16, little end first", wide("0\r\nENDSEC\r\n0\r\nEOF\r\n", binary.LittleEndian), true},
		{"UTF-16, big end first", wide("0\r\nENDSEC\r\n0\r\nEOF\r\n", binary.BigEndian), true},
		{"binary", sentinel + "\x00\x00SECTION\x00\x00\x00EOF\x00", true},
		{"binary, codes of one byte", sentinel + "\x00SECTION\x00\x00EOF\x00", true},
		{"binary cut", sentinel + "\x00\x00SECTION\x00\x00\x00EO", false},
		{"binary with a text end", sentinel + "0\nEOF\n", false},
		{"empty", "", false},
		{"cut before", "0\nSECTION\n0\nENDSEC\n0\n", false},
		{"cut within", "0\nENDSEC\n0\nEO", false},
		{"EOF is a text", "0\nTEXT\n1\nEOF\n", false},
		{"EOF ends a word", "0\nTHEOF\n", false},
		{"EOF without its code", "EOF\n", false},
		{"code 10", "10\nEOF\n", false},
		{"something after it", "0\nEOF\n0\nLINE\n", false},
		{"blanks past where it is looked for", "0\nEOF\n" + strings.Repeat("\n", 2*tailBytes), false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := endsAsDXF(strings.NewReader(tc.content), int64(len(tc.content)))
			if err != nil || got != tc.want {
				t.Errorf("%v (%v), want %v", got, err, tc.want)
			}
		})
	}
}
