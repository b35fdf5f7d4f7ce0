package dxfio

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The first bytes of a file tell the same as reading all of it. The marks of the
// formats: "AC1032" starts a DWG of release 2018 (Open Design Specification for
// .dwg files), PK 3 4 a ZIP (PKWARE APPNOTE 4.3.7).
func TestForeign(t *testing.T) {
	for _, tc := range []struct{ name, head, want string }{
		{"DWG", "AC1032\x00\x00\x00\x00garbage", "a DWG drawing, not a DXF"},
		{"ZIP", "PK\x03\x04rest", "a ZIP archive, not a DXF"},
		{"empty", "", "the file is empty"},
		{"text", "hello there\nand more\n", "not a DXF: group code expected"},
		{"text of one line", "hello there", "not a DXF: group code expected"},
		{"zeros", strings.Repeat("\x00", 100), "zero bytes"},
		{"a drawing", "  0\nSECTION\n  2\n", ""},
		{"a drawing cut inside its first line", "  0", ""},
		{"a drawing cut inside its first pair", "  0\nSEC", ""},
		{"a comment first", "999\nfrom a machine\n  0\nSECTION\n", ""},
		{"blank lines", "\n\n", ""},
	} {
		err := Foreign("a.dxf", []byte(tc.head))
		if tc.want == "" && err != nil || tc.want != "" && (err == nil || !strings.Contains(err.Error(), tc.want)) {
			t.Errorf("%s: %v, want %q", tc.name, err, tc.want)
			continue
		}
		if tc.want == "" {
			continue
		}
		if _, whole := Read(bytes.NewReader([]byte(tc.head)), Options{File: "a.dxf"}); whole == nil || whole.Error() != err.Error() {
			t.Errorf("%s: %v, the reader says %v", tc.name, err, whole)
		}
	}
}

// No sample of another program's is taken for something else, wherever it is cut.
func TestSamplesAreNotForeign(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "*.dxf"))
	if err != nil || len(files) == 0 {
		t.Fatal("no samples", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for n := 1; n <= min(len(data), ForeignBytes); n++ {
			if err := Foreign(file, data[:n]); err != nil && n > len(binarySentinel) {
				t.Fatalf("%s, first %d bytes: %v", file, n, err)
			}
		}
	}
}
