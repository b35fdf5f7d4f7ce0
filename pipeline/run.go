package pipeline

import (
	"sync"

	"trueup/pipeline/settings"
	"trueup/report"
)

// shopRun is what all templates of a run share: the settings, and what is worked
// out from them or kept in memory from one template to the next.
type shopRun struct {
	settings *settings.Settings
	entries  func() []settings.Entry
	tools    report.Tools
	occupied func(dir string) error // of the check command: whether a template lies where a report is to go
}

func newShopRun(s *settings.Settings) *shopRun {
	return &shopRun{settings: s, entries: sync.OnceValue(s.Entries)}
}
