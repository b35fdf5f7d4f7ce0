package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// house lists the packages from the ground up. A package may import those of
// lines above its own, and nothing else of the module.
var house = []string{
	"dxfio/geom",
	"dxfio",
	"dxfio/trace",
	"dxfio/audit",
	"dxfio/piece",
	"rules/textform",
	"rules/shop",
	"rules/support",
	"rules/clearance",
	"rules",
	"report/draw",
	"report",
	"pipeline/safefs",
	"pipeline/watch",
	"pipeline/install",
	"pipeline/settings",
	"pipeline",
	"cmd/trueup",
}

const repository = "../.."

// sources calls visit for every Go file of the house, tests included.
func sources(t *testing.T, visit func(pkg, file string)) {
	t.Helper()
	seen := 0
	err := filepath.WalkDir(repository, func(p string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(repository, p)
		if e.IsDir() && (e.Name() == "testdata" || strings.HasPrefix(e.Name(), ".") && rel != ".") {
			return fs.SkipDir
		}
		if !e.IsDir() && strings.HasSuffix(p, ".go") {
			seen++
			visit(filepath.ToSlash(filepath.Dir(rel)), p)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen == 0 {
		t.Fatal("no Go file found")
	}
}

func TestPackagesImportDownwardsOnly(t *testing.T) {
	sources(t, func(pkg, file string) {
		floor := slices.Index(house, pkg)
		if floor < 0 {
			t.Errorf("%s: package %s has no floor; add it to the list", file, pkg)
			return
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			t.Error(err)
			return
		}
		for _, im := range f.Imports {
			path, _ := strconv.Unquote(im.Path.Value)
			if to, ok := strings.CutPrefix(path, "trueup/"); ok && to != pkg && slices.Index(house, to) >= floor {
				t.Errorf("%s imports %s, which stands above it or has no floor", file, to)
			}
		}
	})
}

// Everybody who opens a package must learn what comes in and what goes out.
func TestPackagesAreDocumented(t *testing.T) {
	documented := map[string]bool{}
	sources(t, func(pkg, file string) {
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.PackageClauseOnly|parser.ParseComments)
		if err != nil {
			t.Error(err)
			return
		}
		if f.Doc != nil && len(strings.Fields(f.Doc.Text())) > 15 {
			documented[pkg] = true
		}
	})
	for _, pkg := range house {
		if !documented[pkg] {
			t.Errorf("package %s has no doc comment of substance", pkg)
		}
	}
}

func TestTopLevel(t *testing.T) {
	allowed := []string{"cmd", "pipeline", "dxfio", "report", "rules", "testdata",
		"README.md", "DEVELOPERS.md", "LICENSE", "go.mod", "go.sum"}
	ignored := []string{"trueup-out", "dist", "trueup", "trueup.exe"} // as in .gitignore
	entries, err := os.ReadDir(repository)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") && !slices.Contains(allowed, e.Name()) && !slices.Contains(ignored, e.Name()) {
			t.Errorf("%s does not belong at the top", e.Name())
		}
	}
}

// DEVELOPERS.md names every package of the house and every module that go.mod
// requires directly, and no others.
func TestDevelopersKnowTheHouse(t *testing.T) {
	read := func(name string) string {
		data, err := os.ReadFile(filepath.Join(repository, name))
		if err != nil {
			t.Fatal(err)
		}
		return strings.ReplaceAll(string(data), "\r\n", "\n")
	}
	text, module := read("DEVELOPERS.md"), read("go.mod")
	for _, pkg := range house {
		if !strings.Contains(text, "| `"+pkg+"` |") {
			t.Errorf("DEVELOPERS.md does not say what goes into and out of %s", pkg)
		}
	}
	// Tools are required indirectly, by their package.
	want := map[string]bool{"honnef.co/go/tools": true}
	for _, line := range strings.Split(module, "\n") {
		if words := strings.Fields(line); strings.HasPrefix(line, "\t") && len(words) == 2 {
			want[words[0]] = true
		}
	}
	_, table, ok := strings.Cut(text, "## Dependencies, and why")
	if !ok || len(want) < 5 {
		t.Fatalf("no table of dependencies, or %d modules required", len(want))
	}
	for _, line := range strings.Split(table, "\n") {
		if rest, ok := strings.CutPrefix(line, "| `"); ok {
			name, _, _ := strings.Cut(rest, "`")
			if !want[name] {
				t.Errorf("DEVELOPERS.md explains %s, which go.mod does not require directly, or explains it twice", name)
			}
			delete(want, name)
		}
	}
	for name := range want {
		t.Errorf("DEVELOPERS.md does not say why %s is needed", name)
	}
}
