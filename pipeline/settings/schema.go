package settings

import (
	"encoding/json"
	"reflect"
	"strings"
)

// SchemaJSON returns a JSON Schema (draft 2020-12) of the settings file, for
// editors that complete and check TOML.
func SchemaJSON() []byte {
	d := Default()
	root := objectSchema(reflect.TypeOf(d))
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = "trueup settings"
	data, err := json.MarshalIndent(root, "", "  ")
	if err != nil {
		panic(err) // maps of strings and numbers always encode
	}
	return append(data, '\n')
}

func objectSchema(t reflect.Type) map[string]any {
	properties := map[string]any{}
	for i := range t.NumField() {
		f := t.Field(i)
		name := f.Tag.Get("toml")
		if name == "" || name == "-" {
			continue
		}
		p := typeSchema(f)
		doc := f.Tag.Get("doc")
		if u := f.Tag.Get("unit"); u != "" {
			doc += " [" + u + "]"
		}
		if s := f.Tag.Get("source"); s != "" {
			doc += "; source: " + s
		}
		p["description"] = strings.TrimSpace(doc)
		properties[name] = p
	}
	return map[string]any{"type": "object", "properties": properties, "additionalProperties": false}
}

func typeSchema(f reflect.StructField) map[string]any {
	if f.Type == durationType {
		return map[string]any{"type": []string{"number", "string"}}
	}
	switch f.Type.Kind() {
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Map:
		kind := "number"
		if f.Type.Elem().Kind() == reflect.String {
			kind = "string"
		}
		return map[string]any{"type": "object", "additionalProperties": map[string]any{"type": kind}}
	case reflect.Struct:
		return objectSchema(f.Type)
	case reflect.Slice:
		if f.Type.Elem().Kind() == reflect.Struct {
			return map[string]any{"type": "array", "items": objectSchema(f.Type.Elem())}
		}
		kind := "string"
		if f.Type.Elem().Kind() != reflect.String {
			kind = "number"
		}
		return map[string]any{"type": "array", "items": map[string]any{"type": kind}}
	default:
		p := map[string]any{"type": []string{"number", "string"}}
		fd := newField(f.Name, reflect.Value{}, f.Tag)
		if fd.min != nil {
			p["minimum"] = *fd.min
		}
		if fd.max != nil {
			p["maximum"] = *fd.max
		}
		return p
	}
}
