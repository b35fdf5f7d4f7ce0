package main

import (
	"flag"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trueup/pipeline/settings"
	"trueup/rules"
)

// flagWrite puts the README's generated tables in anew:
//
//	go test ./cmd/trueup -run Readme -write
var flagWrite = flag.Bool("write", false, "write the README's tables of rules and settings")

// The README's tables of rules and of settings are what the program prints.
func TestReadmeTablesAreCurrent(t *testing.T) {
	file := filepath.Join(repository, "README.md")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.ReplaceAll(string(data), "\r\n", "\n")
	for _, tc := range []struct{ name, want string }{
		{"rules", rules.Markdown()},
		{"settings", settings.Markdown()},
	} {
		before, rest, ok := strings.Cut(text, "<!-- "+tc.name+": written by `trueup "+tc.name+" --markdown`, checked by a test -->\n")
		table, after, end := strings.Cut(rest, "<!-- "+tc.name+" end -->")
		if !ok || !end {
			t.Errorf("README.md lacks the marks around the table of %s", tc.name)
			continue
		}
		switch {
		case strings.TrimSpace(table) == strings.TrimSpace(tc.want):
		case *flagWrite:
			text = before + strings.TrimSuffix(text[len(before):], rest) + strings.TrimSpace(tc.want) + "\n<!-- " + tc.name + " end -->" + after
		default:
			t.Errorf("the README's table of %s is old; `go test ./cmd/trueup -run Readme -write` puts in what `trueup %s --markdown` prints", tc.name, tc.name)
		}
	}
	if *flagWrite {
		if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
			t.Fatal(err)
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

// Every command that the README names exists, with the options it gives it.
func TestReadmeCommandsExist(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(repository, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	root := newRoot()
	root.InitDefaultHelpCmd()
	found := 0
	for _, line := range strings.Split(string(data), "\n") {
		line = strings.TrimPrefix(strings.TrimSpace(line), "sudo ")
		if rest, ok := strings.CutPrefix(line, "trueup "); ok {
			found++
			words := strings.Fields(rest)
			c, _, err := root.Find(words)
			if err != nil || c == root {
				t.Errorf("README.md names the command %q, which does not exist", words[0])
				continue
			}
			for _, w := range words {
				if name, isOption := strings.CutPrefix(w, "--"); isOption && c.Flags().Lookup(name) == nil {
					t.Errorf("README.md: trueup %s has no option %s", c.Name(), w)
				}
			}
		}
	}
	if found == 0 {
		t.Error("README.md shows no command")
	}
}
