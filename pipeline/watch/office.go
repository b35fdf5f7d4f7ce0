package watch

import (
	"time"

	"trueup/report"
)

// office finds workbooks in review/ that the office has saved.
type office struct{}

// carried are the decisions to accept of a job's earlier revisions, the newest
// word on each key first.
func (s *Service) carried(f *folder, earlier []revision) ([]Carried, error) {
	var list []Carried
	known := map[string]bool{}
	for _, r := range earlier {
		result, err := readResult(f, r)
		if err != nil {
			return nil, err
		}
		if result == nil {
			continue
		}
		for _, flag := range result.Flags {
			if d := flag.Decision; d != nil && !known[flag.Key] {
				known[flag.Key] = true
				if d.Choice == report.Accept {
					list = append(list, Carried{flag.Key, flag.Rule, *d})
				}
			}
		}
	}
	return list, nil
}

func (l *loop) decide(f *folder, now time.Time, set Settings) {}
