package main

import (
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trueup/pipeline/settings"
	"trueup/rules"
)

// The README's tables of rules and of settings are what the program prints.
func TestReadmeTablesAreCurrent(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(repository, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	text := strings.ReplaceAll(string(data), "\r\n", "\n")
	for _, tc := range []struct{ name, want string }{
		{"rules", rules.Markdown()},
		{"settings", settings.Markdown()},
	} {
		_, rest, ok := strings.Cut(text, "<!-- "+tc.name+": written by `trueup "+tc.name+" --markdown`, checked by a test -->\n")
		table, _, end := strings.Cut(rest, "<!-- "+tc.name+" end -->")
		if !ok || !end {
			t.Errorf("README.md lacks the marks around the table of %s", tc.name)
			continue
		}
		if strings.TrimSpace(table) != strings.TrimSpace(tc.want) {
			t.Errorf("the README's table of %s is old; put in what `trueup %s --markdown` prints", tc.name, tc.name)
		}
	}
}

// The README's picture is there, and small enough for a page of text.
func TestReadmePicture(t *testing.T) {
	f, err := os.Open(filepath.Join(repository, "report", "testdata", "report-page.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	c, err := png.DecodeConfig(f)
	if err != nil {
		t.Fatal(err)
	}
	info, err := f.Stat()
	if err != nil {
		t.Fatal(err)
	}
	if c.Width < 1000 || info.Size() > 250_000 {
		t.Errorf("the picture is %d pixels wide and %d bytes; report/testdata/page.sh makes it", c.Width, info.Size())
	}
}

// Every command that the README names exists.
func TestReadmeCommandsExist(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(repository, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{}
	for _, c := range newRoot().Commands() {
		known[c.Name()] = true
	}
	found := 0
	for _, line := range strings.Split(string(data), "\n") {
		line = strings.TrimPrefix(strings.TrimSpace(line), "sudo ")
		if rest, ok := strings.CutPrefix(line, "trueup "); ok {
			found++
			if name := strings.Fields(rest)[0]; !known[name] {
				t.Errorf("README.md names the command %q, which does not exist", name)
			}
		}
	}
	if found == 0 {
		t.Error("README.md shows no command")
	}
}
