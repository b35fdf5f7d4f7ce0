package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every sentence of the security page names a test that holds the program to it, and
// every test that it names is there.
func TestSecurityPageIsTested(t *testing.T) {
	page := readText(t, ".github/SECURITY.md")
	share := readText(t, "testdata/outside/share.ci.sh")
	tests := map[string]bool{}
	named := regexp.MustCompile(`(?m)^func (Test\w+)\(`)
	err := filepath.WalkDir(repository, func(p string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || !strings.HasSuffix(p, "_test.go") {
			return err
		}
		data, err := os.ReadFile(p)
		for _, m := range named.FindAllStringSubmatch(string(data), -1) {
			tests[m[1]] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	promises, _, ok := strings.Cut(page, "## Not covered")
	if !ok {
		t.Fatal("the page has no part Not covered")
	}
	n := 0
	comment := regexp.MustCompile(`<!-- (.*) -->$`)
	for line := range strings.Lines(promises) {
		line = strings.TrimSpace(line)
		if !strings.HasPrefix(line, "- ") {
			continue
		}
		n++
		m := comment.FindStringSubmatch(line)
		if m == nil {
			t.Errorf("no test stands beside: %s", line)
			continue
		}
		names, outside, _ := strings.Cut(m[1], "share.ci.sh: ")
		for _, name := range strings.Fields(names) {
			if !tests[name] {
				t.Errorf("there is no %s, which stands beside: %s", name, line)
			}
		}
		if outside != "" && !strings.Contains(share, `check "`+outside+`"`) {
			t.Errorf("the share's gate step has no check %q", outside)
		}
	}
	if n < 30 {
		t.Errorf("only %d sentences found", n)
	}
}

func readText(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(repository, filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(string(data), "\r\n", "\n")
}
