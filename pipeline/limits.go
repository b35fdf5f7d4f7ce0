package pipeline

import (
	"trueup/pipeline/settings"
	"trueup/report"
)

// Limits lists every setting for the report's sheet of limits.
func Limits(s *settings.Settings) []report.Limit {
	entries := s.Entries()
	out := make([]report.Limit, len(entries))
	for i, e := range entries {
		out[i] = report.Limit{Key: e.Key, Value: e.Raw, Default: e.RawDefault, Unit: e.Unit, What: e.Doc, Source: e.Source, Changed: e.Changed}
	}
	return out
}
