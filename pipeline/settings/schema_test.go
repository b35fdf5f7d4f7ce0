package settings

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

// An editor with the exported schema says of a settings file what the program
// says: another library (of the JSON Schema draft 2020-12) is asked.
func TestSchemaAgreesWithTheReader(t *testing.T) {
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(SchemaJSON()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("trueup.schema.json", document); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("trueup.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	d := Default()
	var defaults strings.Builder
	if err := d.WriteTOML(&defaults); err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		name, text string
		ok         bool
	}{
		{"the defaults", defaults.String(), true},
		{"values with units", "job_time = \"2 min\"\n[rules]\nnarrow_stop = \"2 in\"\n[watch]\nsettle = \"3 s\"\n", true},
		{"a severity", "[rules.severity]\nsharp-point = \"stop\"\n", true},
		{"a new slab", "[[shop.slab]]\nname = \"jumbo\"\nlength = 3300\nwidth = 1650\nmargin = 10\n", true},
		{"an unknown key", "[rules]\nnarow_stop = 50\n", false},
		{"text for a number", "[rules]\nnarrow_stop = true\n", false},
		{"out of range", "[rules]\nnarrow_stop = -1\n", false},
		{"a number for text", "units = 25\n", false},
		{"a text for a list", "[pieces.roles]\noutline = \"top\"\n", false},
		{"a severity that is none", "[rules.severity]\nsharp-point = 3\n", false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var value map[string]any
			if err := toml.Unmarshal([]byte(tc.text), &value); err != nil {
				t.Fatal(err)
			}
			data, err := json.Marshal(value)
			if err != nil {
				t.Fatal(err)
			}
			plain, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
			if err != nil {
				t.Fatal(err)
			}
			if err := schema.Validate(plain); (err == nil) != tc.ok {
				t.Errorf("the schema says %v, want acceptance %v", err, tc.ok)
			}
			if _, err := Parse("trueup.toml", []byte(tc.text)); (err == nil) != tc.ok {
				t.Errorf("the reader says %v, want acceptance %v", err, tc.ok)
			}
		})
	}
}
