package rules

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// tableRunners are the helpers that run a table, or one case of one, against the
// rule that they are given.
var tableRunners = map[string]bool{"runCases": true, "checkFlags": true, "check": true, "runStrays": true}

// Every rule of the catalogue stands in a test table: its function is named in
// the literal of a table in a Test function, or given to a helper that runs one.
func TestEveryRuleHasATable(t *testing.T) {
	files, err := filepath.Glob("*_test.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	tested := map[string]bool{} // rule functions
	for _, name := range files {
		tree, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range tree.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || !strings.HasPrefix(fn.Name.Name, "Test") || strings.HasPrefix(fn.Name.Name, "TestKey") {
				continue
			}
			ast.Inspect(fn.Body, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.CompositeLit:
					if kind, ok := n.Type.(*ast.ArrayType); ok {
						if _, structs := kind.Elt.(*ast.StructType); structs {
							namesIn(n, tested)
						}
					}
				case *ast.CallExpr:
					// A bare check of one drawing is a table's when its function has one.
					if f, ok := n.Fun.(*ast.Ident); ok && tableRunners[f.Name] && (f.Name != "check" || hasTable(fn.Body)) {
						for _, arg := range n.Args {
							if call, ok := arg.(*ast.CallExpr); ok {
								namesIn(call.Fun, tested)
							}
						}
					}
				}
				return true
			})
		}
	}
	for _, r := range Catalogue() {
		if !tested[camel(r.ID)] {
			t.Errorf("%s has no test table: %s stands in none of %v", r.ID, camel(r.ID), files)
		}
	}
	if tested["noSuchRule"] || !tested["narrowSection"] {
		t.Error("the search for tables finds nothing, or everything")
	}
}

// hasTable reports whether a function has the literal of a table.
func hasTable(body ast.Node) (has bool) {
	ast.Inspect(body, func(n ast.Node) bool {
		if c, ok := n.(*ast.CompositeLit); ok {
			if kind, ok := c.Type.(*ast.ArrayType); ok {
				_, structs := kind.Elt.(*ast.StructType)
				has = has || structs && len(c.Elts) > 1
			}
		}
		return !has
	})
	return has
}

// namesIn notes every name in a tree.
func namesIn(n ast.Node, into map[string]bool) {
	ast.Inspect(n, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			into[id.Name] = true
		}
		return true
	})
}

// camel is the name of the function that returns the rule with an id.
func camel(id string) string {
	words := strings.Split(id, "-")
	for i := 1; i < len(words); i++ {
		words[i] = strings.ToUpper(words[i][:1]) + words[i][1:]
	}
	return strings.Join(words, "")
}

// Every rule file states where its limits come from: a publication, or that it is
// common practice; and every limit has a default and a source of its own.
func TestEveryLimitHasADefaultAndASource(t *testing.T) {
	for _, r := range Catalogue() {
		for _, key := range r.Limits {
			l, ok := limitOf(key)
			if !ok {
				t.Errorf("%s: no setting %s", r.ID, key)
				continue
			}
			none := l.Default == "" || strings.HasPrefix(l.Default, "0 ")
			if l.Source == "" && !none {
				t.Errorf("%s: %s has no source", r.ID, key)
			}
			// A default of none has to say what none means.
			if none && !strings.Contains(l.What, "0 ") && !strings.Contains(l.What, "0:") && !strings.Contains(l.What, "without") && !strings.Contains(l.What, "none") {
				t.Errorf("%s: %s has no default, and does not say what none means: %q", r.ID, key, l.What)
			}
		}
	}
}

// No setting of the rules is an orphan: every figure is a limit of a rule, has a
// unit, a source and a default that its own bounds allow.
func TestEveryFigureIsALimitOfARule(t *testing.T) {
	named := map[string]bool{}
	for _, r := range Catalogue() {
		for _, key := range r.Limits {
			named[key] = true
		}
	}
	var walk func(v reflect.Value, path string, covered bool)
	walk = func(v reflect.Value, path string, covered bool) {
		for i := range v.NumField() {
			f, key := v.Type().Field(i), path+"."+v.Type().Field(i).Tag.Get("toml")
			is := covered || named[key]
			switch f.Type.Kind() {
			case reflect.Struct:
				walk(v.Field(i), key, is)
			case reflect.Slice:
				if f.Type.Elem().Kind() == reflect.Struct && v.Field(i).Len() > 0 {
					walk(v.Field(i).Index(0), key, is)
				}
			case reflect.Float64:
				_, unit := f.Tag.Lookup("unit")
				if !is || !unit || f.Tag.Get("doc") == "" {
					t.Errorf("%s: limit of a rule %v, unit %v, doc %q", key, is, unit, f.Tag.Get("doc"))
				}
				if f.Tag.Get("source") == "" && !strings.Contains(f.Tag.Get("doc"), "0 takes") && !strings.HasPrefix(f.Tag.Get("doc"), "thickness") {
					t.Errorf("%s has no source", key)
				}
			}
		}
	}
	walk(reflect.ValueOf(Default()), "rules", false)
}

// Every rule file tells in its comment where the limit comes from, or that it has
// none to compare with.
func TestEveryRuleFileNamesItsSource(t *testing.T) {
	for _, r := range Catalogue() {
		if len(r.Limits) == 0 {
			continue
		}
		name := strings.ReplaceAll(r.ID, "-", "_") + ".go"
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		said, figures := string(text), false
		for _, key := range r.Limits {
			if l, ok := limitOf(key); ok {
				said += l.Source
				figures = figures || l.Default != ""
			}
		}
		if !figures {
			continue
		}
		if !strings.Contains(said, "common practice") && !strings.Contains(said, "(20") && !strings.Contains(said, "ANSI") {
			t.Errorf("%s names no source", name)
		}
	}
}
