package dxfio

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf16"
)

// Files that are no drawing, or only a part of one, end with an error that says
// where, what and what to do.
func TestFaults(t *testing.T) {
	whole := entities("0 LINE 8 TOP 10 0 20 0 11 1 21 1")
	var wide bytes.Buffer
	for _, u := range utf16.Encode([]rune(whole)) {
		wide.Write([]byte{byte(u), byte(u >> 8)})
	}
	for _, tc := range []struct {
		name, text string
		line       int64
		want       string
	}{
		{"empty", "", 0, "the file is empty"},
		{"blanks", " \n\n  \r\n", 0, "nothing but blanks"},
		{"DWG", "AC1032\x00\x00\x00", 0, "a DWG drawing, not a DXF; export it as DXF"},
		{"old DWG", "AC1.50\x00", 0, "a DWG drawing"},
		{"UTF-16 with a mark", "\xff\xfe" + wide.String(), 0, "UTF-16"},
		{"UTF-16 without", wide.String(), 0, "UTF-16"},
		{"archive", "PK\x03\x04abc", 0, "ZIP archive"},
		{"PDF", "%PDF-1.7", 0, "PDF"},
		{"zero bytes", strings.Repeat("\x00", 200), 0, "zero bytes"},
		{"prose", "Dear office,\nplease find enclosed\n", 1, "not a DXF: group code expected, found \"Dear office,\""},
		{"another start", pairs("5 2A 0 SECTION"), 2, "not a DXF: it starts with group 5"},
		{"number as group code", pairs("0 SECTION 2 ENTITIES 0 LINE 1x0 5"), 7, "group code expected, found \"1x0\""},
		{"no number", entities("0 LINE 10 abc"), 22, "group 10 holds \"abc\", which is not a number"},
		{"decimal comma", entities("0 LINE 10 12,5"), 22, "decimal point"},
		{"not finite", entities("0 LINE 10 nan"), 22, "not a finite number"},
		{"endless", entities("0 CIRCLE 40 1e999"), 22, "not a finite number"},
		{"far away", entities("0 LINE 10 1e308"), 22, "reading.coordinate"},
		{"arc past the range", entities("0 LWPOLYLINE 10 0 20 0 42 1e12 10 1e9 20 0"), 19, "reading.coordinate"},
		{"no flag", entities("0 LWPOLYLINE 70 closed"), 22, "not a whole number"},
		{"cut in a pair", pairs("0 SECTION 2 ENTITIES 0 LINE 10"), 7, "between a group code and its value"},
		{"cut in an entity", pairs("0 SECTION 2 ENTITIES 0 LINE 8 TOP 10 5"), 10, "ends inside the ENTITIES section, after 1 entities; the file is cut short"},
		{"cut between entities", strings.TrimSuffix(whole, pairs("0 ENDSEC 0 EOF")), 30, "ends inside the ENTITIES section"},
		{"cut in the header", pairs("0 SECTION 2 HEADER 9 $ACADVER 1 AC1015"), 8, "ends inside the HEADER section"},
		{"cut in a block", section("HEADER", "") + pairs("0 SECTION 2 BLOCKS 0 BLOCK 2 A 0 LINE"), 16, "ends inside the BLOCKS section"},
		{"cut behind the header", section("HEADER", millimetreHeader), 14, "ends before its ENTITIES section"},
		{"cut behind the blocks", section("HEADER", millimetreHeader) + section("BLOCKS", sink), 0, "ends before its ENTITIES section"},
		{"binary of a text transfer", "AutoCAD Binary DXF\n\x1a\x00abc", 0, "binary mode"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			e := readError(t, tc.text, Options{})
			if !strings.Contains(e.Error(), tc.want) {
				t.Errorf("%v, want %q", e, tc.want)
			}
			if e.Line != tc.line && tc.name != "cut behind the blocks" {
				t.Errorf("line %d, want %d: %v", e.Line, tc.line, e)
			}
		})
	}
}

// A drawing cut anywhere is refused, or, past its last ENDSEC, read whole.
func TestCutAnywhere(t *testing.T) {
	whole := withBlocks(sink, "0 INSERT 8 TOP 2 SINK 10 0 20 0 0 POLYLINE 8 TOP 0 VERTEX 10 0 20 0 0 VERTEX 10 1 20 1 0 SEQEND 0 TEXT 8 TOP 1 A 10 0 20 0 40 1")
	complete := strings.LastIndex(whole, "ENDSEC") + len("ENDSEC")
	want := mustRead(t, whole)
	for cut := range len(whole) {
		d, err := Read(strings.NewReader(whole[:cut]), Options{})
		if cut < complete != (err != nil) {
			// "0 EOF" cut behind its 0 is a pair cut short, too.
			if cut < complete || err == nil || strings.TrimSpace(whole[complete:cut]) != "0" {
				t.Fatalf("cut at %d of %d: %v", cut, len(whole), err)
			}
			continue
		}
		if err == nil && len(d.Curves) != len(want.Curves) {
			t.Fatalf("cut at %d: %d curves, want %d", cut, len(d.Curves), len(want.Curves))
		}
	}
}

// What real exporters leave out or add.
func TestLeniences(t *testing.T) {
	line := "0 LINE 8 TOP 10 1 20 2 11 3 21 4"
	plain := entities(line)
	for _, tc := range []struct{ name, text string }{
		{"entities alone", section("ENTITIES", line) + pairs("0 EOF")},
		{"no end mark", strings.TrimSuffix(plain, pairs("0 EOF"))},
		{"no line end at the end", strings.TrimSuffix(plain, "\n")},
		{"no ENDSEC before EOF", strings.TrimSuffix(plain, pairs("0 ENDSEC 0 EOF")) + pairs("0 EOF")},
		{"no ENDSEC before a section", pairs("0 SECTION 2 HEADER 9 $INSUNITS 70 4") + section("ENTITIES", line) + pairs("0 EOF")},
		{"trash behind the end", plain + "trash\x00\x01\x02"},
		{"DOS end mark", strings.TrimSuffix(plain, pairs("0 EOF")) + "\x1a"},
		{"CR LF", strings.ReplaceAll(plain, "\n", "\r\n")},
		{"CR", strings.ReplaceAll(plain, "\n", "\r")},
		{"CR CR LF", strings.ReplaceAll(plain, "\n", "\r\r\n")},
		{"lower case", strings.ToLower(strings.ReplaceAll(plain, "TOP", "top"))},
		{"leading blanks", "  " + strings.ReplaceAll(plain, "\n", "\n   ")},
		{"trailing blanks", strings.ReplaceAll(plain, "\n", " \t\n")},
		{"blank lines in front", "\n \n\r\n" + plain},
		{"comments", pairs("999 made~by~hand") + strings.Replace(plain, "0\nLINE", "999\n0\n0\nLINE", 1)},
		{"byte-order mark", "\xef\xbb\xbf" + plain},
		{"groups between sections", section("HEADER", "") + pairs("5 2A 330 1F") + section("ENTITIES", line) + pairs("0 EOF")},
		{"sections nobody knows", section("CLASSES", "0 CLASS 1 X") + section("ENTITIES", line) + section("OBJECTS", "0 DICTIONARY 5 C 10 abc") + section("THUMBNAILIMAGE", "90 5 310 FF") + pairs("0 EOF")},
		{"one byte at a time", plain},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var r io.Reader = strings.NewReader(tc.text)
			if tc.name == "one byte at a time" {
				r = iotest.OneByteReader(r)
			}
			d, err := Read(r, Options{})
			if err != nil {
				t.Fatal(err)
			}
			wantCurves(t, d, curve(1, 2, 3, 4, 0))
		})
	}
}

// Every limit of the settings stops a file and is named.
func TestLimits(t *testing.T) {
	line := "0 LINE 8 TOP 10 1 20 2 11 3 21 4 "
	long := strings.Repeat("x", 5000)
	for _, tc := range []struct {
		name   string
		text   string
		limits Limits
		want   string
	}{
		{"file size", entities(strings.Repeat(line, 200)), Limits{FileBytes: 2000}, "reading.file_bytes"},
		{"curves", entities(strings.Repeat(line, 200)), Limits{Curves: 100}, "reading.curves"},
		{"texts", entities(strings.Repeat("0 TEXT 8 TOP 10 1 20 2 40 1 1 A ", 200)), Limits{Curves: 100}, "reading.curves"},
		{"points", entities(strings.Repeat("0 POINT 8 TOP 10 1 20 2 ", 200)), Limits{Curves: 100}, "reading.curves"},
		{"arcs of ellipses", entities(strings.Repeat("0 ELLIPSE 8 TOP 10 0 20 0 11 900 21 0 40 0.3 ", 20)), Limits{Curves: 100}, "reading.curves"},
		{"layers", entities(distinctLayers(50)), Limits{Layers: 20}, "reading.layers"},
		{"vertices of one entity", entities("0 LWPOLYLINE 8 TOP " + strings.Repeat("10 1 ", 2000)), Limits{Curves: 100}, "reading.curves"},
		{"knots of one entity", entities("0 SPLINE 8 TOP " + strings.Repeat("40 1 ", 2000)), Limits{Curves: 100}, "reading.curves"},
		{"entities of blocks", withBlocks("0 BLOCK 2 A "+strings.Repeat("0 LINE ", 200), ""), Limits{Curves: 100}, "reading.curves"},
		{"block names", entities(distinctBlocks(200)), Limits{Curves: 100}, "reading.curves"},
		{"line length", entities("0 TEXT 8 TOP 1 " + long), Limits{LineBytes: 1000}, "reading.line_bytes"},
		{"line without an end", strings.Repeat("7", 3<<20), Limits{}, "reading.line_bytes"},
		{"value without an end", pairs("0 SECTION 2 HEADER") + "9\n" + strings.Repeat("7", 3<<20), Limits{}, "reading.line_bytes"},
		{"text length", entities("0 MTEXT 8 TOP 3 " + strings.Repeat(long[:200]+" 3 ", 20) + "x"), Limits{TextBytes: 1000}, "reading.text_bytes"},
		{"coordinate", entities("0 POINT 8 TOP 10 2e6"), Limits{Coordinate: 1e6}, "reading.coordinate"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if e := readError(t, tc.text, Options{Limits: tc.limits}); !strings.Contains(e.Do, tc.want) {
				t.Errorf("%v, want %q", e, tc.want)
			}
		})
	}
}

func distinctLayers(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "0 POINT 8 L%d 10 0 20 0 ", i)
	}
	return b.String()
}

func distinctBlocks(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "0 INSERT 8 TOP 2 B%d 10 0 20 0 ", i)
	}
	return b.String()
}

// A drawing of nothing but unknown entity names keeps no more than a few.
func TestManyNames(t *testing.T) {
	var b strings.Builder
	for i := range 3000 {
		fmt.Fprintf(&b, "0 THING%d 8 TOP ", i)
	}
	d := mustRead(t, entities(b.String()))
	sum := 0
	for _, u := range d.Unread {
		sum += u.Count
	}
	if len(d.Unread) > mostNames+1 || sum != 3000 {
		t.Errorf("%d kinds, %d entities", len(d.Unread), sum)
	}
}

func TestReadFault(t *testing.T) {
	broken := errors.New("the share went away")
	_, err := Read(io.MultiReader(strings.NewReader(pairs("0 SECTION 2 HEADER")), iotest.ErrReader(broken)), Options{File: "t.dxf"})
	var e *Error
	if !errors.As(err, &e) || !errors.Is(err, broken) || !strings.Contains(e.Found, "the share went away") {
		t.Errorf("%v", err)
	}
	if _, err = Read(stuck{}, Options{}); !errors.Is(err, io.ErrNoProgress) {
		t.Errorf("a reader that gives nothing: %v", err)
	}
}

// stuck never gives a byte.
type stuck struct{}

func (stuck) Read([]byte) (int, error) { return 0, nil }
