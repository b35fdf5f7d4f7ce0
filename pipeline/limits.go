package pipeline

import (
	"strings"

	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
	"trueup/pipeline/settings"
	"trueup/report"
)

// limits lists, for the report's sheet, the settings that a template was
// measured against: tolerances, limits of the rules, the stone and the machines.
// Left out, unless the shop changed them, are the settings of the service, of
// the looks, of the reader's defences, the names of layers, and materials that
// the template does not use.
func limits(entries []settings.Entry, s *settings.Settings, t *piece.Template) []report.Limit {
	used := map[string]bool{s.Pieces.DefaultMaterial: true}
	if t != nil {
		for _, p := range t.Pieces {
			if p.Material != "" {
				used[p.Material] = true
			}
		}
	}
	sources := map[string]string{} // of a material's figures, by the start of their keys
	for _, e := range entries {
		if table, field := splitKey(e.Key); field == "source" {
			sources[table], _ = e.Raw.(string)
		}
	}
	var out []report.Limit
	for _, e := range entries {
		table, field := splitKey(e.Key)
		inRow := strings.Count(e.Key, ".") > 2 // of a list: its name stands in the key
		if inRow && !e.Changed && (field == "name" || field == "material" || field == "source") {
			continue
		}
		if !e.Changed && !measuredAgainst(e.Key, used) {
			continue
		}
		l := report.Limit{Key: e.Key, Value: e.Raw, Default: e.RawDefault, Unit: e.Unit, What: e.Doc, Source: e.Source, Changed: e.Changed}
		if l.Source == "" {
			l.Source = sources[table]
		}
		out = append(out, l)
	}
	return out
}

// splitKey splits a dotted key before its last part.
func splitKey(key string) (table, field string) {
	i := strings.LastIndexByte(key, '.')
	return key[:max(i, 0)], key[i+1:]
}

func measuredAgainst(key string, materials map[string]bool) bool {
	part := strings.SplitN(key, ".", 4)
	switch part[0] {
	case "watch", "report", "reading", "job_time", "clean_units":
		return false
	}
	if key == trace.KeyMeetings || key == trace.KeyComparisons {
		return false // how much work one drawing may be measures nothing
	}
	if part[0] == "pieces" && (part[1] == "roles" || strings.HasSuffix(part[1], "_layers")) {
		return false // how layers are named is no limit
	}
	if part[0] != "shop" || len(part) < 4 || part[1] != "material" && part[1] != "feed" {
		return true
	}
	for m := range materials { // a feed is named by its material and thickness
		if part[2] == m || strings.HasPrefix(part[2], m+",") || strings.HasPrefix(part[2], m+" ") {
			return true
		}
	}
	return strings.HasPrefix(part[2], "any ")
}
