package dxfio

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The binary samples were written by another program (see samples_test.go).
func TestIsBinary(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "*.dxf"))
	if err != nil || len(files) == 0 {
		t.Fatal("no samples", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := IsBinary(data[:HeadBytes]), strings.HasSuffix(file, "-bin.dxf"); got != want {
			t.Errorf("%s: %v", file, got)
		}
		if IsBinary(data[:HeadBytes-1]) {
			t.Errorf("%s: told from too few bytes", file)
		}
	}
	if IsBinary(nil) {
		t.Error("nothing is no binary drawing")
	}
}
