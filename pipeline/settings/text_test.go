package settings

import (
	"encoding/binary"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"
)

// Editors and command lines of Windows write a byte order mark, or UTF-16.
func TestParseTextOfWindows(t *testing.T) {
	const text = "[rules]\r\nnarrow_stop = 51 # Müller\r\n"
	utf16le, utf16be := []byte{0xff, 0xfe}, []byte{0xfe, 0xff}
	for _, unit := range utf16.Encode([]rune(text)) {
		utf16le = binary.LittleEndian.AppendUint16(utf16le, unit)
		utf16be = binary.BigEndian.AppendUint16(utf16be, unit)
	}
	for name, data := range map[string][]byte{
		"plain": []byte(text), "with a mark": []byte("\xef\xbb\xbf" + text), "UTF-16": utf16le, "UTF-16, high byte first": utf16be,
	} {
		if s, err := Parse("trueup.toml", data); err != nil || s.Rules.NarrowStop != 51 {
			t.Errorf("%s: narrow_stop %v, %v", name, s.Rules.NarrowStop, err)
		}
	}
}

// What cannot be read says where, and what people mostly meant.
func TestNotTOMLSaysWhatToDo(t *testing.T) {
	for _, tc := range []struct{ name, text, want string }{
		{"a decimal comma", "[rules]\nnarrow_stop = 50,5\n", "trueup.toml, line 2: expected newline but got U+002C ','; write decimals with a point"},
		{"a unit without quotes", "[rules]\nnarrow_stop = 2 in\n", `put a value with its unit in quotes, as in "3/8 in"`},
		{"inches without quotes", "[rules]\njoint = 1/16\"\n", "line 2"},
		{"twice", "[rules]\njoint = 1\njoint = 2\n", "line 3: key joint is already defined; take one of the two out"},
		{"a letter", "Dear all,\n", "a line is KEY = VALUE, a text stands in quotes, a note begins with #"},
		{"a code page", "[report]\nshop = \"M\xfcller\"\n", "line 2: a letter that is not UTF-8; save the file as UTF-8"},
	} {
		_, err := Parse("trueup.toml", []byte(tc.text))
		if err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: got %v, want %q", tc.name, err, tc.want)
		}
		if err != nil && strings.Contains(err.Error(), "toml:") {
			t.Errorf("%s: %v speaks of the library", tc.name, err)
		}
	}
}

// A settings file that an editor has just cut to nothing changes no limit.
func TestLoadRefusesWhatIsNoFileOfSettings(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"empty.toml": "", "blank.toml": "\r\n \n", "mark.toml": "\xef\xbb\xbf"} {
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		if _, err := Load(file); err == nil || !strings.Contains(err.Error(), name+": is empty; ") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Load(dir); err == nil || !strings.Contains(err.Error(), "check that it is a file") {
		t.Errorf("a folder: %v", err)
	}
}

// A new slab without its margin, or a new limit without its span, would have 0.
func TestNewTablesNeedTheirFigures(t *testing.T) {
	for _, tc := range []struct {
		name, text string
		want       []string
	}{
		{"a slab without margin", "[[shop.slab]]\nname = \"jumbo\"\nlength = \"130 in\"\nwidth = \"65 in\"\n",
			[]string{"line 1: shop.slab[0].margin: is missing; a new table needs it: trimmed off along every side [mm]"}},
		{"a limit without lengths", "[[rules.support.limit]]\nfrom = 12\nto = 14\n", []string{"limit[0].span: is missing", "limit[0].cantilever: is missing"}},
		{"a whole slab", "[[shop.slab]]\nname = \"jumbo\"\nlength = \"130 in\"\nwidth = \"65 in\"\nmargin = 0\n", nil},
		{"the built-in slab, changed", "[[shop.slab]]\nname = \"usual\"\nlength = \"126 in\"\n", nil},
	} {
		_, err := Parse("trueup.toml", []byte(tc.text))
		if (err == nil) != (tc.want == nil) {
			t.Errorf("%s: %v", tc.name, err)
			continue
		}
		for _, want := range tc.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: got %v, want %q", tc.name, err, want)
			}
		}
	}
}

// A fraction without a unit is meant as inches; as millimetres it would be wrong.
func TestFractionOfALengthWantsItsUnit(t *testing.T) {
	_, err := Parse("trueup.toml", []byte("[rules]\njoint = \"1/16\"\n"))
	if err == nil || !strings.Contains(err.Error(), `"1/16" has no unit; write "1/16 in" or "1/16 mm"`) {
		t.Errorf("got %v", err)
	}
	s, err := Parse("trueup.toml", []byte("[rules.support]\noverhang_share = \"1/3\"\n"))
	if err != nil || s.Rules.Support.Share < 0.333 || s.Rules.Support.Share > 0.334 {
		t.Errorf("a share of one third: %v, %v", s.Rules.Support.Share, err)
	}
}
