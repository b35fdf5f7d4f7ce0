package rules

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Every rule is documented in full, its limits exist, and its id never changes.
func TestCatalogue(t *testing.T) {
	id := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	seen := map[string]bool{}
	for _, r := range Catalogue() {
		if !id.MatchString(r.ID) || seen[r.ID] {
			t.Errorf("%q is no id, or there twice", r.ID)
		}
		seen[r.ID] = true
		for what, s := range map[string]string{"What": r.What, "Why": r.Why, "How": r.How} {
			if !strings.HasSuffix(s, ".") || strings.Contains(s, "  ") {
				t.Errorf("%s: %s is no sentence: %q", r.ID, what, s)
			}
		}
		if len(r.Severities) == 0 || r.Check == nil {
			t.Errorf("%s: no severity or no check", r.ID)
		}
		if !slices.IsSortedFunc(r.Severities, func(a, b Severity) int { return rank(a) - rank(b) }) {
			t.Errorf("%s: severities are not gravest first: %v", r.ID, r.Severities)
		}
		for _, key := range r.Limits {
			if l, ok := limitOf(key); !ok || l.What == "" {
				t.Errorf("%s: limit %s is no setting with a description", r.ID, key)
			}
		}
	}
}

// designed are the rules that the design names, with their default severities.
const designed = `
open-outline stop
self-crossing stop
overlapping-pieces stop
drawing-not-kept stop
overlapping-cutouts stop
outline-ambiguous stop
cutout-ambiguous stop
stray-curve stop warn
stray-seam stop
stray-finish stop warn
stray-wall warn
unfinished-corner warn
coarse-curve warn
edge-from-mark stop note
doubled-line stop
cutout-outside stop
cutout-over-edge stop warn note
unmapped-layer stop warn
layer-doubtful stop
roles-guessed stop
unread-entity stop warn
units-unknown stop
units-implausible stop
off-plane stop warn
wide-line stop
dashed-line stop
dimension-differs stop warn
mirrored-text stop warn
edge-contradiction stop
piece-unfinished warn
cabinet-assumed warn
cabinet-proud warn
sink-over-cabinet-side warn
cooktop-near-wall warn
splash-differs warn
inside-radius stop warn
narrow-section stop warn
hole-spacing warn
sharp-point stop warn
unsupported-span stop
overhang stop
overhang-share stop
bending-stress warn
seam-unsupported stop
seam-near-cutout warn note
seam-mismatch stop
seam-step-mismatch stop
seam-assumed stop
seam-ambiguous warn
too-big-for-slab stop
too-tall-for-polisher warn
too-heavy warn
too-small-to-hold warn
too-big-for-access warn
saw-short note
changed-since-release stop`

func TestCatalogueHoldsWhatTheDesignNames(t *testing.T) {
	want := map[string]string{}
	for _, line := range strings.Split(strings.TrimSpace(designed), "\n") {
		id, severities, _ := strings.Cut(line, " ")
		want[id] = severities
	}
	for _, d := range Details() {
		if got := strings.Join(d.Severities, " "); want[d.ID] != got {
			t.Errorf("%s has %q, want %q", d.ID, got, want[d.ID])
		}
		delete(want, d.ID)
	}
	for id := range want {
		t.Errorf("%s is missing", id)
	}
}

// Every rule function of the package stands in the catalogue: a rule that is
// written and not listed would never run.
func TestEveryRuleIsListed(t *testing.T) {
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ".go") || strings.HasSuffix(f.Name(), "_test.go") {
			continue
		}
		tree, err := parser.ParseFile(token.NewFileSet(), f.Name(), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range tree.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Recv != nil || fn.Type.Results == nil || len(fn.Type.Params.List) > 0 || len(fn.Type.Results.List) != 1 {
				continue
			}
			if r, ok := fn.Type.Results.List[0].Type.(*ast.Ident); ok && r.Name == "Rule" {
				found++
				// one rule a file, named after it
				id := kebab(fn.Name.Name)
				if _, ok := Find(id); !ok {
					t.Errorf("%s: %s() is not in the catalogue as %s", f.Name(), fn.Name.Name, id)
				}
				if want := strings.ReplaceAll(id, "-", "_") + ".go"; want != f.Name() {
					t.Errorf("%s() stands in %s, want %s", fn.Name.Name, f.Name(), want)
				}
			}
		}
	}
	if found != len(Catalogue()) {
		t.Errorf("%d rule functions, %d rules in the catalogue", found, len(Catalogue()))
	}
}

func kebab(name string) string {
	return strings.ToLower(regexp.MustCompile(`([a-z])([A-Z])`).ReplaceAllString(name, "$1-$2"))
}

func TestWords(t *testing.T) {
	var table bytes.Buffer
	if err := WriteTable(&table); err != nil {
		t.Fatal(err)
	}
	md := Markdown()
	for _, d := range Details() {
		if !strings.Contains(table.String(), d.ID+" ") || !strings.Contains(md, "`"+d.ID+"`") {
			t.Errorf("%s is missing in the table or the markdown", d.ID)
		}
		var full bytes.Buffer
		if err := d.WriteText(&full); err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{d.What, d.Why, d.How} {
			if !strings.Contains(full.String(), want) {
				t.Errorf("%s in full lacks %q", d.ID, want)
			}
		}
	}
	for _, line := range strings.Split(strings.TrimSpace(md), "\n") {
		if n := strings.Count(strings.ReplaceAll(line, `\|`, ""), "|"); n != 5 {
			t.Errorf("%d bars in %q", n, line)
		}
	}
	b, err := json.Marshal(Details()[0])
	if err != nil || !bytes.Contains(b, []byte(`"rule":"units-unknown"`)) {
		t.Errorf("%s, %v", b, err)
	}
	// The figures of the table are the defaults themselves.
	for _, want := range []string{"`rules.narrow_stop` 50 mm", "`rules.inside_radius` 9.5 mm", "`rules.hole_stone` 25 mm"} {
		if !strings.Contains(md, want) {
			t.Errorf("the markdown lacks %q", want)
		}
	}
}

func TestValidate(t *testing.T) {
	for _, c := range []struct {
		name string
		set  func(*Settings)
		want string
	}{
		{"defaults", func(s *Settings) {}, ""},
		{"unknown rule off", func(s *Settings) { s.Off = []string{"narow-section"} }, "off"},
		{"known rule off", func(s *Settings) { s.Off = []string{"narrow-section"} }, ""},
		{"unknown rule's severity", func(s *Settings) { s.Severity = map[string]string{"x": "stop"} }, "severity"},
		{"unknown severity", func(s *Settings) { s.Severity = map[string]string{"sharp-point": "error"} }, "severity"},
		{"warning under its stop", func(s *Settings) { s.NarrowWarn = 40 }, "narrow_warn"},
		{"widest strip under the least", func(s *Settings) { s.Support.Strip = 20 }, "support.strip_width"},
		{"point warning under its stop", func(s *Settings) { s.SharpPoint = 10 }, "sharp_point"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Default()
			c.set(&s)
			faults := s.Validate()
			if c.want == "" && len(faults) > 0 || c.want != "" && (len(faults) != 1 || faults[0].Key != c.want) {
				t.Errorf("%v, want a fault at %q", faults, c.want)
			}
		})
	}
}
