package watch

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"strings"
	"testing"
)

// byPath are the calls of the standard library that look a name up by a path: what
// others can write in a shop must never be touched through them.
var byPath = map[string]string{
	"os": "Open OpenFile OpenRoot OpenInRoot Create CreateTemp ReadFile WriteFile ReadDir Stat Lstat Rename Remove RemoveAll Mkdir MkdirAll MkdirTemp " +
		"Link Symlink Readlink Chmod Chown Lchown Chtimes Truncate DirFS CopyFS Chdir",
	"filepath": "Walk WalkDir Glob EvalSymlinks",
	"syscall":  "Open Stat Lstat Rename Unlink Rmdir Mkdir Link Chmod Creat",
	"unix":     "Open Stat Lstat Rename Unlink Rmdir Mkdir Link Chmod Creat Openat Renameat Unlinkat Fstatat",
	"windows":  "CreateFile MoveFile MoveFileEx DeleteFile CreateDirectory RemoveDirectory",
	"ioutil":   "ReadFile WriteFile ReadDir",
}

// trustedPlaces are the calls by path that are left, and why they touch nothing that
// others can write.
var trustedPlaces = map[string]string{
	"owner_linux.go: os.ReadFile": "of /proc",
	"owner_linux.go: os.Readlink": "of /proc",
	"init.go: os.MkdirAll":        "the shop folder itself, on the word of whoever sets it up",
	"reload.go: os.Stat":          "the settings file that the command line names outside the shop",
}

// Everything below the shop folder goes through safefs.
func TestNothingIsTouchedByPath(t *testing.T) {
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	for _, file := range files {
		if !strings.HasSuffix(file.Name(), ".go") || strings.HasSuffix(file.Name(), "_test.go") {
			continue
		}
		set := token.NewFileSet()
		tree, err := parser.ParseFile(set, file.Name(), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, place := range callsByPath(tree) {
			name := file.Name() + ": " + place.call
			used[name] = true
			if trustedPlaces[name] == "" {
				t.Errorf("%s: %s looks a name up by its path; go through the folder (safefs)", set.Position(place.at), place.call)
			}
		}
	}
	for name := range trustedPlaces {
		if !used[name] && !strings.HasPrefix(name, "owner_linux.go") {
			t.Errorf("%s is not called any more: take it off the list", name)
		}
	}
}

type pathCall struct {
	call string
	at   token.Pos
}

func callsByPath(tree ast.Node) []pathCall {
	var list []pathCall
	ast.Inspect(tree, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr) // as a value too, not only where it is called
		if !ok {
			return true
		}
		pkg, ok := sel.X.(*ast.Ident)
		if ok && strings.Contains(" "+byPath[pkg.Name]+" ", " "+sel.Sel.Name+" ") {
			list = append(list, pathCall{pkg.Name + "." + sel.Sel.Name, sel.Pos()})
		}
		return true
	})
	return list
}

// The test above finds what it is to find.
func TestCallsByPathAreFound(t *testing.T) {
	tree, err := parser.ParseFile(token.NewFileSet(), "x.go", `package x
import "os"
func f() { os.Getpid(); g := os.Rename; os.ReadFile("x"); h.Open("y"); _ = g }`, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := callsByPath(tree); len(got) != 2 || got[0].call != "os.Rename" || got[1].call != "os.ReadFile" {
		t.Errorf("%v", got)
	}
}
