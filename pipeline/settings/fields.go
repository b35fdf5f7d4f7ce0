package settings

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"time"
)

// field is one leaf of the settings: a value with its key and tags.
type field struct {
	key    string // dotted, such as rules.narrow_stop or shop.material.granite.density
	value  reflect.Value
	unit   string
	doc    string
	source string
	min    *float64
	max    *float64
}

var durationType = reflect.TypeFor[time.Duration]()

// leaf reports whether a value is written as one TOML value.
func leaf(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Struct:
		return false
	case reflect.Slice:
		return t.Elem().Kind() != reflect.Struct
	default:
		return true
	}
}

// walk calls visit for every leaf below v, in the order of declaration. Elements
// of a list of tables are named by their name, or by their place in the list.
func walk(prefix string, v reflect.Value, visit func(field)) {
	t := v.Type()
	for i := range t.NumField() {
		f := t.Field(i)
		name := f.Tag.Get("toml")
		if name == "" || name == "-" {
			continue
		}
		key, fv := prefix+name, v.Field(i)
		switch {
		case leaf(f.Type):
			visit(newField(key, fv, f.Tag))
		case f.Type.Kind() == reflect.Struct:
			walk(key+".", fv, visit)
		default:
			for j := range fv.Len() {
				walk(key+"."+elementName(fv.Index(j), j)+".", fv.Index(j), visit)
			}
		}
	}
}

func newField(key string, v reflect.Value, tag reflect.StructTag) field {
	number := func(name string) *float64 {
		s := tag.Get(name)
		if s == "" {
			return nil
		}
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			panic(fmt.Sprintf("settings: tag %s of %s: %v", name, key, err)) // a programming error, met by any test
		}
		return &x
	}
	return field{key: key, value: v, unit: tag.Get("unit"), doc: tag.Get("doc"), source: tag.Get("source"),
		min: number("min"), max: number("max")}
}

// elementName returns how one table of a list is told from the others.
func elementName(v reflect.Value, index int) string {
	if i, ok := nameField(v.Type()); ok {
		if n := v.Field(i).String(); n != "" {
			return n
		}
	}
	return strconv.Itoa(index + 1)
}

// nameField returns the field that names a table of a list, if it has one.
func nameField(t reflect.Type) (int, bool) {
	for i := range t.NumField() {
		if t.Field(i).Tag.Get("toml") == "name" && t.Field(i).Type.Kind() == reflect.String {
			return i, true
		}
	}
	return 0, false
}

// text returns the value as it stands in TOML.
func text(v reflect.Value) string {
	switch v.Kind() {
	case reflect.String:
		return quote(v.String())
	case reflect.Bool:
		return strconv.FormatBool(v.Bool())
	case reflect.Int, reflect.Int32, reflect.Int64:
		if v.Type() == durationType {
			return quote(time.Duration(v.Int()).String())
		}
		return strconv.FormatInt(v.Int(), 10)
	case reflect.Float64:
		return strconv.FormatFloat(v.Float(), 'g', -1, 64)
	case reflect.Slice:
		parts := make([]string, v.Len())
		for i := range parts {
			parts[i] = text(v.Index(i))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case reflect.Map:
		keys := sortedKeys(v)
		parts := make([]string, len(keys))
		for i, k := range keys {
			parts[i] = quote(k) + " = " + text(v.MapIndex(reflect.ValueOf(k)))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	default:
		panic("settings: no text for " + v.Type().String()) // a programming error, met by any test
	}
}

func quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < 0x20 || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
