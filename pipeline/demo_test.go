package pipeline

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"trueup/pipeline/settings"
	"trueup/report"
)

func compiledSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(report.SchemaJSON()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("result.json", document); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("result.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

// The result of every demo template is a document of the published schema, and
// says of the template what its maker drew into it.
func TestDemo(t *testing.T) {
	schema := compiledSchema(t)
	items, err := Find([]string{filepath.Join("..", "testdata", "demo")})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]struct {
		verdict report.Verdict
		stops   string // rules of the stop flags, in order
		pieces  int
	}{
		"01-kitchen-l":      {report.Review, "narrow-section", 2},
		"02-island":         {report.Review, "overhang", 1},
		"03-vanity":         {report.Ready, "", 3},
		"04-laundry-inches": {report.Ready, "", 1},
		"05-small-gaps":     {report.Ready, "", 1},
		"06-wide-gap":       {report.Review, "open-outline", 1},
		"07-facets":         {report.Review, "overhang-share", 1},
		"08-broken":         {report.Failed, "", 0},
		"09-stepped-seam":   {report.Ready, "", 2},
		"10-apron-sink":     {report.Ready, "", 1},
	}
	if len(items) != len(want) {
		t.Fatalf("%d templates, want %d", len(items), len(want))
	}
	s := settings.Default()
	for _, it := range items {
		t.Run(it.Job, func(t *testing.T) {
			r := checkFile(context.Background(), it, "", &s).Result
			var b bytes.Buffer
			if err := r.WriteJSON(&b, false); err != nil {
				t.Fatal(err)
			}
			document, err := jsonschema.UnmarshalJSON(&b)
			if err != nil {
				t.Fatal(err)
			}
			if err := schema.Validate(document); err != nil {
				t.Error(err)
			}
			var stops []string
			for _, f := range r.Flags {
				if f.Severity == "stop" {
					stops = append(stops, f.Rule)
				}
			}
			w := want[it.Job]
			if r.Verdict != w.verdict || len(r.Pieces) != w.pieces || strings.Join(stops, " ") != w.stops {
				t.Errorf("%s with %d pieces and stops %q, want %+v", r.Verdict, len(r.Pieces), stops, w)
			}
			for _, u := range r.Unchecked {
				if u.Rule != "too-big-for-access" && u.Rule != "too-heavy" { // the built-in settings name no corridor, crew or gear
					t.Errorf("not checked: %s: %s", u.Rule, u.Why)
				}
			}
			if info, err := os.Stat(it.Path); err != nil || r.Source.Bytes != info.Size() {
				t.Errorf("%d bytes of the source, the file: %v, %v", r.Source.Bytes, info.Size(), err)
			}
		})
	}
}
