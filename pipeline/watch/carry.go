package watch

import (
	"errors"
	"path"

	"trueup/report"
	"trueup/rules"
)

// carried are the decisions to accept of a job's earlier revisions, newest first.
// In review/ the workbook counts, where it can be read; elsewhere the result.
//
// A decision is known by the key of the flag that somebody looked at: in the
// revisions it was carried to it is the same one, and the newest word on it
// counts. What was sent back later is accepted no longer.
func (s *Service) carried(f *folder, earlier []revision) ([]Carried, error) {
	var list []Carried
	known := map[string]bool{}
	var returned []string // keys sent back in newer revisions
	for _, r := range earlier {
		words, err := s.words(f, r)
		if err != nil {
			return nil, err
		}
		var back []string
		for _, word := range words {
			if known[word.Key] {
				continue
			}
			known[word.Key] = true
			switch {
			case word.Decision.Choice == report.Return:
				back = append(back, word.Key)
			case word.Decision.Choice == report.Accept && !anySame(returned, word.Key):
				list = append(list, word)
			}
		}
		returned = append(returned, back...)
	}
	return list, nil
}

func anySame(keys []string, key string) bool {
	for _, k := range keys {
		if rules.SameKey(k, key) {
			return true
		}
	}
	return false
}

// words are the decisions of one revision, in the order of its flags. An error is one
// that can pass.
func (s *Service) words(f *folder, r revision) ([]Carried, error) {
	result, err := readResult(f, r.dir())
	if err != nil {
		if passes(err) {
			return nil, err
		}
		s.log.Warn("decisions of an earlier revision cannot be carried over", "folder", r.dir(), "error", err)
		return nil, nil
	}
	if result == nil {
		return nil, nil
	}
	if why := (notKept{}); r.state == reviewDir { // where others write
		_, _, err := s.keptOf(f, r)
		if errors.As(err, &why) {
			s.log.Warn("decisions of an earlier revision are not carried over", "folder", r.dir(), "error", err)
			return nil, nil
		}
		if err != nil {
			return nil, err
		}
	}
	var written map[string]report.Decision
	if r.state == reviewDir && f.exists(path.Join(r.dir(), reportFile)) {
		judgement, err := s.judge(f, r, result)
		if err != nil {
			s.log.Warn("what the office wrote into an earlier revision is not carried over", "folder", r.dir(), "error", err)
		}
		written = judgement.Decisions
	}
	var list []Carried
	for _, flag := range result.Flags {
		word, ok := written[flag.Key]
		if !ok && flag.Decision != nil {
			word, ok = *flag.Decision, true
		}
		if !ok {
			continue
		}
		if word.Key == "" { // a document of an older version: what it was is not known, what it is counts
			word.Key, word.Measured = flag.Key, flag.Measured
		}
		list = append(list, Carried{word.Key, word, flag.Piece})
	}
	return list, nil
}
