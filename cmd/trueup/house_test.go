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
	"dxfio/piece",
	"rules/textform",
	"rules/shop",
	"rules/support",
	"rules/clearance",
	"rules",
	"report/draw",
	"report",
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
		"README.md", "DEVELOPERS.md", "SECURITY.md", "CHANGELOG.md", "LICENSE", "go.mod", "go.sum"}
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
