package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// manualPages runs the hidden command and returns the pages by file name.
func manualPages(t *testing.T) map[string]string {
	t.Helper()
	dir := t.TempDir()
	var said bytes.Buffer
	if code := run(context.Background(), []string{"manual", dir}, &said, &said); code != exitReady {
		t.Fatalf("code %d: %s", code, said.String())
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.1"))
	if err != nil {
		t.Fatal(err)
	}
	pages := map[string]string{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		pages[filepath.Base(f)] = string(text)
	}
	return pages
}

// A page for every command that people see, and the same pages on every machine.
func TestManual(t *testing.T) {
	t.Setenv("SOURCE_DATE_EPOCH", "1700000000") // 14 November 2023
	pages := manualPages(t)
	for _, c := range newRoot().Commands() {
		if _, there := pages["trueup-"+c.Name()+".1"]; there == c.Hidden {
			t.Errorf("%s: a page %v, hidden %v", c.Name(), there, c.Hidden)
		}
	}
	root := pages["trueup.1"]
	for _, want := range []string{"Nov 2023", "\ntrueup check FOLDER     check every template", "0 all ready"} {
		if !strings.Contains(root, want) {
			t.Errorf("no %q in\n%s", want, root)
		}
	}
	before := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(before)
	runtime.GOMAXPROCS(before + 5)
	for name, text := range manualPages(t) {
		if text != pages[name] {
			t.Errorf("%s depends on the number of processors", name)
		}
	}
}

func TestManualRefusesAWrongDate(t *testing.T) {
	t.Setenv("SOURCE_DATE_EPOCH", "yesterday")
	var said bytes.Buffer
	if code := run(context.Background(), []string{"manual", t.TempDir()}, &said, &said); code != exitUsage || !strings.Contains(said.String(), `"yesterday"`) {
		t.Errorf("code %d, said %q", code, said.String())
	}
}
