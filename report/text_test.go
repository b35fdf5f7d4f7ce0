package report

import (
	"strings"
	"testing"
	"unicode/utf16"
	"unicode/utf8"
)

// Limits of Microsoft's "Excel specifications and limits": 32,767 characters and
// 253 line feeds in a cell.
func TestCellText(t *testing.T) {
	long := strings.Repeat("x", 40000)
	astral := strings.Repeat("𝄞", 20000) // two UTF-16 units each
	for _, c := range []struct{ name, in, want string }{
		{"plain", "Kitchen 2", "Kitchen 2"},
		{"accents", "Müller, Łódź, Ålesund", "Müller, Łódź, Ålesund"},
		{"control characters", "a\x00b\x1bc\x7fd", "abcd"},
		{"tab", "a\tb", "a b"},
		{"line ends", "a\r\nb\rc\u2028d", "a\nb\nc\nd"},
		{"broken UTF-8", "a\xffb", "a\ufffdb"},
		{"not characters", "a\ufffeb\uffffc", "abc"},
		{"hidden direction marks", "abc\u202egnp.exe", "abcgnp.exe"},
		{"markup stays text", "<b>&amp;</b>", "<b>&amp;</b>"},
		{"empty", "", ""},
	} {
		if got := cellText(c.in); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	for name, s := range map[string]string{"long": long, "long beyond the basic plane": astral, "long with a control character": "\x01" + long} {
		got := cellText(s)
		if n := len(utf16.Encode([]rune(got))); n > mostCellText || n < mostCellText-2 || !strings.HasSuffix(got, cutMark) || !utf8.ValidString(got) {
			t.Errorf("%s: %d units, ends in %q", name, n, got[len(got)-12:])
		}
	}
	exact := strings.Repeat("é", mostCellText)
	if cellText(exact) != exact {
		t.Error("a text of exactly the limit was cut")
	}
	if n := strings.Count(cellText(strings.Repeat("a\n", 400)), "\n"); n != mostLineFeeds {
		t.Errorf("%d line feeds, want %d", n, mostLineFeeds)
	}
}

func FuzzCellText(f *testing.F) {
	for _, s := range []string{"", "=1+1", "\x00\xff", strings.Repeat("é\n", 300), "_x000A_"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := cellText(s)
		if !utf8.ValidString(got) || len(utf16.Encode([]rune(got))) > mostCellText {
			t.Fatalf("%q becomes %q", s, got)
		}
		for _, r := range got {
			if r < ' ' && r != '\n' || r == 0x7f {
				t.Fatalf("%q keeps %q", s, r)
			}
		}
		if cellText(got) != got && !strings.HasSuffix(got, cutMark) {
			t.Fatalf("%q is not settled", got)
		}
	})
}

// Prefixes of OWASP's page on CSV injection and of ASVS 5.0, item 1.2.10.
func TestLooksLikeFormula(t *testing.T) {
	for _, s := range []string{"=1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "\x00=1", "＝1", "  =1"} {
		if !looksLikeFormula(s) {
			t.Errorf("%q passes", s)
		}
	}
	for _, s := range []string{"", "A", "1-2", "<x>", "COUNTER"} {
		if looksLikeFormula(s) {
			t.Errorf("%q is refused", s)
		}
	}
}

// Rules of Microsoft's help on renaming a worksheet.
func TestSheetNames(t *testing.T) {
	taken := sheetNames{}
	seen := map[string]bool{}
	for _, wanted := range []string{
		"Piece A", "piece a", "Piece A", "Piece a/b\\c?d*e:f[g]", "'quoted'", "", "   ", "History", "HISTORY", strings.Repeat("x", 60), strings.Repeat("x", 61),
		strings.Repeat("𝄞", 40), "\x00\x01", "Summary\nFlags", "=cmd|' /C calc'!A0",
	} {
		got := taken.name(wanted)
		if n := len(utf16.Encode([]rune(got))); n == 0 || n > mostSheetName {
			t.Errorf("%q becomes %q: %d characters", wanted, got, n)
		}
		if strings.ContainsAny(got, `/\?*:[]`) || strings.HasPrefix(got, "'") || strings.HasSuffix(got, "'") || strings.EqualFold(got, "history") {
			t.Errorf("%q becomes %q, which is not legal", wanted, got)
		}
		if seen[strings.ToLower(got)] {
			t.Errorf("%q becomes %q twice", wanted, got)
		}
		seen[strings.ToLower(got)] = true
	}
}

func TestHeaderText(t *testing.T) {
	if got := headerText("R&D &A\n2", 60); got != "R&&D &&A 2" {
		t.Errorf("got %q", got)
	}
}
