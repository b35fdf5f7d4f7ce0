package rules

import (
	"fmt"
	"io"
	"reflect"
	"strings"
	"text/tabwriter"

	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
	"trueup/rules/shop"
)

// Detail is one rule of the catalogue in words, as `trueup rules` shows it.
type Detail struct {
	ID         string   `json:"rule"`
	Severities []string `json:"severities"`
	What       string   `json:"what"`
	Why        string   `json:"why"`
	How        string   `json:"how"`
	Limits     []Limit  `json:"limits"`
}

// Limit is a setting that a rule compares with.
type Limit struct {
	Key     string `json:"key"`
	Default string `json:"default"` // with its unit
	What    string `json:"what"`
	Source  string `json:"source"` // empty when the setting is no figure
}

// Details returns the whole catalogue in words, with the default limits.
func Details() []Detail {
	var all []Detail
	for _, r := range Catalogue() {
		d := Detail{ID: r.ID, What: r.What, Why: r.Why, How: r.How, Limits: []Limit{}}
		for _, s := range r.Severities {
			d.Severities = append(d.Severities, string(s))
		}
		for _, key := range r.Limits {
			if l, ok := limitOf(key); ok {
				d.Limits = append(d.Limits, l)
			}
		}
		all = append(all, d)
	}
	return all
}

// defaults holds the settings that limits may name.
type defaults struct {
	Units  string         `toml:"units" doc:"unit of drawings whose header names none"`
	Close  trace.Settings `toml:"closing"`
	Pieces piece.Settings `toml:"pieces"`
	Rules  Settings       `toml:"rules"`
	Shop   shop.Settings  `toml:"shop"`
}

// limitOf looks up a key such as "rules.narrow_sink.stop" among the defaults.
func limitOf(key string) (Limit, bool) {
	v := reflect.ValueOf(defaults{"", trace.Default(), piece.Default(), Default(), shop.Default()})
	var tag reflect.StructTag
	for _, name := range strings.Split(key, ".") {
		field := -1
		if v.Kind() == reflect.Struct {
			for i := range v.NumField() {
				if v.Type().Field(i).Tag.Get("toml") == name {
					field = i
				}
			}
		}
		if field < 0 {
			return Limit{}, false
		}
		tag = v.Type().Field(field).Tag
		v = v.Field(field)
	}
	l := Limit{Key: key, Default: written(v, tag.Get("unit")), What: tag.Get("doc"), Source: tag.Get("source")}
	if l.Source == "" {
		l.Source = firstSource(v.Type())
	}
	return l, true
}

// written writes a value with its unit; a list or group with the names of its
// members.
func written(v reflect.Value, unit string) string {
	switch v.Kind() {
	case reflect.Float64:
		s := fmt.Sprintf("%.4g", v.Float())
		return strings.TrimSpace(s + " " + unit)
	case reflect.Slice:
		var list []string
		for i := range v.Len() {
			list = append(list, written(v.Index(i), unit))
		}
		return strings.Join(list, "; ")
	case reflect.Struct:
		var list []string
		for i := range v.NumField() {
			tag := v.Type().Field(i).Tag
			// What a row leaves at zero it leaves to the setting's own rule.
			if name := tag.Get("toml"); name != "" && name != "source" && !v.Field(i).IsZero() {
				list = append(list, strings.ReplaceAll(name, "_", " ")+" "+written(v.Field(i), tag.Get("unit")))
			}
		}
		return strings.Join(list, ", ")
	}
	return fmt.Sprint(v.Interface())
}

// firstSource returns the sources that the members of a group or list give.
func firstSource(t reflect.Type) string {
	if t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return ""
	}
	var found []string
	for i := range t.NumField() {
		if s := t.Field(i).Tag.Get("source"); s != "" {
			found = append(found, s)
		}
	}
	return strings.Join(found, "; ")
}

// WriteTable writes the catalogue as a table for a terminal.
func WriteTable(w io.Writer) error {
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tw, "RULE\tSEVERITY\tFINDS")
	for _, d := range Details() {
		fmt.Fprintf(tw, "%s\t%s\t%s\n", d.ID, strings.Join(d.Severities, ", "), d.What)
	}
	return tw.Flush()
}

// WriteText writes one rule in full.
func (d Detail) WriteText(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s)\n%s\n\nWhy: %s\nMeasured: %s\n", d.ID, strings.Join(d.Severities, ", "), d.What, d.Why, d.How)
	if len(d.Limits) > 0 {
		b.WriteString("\nLimits:\n")
	}
	for _, l := range d.Limits {
		fmt.Fprintf(&b, "  %s = %s: %s", l.Key, orNone(l.Default), l.What)
		if l.Source != "" {
			fmt.Fprintf(&b, " (%s)", l.Source)
		}
		b.WriteString("\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

// Markdown returns the catalogue as the README's table.
func Markdown() string {
	var b strings.Builder
	b.WriteString("| rule | severity | finds | default limits and their source |\n|---|---|---|---|\n")
	for _, d := range Details() {
		var limits []string
		for _, l := range d.Limits {
			s := fmt.Sprintf("`%s` %s", l.Key, orNone(l.Default))
			if l.Source != "" {
				s += " (" + l.Source + ")"
			}
			limits = append(limits, s)
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", d.ID, strings.Join(d.Severities, ", "), cellText(d.What), cellText(strings.Join(limits, "; ")))
	}
	return b.String()
}

// cellText keeps a text from breaking the table.
func cellText(s string) string { return strings.NewReplacer("|", `\|`, "\n", " ").Replace(s) }
