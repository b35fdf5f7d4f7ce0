package settings

import (
	"bufio"
	"fmt"
	"io"
	"reflect"
	"strings"
)

// Entry is one setting as shown to people.
type Entry struct {
	Key     string // dotted
	Value   string // as written in TOML
	Default string
	Unit    string
	Doc     string
	Source  string
	Allowed string // the range, empty when any
	Changed bool   // differs from the default
	// Raw and RawDefault are the values as numbers, truth values or text; a list
	// is its text. RawDefault is nil for an entry that the defaults lack.
	Raw, RawDefault any
}

// Entries lists every setting in the order of the file.
func (s *Settings) Entries() []Entry {
	defaults := map[string]field{}
	d := Default()
	walk("", reflect.ValueOf(&d).Elem(), func(f field) { defaults[f.key] = f })
	var out []Entry
	walk("", reflect.ValueOf(s).Elem(), func(f field) {
		e := Entry{Key: f.key, Value: text(f.value), Raw: raw(f.value), Unit: f.unit, Doc: f.doc,
			Source: f.source, Allowed: f.allowed(), Changed: true}
		if def, ok := defaults[f.key]; ok {
			e.Default, e.RawDefault = text(def.value), raw(def.value)
			e.Changed = e.Value != e.Default
		}
		out = append(out, e)
	})
	return out
}

// raw returns the value as a number, truth value or text.
func raw(v reflect.Value) any {
	switch v.Kind() {
	case reflect.Float64:
		return v.Float()
	case reflect.Bool:
		return v.Bool()
	case reflect.String:
		return v.String()
	case reflect.Int, reflect.Int32, reflect.Int64:
		if v.Type() != durationType {
			return v.Int()
		}
	}
	return text(v)
}

// WriteTOML writes the settings as a file a shop can edit: each value with what
// it is, its unit, what is allowed and where the default comes from.
func (s *Settings) WriteTOML(w io.Writer) error {
	b := bufio.NewWriter(w)
	fmt.Fprintln(b, "# trueup settings. Lines that are taken out fall back to the built-in value.")
	fmt.Fprintln(b, `# Lengths are mm; "3/8 in" or "9.5 mm" in quotes work too.`)
	writeTable(b, "", reflect.ValueOf(s).Elem())
	return b.Flush()
}

// writeTable writes the leaves of a struct first, then its tables, as TOML wants.
func writeTable(b *bufio.Writer, path string, v reflect.Value) {
	t := v.Type()
	for i := range t.NumField() {
		if tag := t.Field(i).Tag; tag.Get("toml") != "" && tag.Get("toml") != "-" && leaf(t.Field(i).Type) {
			f := newField(tag.Get("toml"), v.Field(i), tag)
			fmt.Fprintf(b, "\n# %s\n%s = %s\n", comment(f), f.key, text(f.value))
		}
	}
	for i := range t.NumField() {
		name := t.Field(i).Tag.Get("toml")
		if name == "" || name == "-" || leaf(t.Field(i).Type) {
			continue
		}
		fv, doc := v.Field(i), t.Field(i).Tag.Get("doc")
		if fv.Kind() == reflect.Struct {
			fmt.Fprintf(b, "\n# %s\n[%s]\n", doc, path+name)
			writeTable(b, path+name+".", fv)
			continue
		}
		for j := range fv.Len() {
			fmt.Fprintf(b, "\n# %s\n[[%s]]\n", doc, path+name)
			writeTable(b, path+name+".", fv.Index(j))
		}
	}
}

func comment(f field) string {
	parts := []string{f.doc}
	if f.unit != "" {
		parts[0] += " [" + f.unit + "]"
	}
	if a := f.allowed(); a != "" {
		parts = append(parts, "allowed: "+a)
	}
	if f.source != "" {
		parts = append(parts, "source: "+f.source)
	}
	return strings.Join(parts, "; ")
}
