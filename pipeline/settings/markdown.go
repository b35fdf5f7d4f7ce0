package settings

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// chapter is a part of the reference: the settings whose keys begin with one of
// the prefixes and that no chapter before it took.
type chapter struct {
	title    string
	folded   bool
	prefixes []string
}

// chapters puts what a shop touches first in the open, and folds the rest away.
func chapters() []chapter {
	return []chapter{
		{"Names of layers", true, []string{"pieces.roles.", "pieces.sink_layers", "pieces.cooktop_layers", "pieces.name_layers"}},
		{"The drawing and the stone", false, []string{"units", "clean_units", "pieces."}},
		{"Limits of the rules", false, []string{"rules."}},
		{"Machines, slabs, lifting, access", true, []string{"shop."}},
		{"Closing outlines", true, []string{"closing."}},
		{"Reports, the service, limits of the reader", true, []string{""}},
	}
}

// Markdown returns the reference of every setting: what is built in, what may be
// written, what it is and where the default comes from.
func Markdown() string {
	d := Default()
	all := references(&d)
	var b strings.Builder
	parts := chapters()
	taken := make([][]reference, len(parts))
	for _, r := range all {
		i := slices.IndexFunc(parts, func(c chapter) bool {
			return slices.ContainsFunc(c.prefixes, func(p string) bool { return strings.HasPrefix(r.key, p) })
		})
		taken[i] = append(taken[i], r)
	}
	for _, folded := range []bool{false, true} {
		for i, c := range parts {
			if c.folded == folded {
				c.write(&b, taken[i])
			}
		}
	}
	return b.String()
}

func (c chapter) write(b *strings.Builder, entries []reference) {
	if c.folded {
		fmt.Fprintf(b, "<details><summary>%s</summary>\n\n", c.title)
	} else {
		fmt.Fprintf(b, "**%s**\n\n", c.title)
	}
	fmt.Fprintln(b, "| setting | built in | allowed | what it is | source of the default |\n|---|---|---|---|---|")
	for _, r := range entries {
		if r.list == "" {
			fmt.Fprintf(b, "| `%s` | %s | %s | %s | %s |\n", r.key, r.value, cell(r.allowed), cell(r.doc), cell(r.source))
		}
	}
	for _, r := range entries {
		if r.list != "" {
			fmt.Fprintf(b, "\n`[[%s]]`: %s\n\n%s", r.key, r.doc, r.list)
		}
	}
	if c.folded {
		b.WriteString("\n</details>\n")
	}
	b.WriteString("\n")
}

// reference is one setting, or one list of tables, as the reference shows it.
type reference struct {
	key, value, allowed, doc, source string
	list                             string // a table of its own; empty for a single setting
}

func references(s *Settings) []reference {
	var out []reference
	var below func(prefix string, v reflect.Value)
	below = func(prefix string, v reflect.Value) {
		for i := range v.NumField() {
			f := v.Type().Field(i)
			name := f.Tag.Get("toml")
			if name == "" || name == "-" {
				continue
			}
			key := prefix + name
			switch {
			case leaf(f.Type):
				e := newField(key, v.Field(i), f.Tag)
				out = append(out, reference{key: key, value: shown(e), allowed: e.allowed(), doc: e.doc, source: e.source})
			case f.Type.Kind() == reflect.Struct:
				below(key+".", v.Field(i))
			default:
				out = append(out, reference{key: key, doc: f.Tag.Get("doc"), list: listTable(v.Field(i))})
			}
		}
	}
	below("", reflect.ValueOf(s).Elem())
	return out
}

// listTable shows a list of tables, a row each, with what its columns are and
// where the defaults come from below.
func listTable(v reflect.Value) string {
	t := v.Type().Elem()
	var head, rule, notes []string
	for i := range t.NumField() {
		f := newField(t.Field(i).Tag.Get("toml"), reflect.Value{}, t.Field(i).Tag)
		title := f.key
		if f.unit != "" {
			title += " (" + f.unit + ")"
		}
		head, rule = append(head, title), append(rule, "---")
		note := "`" + f.key + "` " + f.doc
		if f.source != "" {
			note += " (" + f.source + ")"
		}
		notes = append(notes, note)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "| %s |\n|%s|\n", strings.Join(head, " | "), strings.Join(rule, "|"))
	for i := range v.Len() {
		var row []string
		for j := range t.NumField() {
			f := newField("", v.Index(i).Field(j), t.Field(j).Tag)
			f.unit = "" // stands in the head
			row = append(row, shown(f))
		}
		fmt.Fprintf(&b, "| %s |\n", strings.Join(row, " | "))
	}
	fmt.Fprintf(&b, "\n%s.\n", cell(strings.Join(notes, "; ")))
	return b.String()
}

// shown is a value as people read it, with its unit.
func shown(f field) string {
	if f.value.Kind() == reflect.Slice || f.value.Kind() == reflect.Map {
		if f.value.Len() == 0 {
			return "none"
		}
	}
	switch s := text(f.value); {
	case s == `""`:
		return "empty"
	case f.value.Kind() == reflect.Slice:
		return "`" + cell(s) + "`"
	case f.value.Type() == durationType:
		return cell(strings.Trim(s, `"`))
	case f.value.Kind() == reflect.String:
		return cell(f.value.String())
	case f.value.Kind() == reflect.Float64:
		return strings.TrimSpace(plainNumber(f.value.Float()) + " " + f.unit)
	default:
		return cell(strings.TrimSpace(s + " " + f.unit))
	}
}

// cell keeps a text inside one cell of a table.
func cell(s string) string { return strings.ReplaceAll(s, "|", `\|`) }
