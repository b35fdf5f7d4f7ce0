package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trueup/rules"
)

// The README's table of rules is what `trueup rules --markdown` prints.
func TestReadmeRulesAreCurrent(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(repository, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	text := strings.ReplaceAll(string(data), "\r\n", "\n")
	_, rest, ok := strings.Cut(text, "checked by a test -->\n")
	table, _, end := strings.Cut(rest, "<!-- rules end -->")
	if !ok || !end {
		t.Fatal("README.md lacks the marks around the table of rules")
	}
	if strings.TrimSpace(table) != strings.TrimSpace(rules.Markdown()) {
		t.Error("the README's table of rules is old; put in what `trueup rules --markdown` prints")
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
