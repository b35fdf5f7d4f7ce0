package settings

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
)

// Every default must survive being written and read back, lie in its own range
// and be explained.
func TestDefaultsRoundTrip(t *testing.T) {
	d := Default()
	var b bytes.Buffer
	if err := d.WriteTOML(&b); err != nil {
		t.Fatal(err)
	}
	got, err := Parse("trueup.toml", b.Bytes())
	if err != nil {
		t.Fatalf("the written defaults do not parse: %v\n%s", err, b.String())
	}
	for i, e := range got.Entries() {
		if want := d.Entries()[i]; e.Value != want.Value {
			t.Errorf("%s: read back as %s, was %s", e.Key, e.Value, want.Value)
		}
		if e.Changed {
			t.Errorf("%s is reported as changed", e.Key)
		}
	}
}

func TestEverySettingIsExplained(t *testing.T) {
	d := Default()
	walk("", reflect.ValueOf(&d).Elem(), func(f field) {
		if f.doc == "" {
			t.Errorf("%s has no doc", f.key)
		}
		if f.unit != "" && factors[f.unit] == nil {
			t.Errorf("%s has the unknown unit %q", f.key, f.unit)
		}
	})
}

func TestParseQuantity(t *testing.T) {
	for _, tc := range []struct {
		text, unit string
		want       float64
	}{
		{"1/16 in", "mm", 1.5875}, {"1 1/2 in", "mm", 38.1}, {"1-1/2 in", "mm", 38.1}, {`3/8"`, "mm", 9.525},
		{"1.5 mm", "mm", 1.5}, {"2 ft", "mm", 609.6}, {"12", "mm", 12}, {"-3 mm", "mm", -3},
		{"168 lb/ft3", "kg/m3", 168 * 16.018463373960}, // lb/ft3: NIST SP 811
		{"1200 psi", "MPa", 1200 * 6894.757293168e-6},  // psi: NIST SP 811
		{"200 lbf", "N", 889.64432305210},              // lbf: NIST SP 811
		{"60 in/min", "mm/min", 1524}, {"50 %", "share", 0.5}, {"5 min", "s", 300},
	} {
		got, err := parseQuantity(tc.text, tc.unit)
		if err != nil || math.Abs(got-tc.want) > 1e-9*math.Abs(tc.want) {
			t.Errorf("%q in %s: got %v, %v; want %v", tc.text, tc.unit, got, err, tc.want)
		}
	}
	// A shop reads the value on the sheet of limits, and a limit is compared with it.
	for text, want := range map[string]float64{"1 1/2 in": 38.1, "3/4 in": 19.05, "63 in": 1600.2, "0.1 in": 2.54, "1/32 in": 0.79375} {
		if got, err := parseQuantity(text, "mm"); err != nil || got != want {
			t.Errorf("%q: got %v, %v; want exactly %v mm", text, got, err, want)
		}
	}
	for _, bad := range []string{"1,5 mm", "mm", "", "1/0 in", "3 furlong", "1 kg", "--3"} {
		if got, err := parseQuantity(bad, "mm"); err == nil {
			t.Errorf("%q passes as %v mm", bad, got)
		}
	}
}

func TestParse(t *testing.T) {
	s, err := Parse("shop.toml", []byte(`
units = "in"
[rules]
narrow_stop = "2 in"
severity = {sharp-point = "stop"}
[[shop.material]]
name = "granite"
density = "168 lb/ft3"
[[shop.material]]
name = "house blend"
density = 2400
`))
	if err != nil {
		t.Fatal(err)
	}
	granite, _ := s.Shop.Material("granite")
	blend, ok := s.Shop.Material("house blend")
	def := Default()
	before, _ := def.Shop.Material("granite")
	switch {
	case s.Rules.NarrowStop != 50.8:
		t.Errorf("narrow_stop %v", s.Rules.NarrowStop)
	case s.Rules.Severity["sharp-point"] != "stop":
		t.Errorf("severity %v", s.Rules.Severity)
	case math.Abs(granite.Density-2691.1018468) > 1e-6:
		t.Errorf("granite density %v", granite.Density)
	case granite.Flexural != before.Flexural:
		t.Errorf("a named table must keep what it does not set: flexural %v", granite.Flexural)
	case !ok || blend.Density != 2400:
		t.Errorf("house blend %+v", blend)
	case before.Density == granite.Density:
		t.Error("parsing changed the defaults")
	}
}

func TestParseFaults(t *testing.T) {
	for _, tc := range []struct {
		name, text string
		line       int
		want       string
	}{
		{"not TOML", "units = ", 1, ""},
		{"unknown key", "[rules]\n\nnarow_stop = 50", 3, "the nearest is narrow_stop"},
		{"unknown table", "[rule]\nnarrow_stop = 50", 1, "the nearest is rules"},
		{"wrong kind", "[closing]\njoin = true", 2, "write a number"},
		{"decimal comma", "[closing]\njoin = \"0,5 mm\"", 2, "point"},
		{"out of range", "[closing]\njoin = -1", 2, "allowed: 0 to 5 mm"},
		{"not finite", "[closing]\njoin = nan", 2, "not a number"},
		{"unit of another kind", "[closing]\njoin = \"1 kg\"", 2, "allowed here"},
		{"list where a table belongs", "rules = [1]", 1, "write a table"},
		{"material not listed", "[pieces]\nmaterial = \"cheese\"", 2, "not among the materials"},
		{"in a list of tables", "[[shop.material]]\nname=\"x\"\ndensity=1\n[[shop.material]]\nname=\"y\"\ndensity=-4", 3, "allowed: 500"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := Parse("shop.toml", []byte(tc.text))
			var e *Error
			if !errors.As(err, &e) {
				t.Fatalf("got %v, want an *Error", err)
			}
			if e.Faults[0].Line != tc.line || !strings.Contains(e.Faults[0].Found, tc.want) {
				t.Errorf("got line %d %q, want line %d with %q", e.Faults[0].Line, e.Faults[0].Found, tc.line, tc.want)
			}
			if !strings.HasPrefix(err.Error(), "shop.toml, line ") {
				t.Errorf("message %q does not name file and line", err)
			}
		})
	}
}

func TestSchemaIsJSON(t *testing.T) {
	var v map[string]any
	if err := json.Unmarshal(SchemaJSON(), &v); err != nil {
		t.Fatal(err)
	}
	if _, ok := v["properties"].(map[string]any)["rules"]; !ok {
		t.Error("the schema lacks the rules table")
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte("units = \"in\"\n[rules]\nnarrow_stop = \"2 in\""))
	f.Add([]byte("[[shop.material]]\nname=\"x\""))
	f.Add([]byte("rules = {off=[\"a\"]}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Parse("fuzz.toml", data)
		if err == nil {
			s.Entries()
		}
	})
}

// A wrong word is told with its own line, not that of its table, and a material with
// the one that may have been meant.
func TestWrongWords(t *testing.T) {
	for text, want := range map[string]string{
		"[report]\nunits = \"in\"\npaper = \"Letter\"":   `shop.toml, line 3: report.paper: "Letter"; write a4 or letter`,
		"[report]\npaper = \"letter\"\nunits = \"inch\"": `shop.toml, line 3: report.units: "inch"; write mm, in or both`,
		"[pieces]\nmaterial = \"Granite\"":               `shop.toml, line 2: pieces.material: "Granite" is not among the materials, the nearest is "granite"; add it under [[shop.material]]`,
		"[pieces]\nmaterial = \"soapstone\"":             `shop.toml, line 2: pieces.material: "soapstone" is not among the materials; add it under [[shop.material]]`,
	} {
		if _, err := Parse("shop.toml", []byte(text)); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}
