package settings

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"reflect"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"trueup/pipeline/safefs"
)

// Error is a settings file that cannot be used: every fault in it.
type Error struct {
	File   string
	Faults []Fault
}

// Fault is one thing wrong in a settings file.
type Fault struct {
	Line  int    // 1-based, 0 when not known
	Key   string // dotted key; empty when the text is not TOML
	Found string // what is wrong and what is allowed
}

// Error implements error, one line a fault.
func (e *Error) Error() string {
	lines := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		s := e.File
		if f.Line > 0 {
			s += fmt.Sprintf(", line %d", f.Line)
		}
		if f.Key != "" {
			s += ": " + f.Key
		}
		lines[i] = s + ": " + f.Found
	}
	return strings.Join(lines, "\n")
}

// Load reads a settings file over the defaults. A file that does not exist, or
// is empty, is an error; callers that can do without ask for it first.
func Load(path string) (Settings, error) {
	file, info, err := safefs.OpenPath(path)
	if err != nil {
		return Settings{}, cannotRead(path, err)
	}
	defer file.Close()
	data, err := safefs.ReadAll(file, info, fileBytes)
	if err != nil {
		return Settings{}, cannotRead(path, err)
	}
	return parseFile(path, data)
}

// LoadFrom is Load of a file in a folder that is held open. A link is none there, and
// neither it nor a pipe is waited for or followed. shown is the path for messages.
func LoadFrom(dir *safefs.Dir, name, shown string) (Settings, error) {
	data, err := dir.ReadFile(name, fileBytes)
	if err != nil {
		return Settings{}, cannotRead(shown, err)
	}
	return parseFile(shown, data)
}

// fileBytes is more than any settings file has; every setting with its explanation is some 60 kB.
const fileBytes = 4 << 20

func cannotRead(path string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return &Error{path, []Fault{{Found: "no such settings file; `trueup settings > " + path + "` writes one with the defaults"}}}
	}
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return &Error{path, []Fault{{Found: "cannot be read: " + pe.Err.Error() + "; check that it is a file and may be read"}}}
	}
	return err
}

func parseFile(path string, data []byte) (Settings, error) {
	if len(bytes.TrimSpace(plainText(data))) == 0 {
		// An editor that is just saving, or a disk that was full, leaves this
		// behind: it must not put a shop's own limits out of force.
		return Settings{}, &Error{path, []Fault{{Found: "is empty; `trueup settings` prints what to write into it, without the file the built-in settings hold"}}}
	}
	return Parse(path, data)
}

// Parse reads TOML text over the defaults. The error is an *Error with every
// fault found.
func Parse(file string, data []byte) (Settings, error) {
	s := Default()
	data = plainText(data)
	var root map[string]any
	if err := toml.Unmarshal(data, &root); err != nil {
		return Settings{}, &Error{file, []Fault{notTOML(data, err)}}
	}
	d := decoder{lines: keyLines(data)}
	d.table("", root, reflect.ValueOf(&s).Elem())
	if len(d.faults) == 0 {
		d.check(&s)
	}
	if len(d.faults) > 0 {
		slices.SortStableFunc(d.faults, func(a, b Fault) int { return a.Line - b.Line })
		return Settings{}, &Error{file, d.faults}
	}
	return s, nil
}

type decoder struct {
	lines  map[string]int
	faults []Fault
}

func (d *decoder) fault(path, key, found string) {
	d.faults = append(d.faults, Fault{Line: d.line(path), Key: key, Found: found})
}

// line returns where the key stands, or the nearest table above it that does.
func (d *decoder) line(path string) int {
	for path != "" {
		if n, ok := d.lines[path]; ok {
			return n
		}
		i := strings.LastIndexByte(path, '.')
		if i < 0 {
			break
		}
		path = path[:i]
	}
	return 0
}

// table stores a TOML table in the struct v. Lists of tables are merged by name
// with the defaults, or replace them when their tables have no name.
func (d *decoder) table(path string, table map[string]any, v reflect.Value) {
	t := v.Type()
	known := map[string]int{}
	for i := range t.NumField() {
		if name := t.Field(i).Tag.Get("toml"); name != "" && name != "-" {
			known[name] = i
		}
	}
	for _, name := range slices.Sorted(mapKeys(table)) {
		at := path + name
		i, ok := known[name]
		if !ok {
			d.fault(at, at, "no such setting"+nearest(name, known))
			continue
		}
		f, fv, raw := t.Field(i), v.Field(i), table[name]
		switch {
		case leaf(f.Type):
			if err := newField(at, fv, f.Tag).set(raw); err != nil {
				d.fault(at, at, err.Error())
			}
		case f.Type.Kind() == reflect.Struct:
			sub, ok := raw.(map[string]any)
			if !ok {
				d.fault(at, at, wrongKind(raw, "a table").Error())
				continue
			}
			d.table(at+".", sub, fv)
		default:
			d.list(at, raw, fv)
		}
	}
}

func (d *decoder) list(at string, raw any, v reflect.Value) {
	items, ok := raw.([]any)
	if !ok {
		d.fault(at, at, wrongKind(raw, "a list of tables: [["+at+"]]").Error())
		return
	}
	naming, named := nameField(v.Type().Elem())
	if !named {
		v.Set(reflect.MakeSlice(v.Type(), 0, len(items)))
	} else {
		v.Set(reflect.AppendSlice(reflect.MakeSlice(v.Type(), 0, v.Len()), v)) // the defaults stay untouched
	}
	for i, item := range items {
		path := fmt.Sprintf("%s[%d].", at, i)
		table, ok := item.(map[string]any)
		if !ok {
			d.fault(at, at, wrongKind(item, "a table").Error())
			continue
		}
		target := -1
		if name, _ := table["name"].(string); named && name != "" {
			for j := range v.Len() {
				if v.Index(j).Field(naming).String() == name {
					target = j
				}
			}
		} else if named {
			d.fault(strings.TrimSuffix(path, "."), at, "a table without a name; each needs one")
			continue
		}
		if target < 0 {
			v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
			target = v.Len() - 1
			d.missing(path, table, v.Type().Elem())
		}
		d.table(path, table, v.Index(target))
	}
}

// missing refuses a new table of a list that leaves out a figure the built-in
// ones take from a source: nothing stands in for it, and 0, unless its doc says
// what that means, would be taken at its word.
func (d *decoder) missing(path string, table map[string]any, t reflect.Type) {
	for i := range t.NumField() {
		f := newField(t.Field(i).Tag.Get("toml"), reflect.Value{}, t.Field(i).Tag)
		if _, given := table[f.key]; given || f.unit == "" || f.source == "" || strings.Contains(f.doc, "0:") {
			continue
		}
		d.fault(path+f.key, path+f.key, "is missing; a new table needs it: "+f.doc+" ["+f.unit+"]")
	}
}

// keyLines maps each dotted key to its line; tables of a list are numbered.
func keyLines(data []byte) map[string]int {
	lines, count := map[string]int{}, map[string]int{}
	var p unstable.Parser
	p.Reset(data)
	prefix := ""
	for p.NextExpression() {
		n := p.Expression()
		key, line := "", 0
		for it := n.Key(); it.Next(); {
			if key != "" {
				key += "."
			}
			key += string(it.Node().Data)
			line = p.Shape(it.Node().Raw).Start.Line
		}
		switch n.Kind {
		case unstable.Table:
			prefix = key + "."
			lines[key] = line
		case unstable.ArrayTable:
			at := fmt.Sprintf("%s[%d]", key, count[key])
			count[key]++
			prefix = at + "."
			lines[at] = line
			if _, ok := lines[key]; !ok {
				lines[key] = line
			}
		case unstable.KeyValue:
			lines[prefix+key] = line
		}
	}
	return lines
}
