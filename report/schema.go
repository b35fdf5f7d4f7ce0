package report

import _ "embed"

//go:embed schema.json
var schema []byte

// SchemaJSON returns the JSON Schema (draft 2020-12) of the result document.
func SchemaJSON() []byte { return append([]byte{}, schema...) }
