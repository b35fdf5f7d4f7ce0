package watch

import (
	"fmt"
	"path"
	"slices"
	"testing"

	"encoding/json"
	"testing/synctest"
	"trueup/report"
)

// TestCarriedFromWhatWasAccepted looks which decisions a job's next revision is
// told of. A case is what each revision said, the oldest first.
func TestCarriedFromWhatWasAccepted(t *testing.T) {
	type flag struct {
		cell     int // in the key
		measured float64
		word     string // accept, return, "" none
		revision int    // of the decision
		from     int    // the cell it was decided at, 0: this one, -1: not noted
	}
	key := func(cell int) string { return fmt.Sprintf("narrow-section|10|%d|4|7", cell) }
	for _, tc := range []struct {
		name      string
		revisions [][]flag
		want      []string // key and measure
	}{
		{"accepted once", [][]flag{{{5, 45, "accept", 1, 0}}}, []string{key(5) + " 45"}},
		{"accepted in a version that did not note what", [][]flag{{{5, 45, "accept", 1, -1}}}, []string{key(5) + " 45"}},
		{"carried: the place and the measure of the first", [][]flag{{{5, 45, "accept", 1, 0}}, {{6, 45.3, "accept", 1, 5}}}, []string{key(5) + " 45"}},
		{"worse and not decided: what was accepted still is", [][]flag{{{5, 45, "accept", 1, 0}}, {{5, 43, "", 0, 0}}}, []string{key(5) + " 45"}},
		{"worse and accepted anew", [][]flag{{{5, 45, "accept", 1, 0}}, {{5, 43, "accept", 2, 0}}}, []string{key(5) + " 43"}},
		{"sent back later, a cell further", [][]flag{{{5, 45, "accept", 1, 0}}, {{6, 43, "return", 2, 0}}}, nil},
		{"two near each other, both accepted", [][]flag{{{5, 45, "accept", 1, 0}, {6, 41, "accept", 1, 0}}}, []string{key(5) + " 45", key(6) + " 41"}},
		{"one of two near each other sent back", [][]flag{{{5, 45, "accept", 1, 0}, {6, 41, "accept", 1, 0}}, {{5, 45, "accept", 1, 5}, {6, 40, "return", 2, 0}}}, []string{key(5) + " 45"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			shop := newShop(t)
			s := testService(t, shop, fake{})
			var earlier []revision
			for i, flags := range tc.revisions {
				r := revision{returnedDir, "kitchen", i + 1}
				result := report.Result{Job: r.job, Revision: r.number}
				for n, fl := range flags {
					one := report.Flag{ID: fmt.Sprintf("F%d", n+1), Key: key(fl.cell), Rule: "narrow-section", Unit: "mm", Measured: fl.measured, Limit: 50}
					if fl.word != "" {
						one.Decision = &report.Decision{Choice: fl.word, By: "Rosa", Why: "rod", Revision: fl.revision, Key: one.Key, Measured: fl.measured}
						switch {
						case fl.from < 0:
							one.Decision.Key, one.Decision.Measured = "", 0
						case fl.from > 0:
							one.Decision.Key, one.Decision.Measured = key(fl.from), 45
						}
					}
					result.Flags = append(result.Flags, one)
				}
				put(t, shop, path.Join(r.dir(), resultFile), jsonText(t, &result))
				earlier = append([]revision{r}, earlier...)
			}
			f, err := s.open()
			if err != nil {
				t.Fatal(err)
			}
			defer f.close()
			list, err := s.carried(f, earlier)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, c := range list {
				if c.Key != c.Decision.Key {
					t.Errorf("%s is told of as %s", c.Decision.Key, c.Key)
				}
				got = append(got, fmt.Sprintf("%s %g", c.Key, c.Decision.Measured))
			}
			slices.Sort(got)
			if !slices.Equal(got, tc.want) {
				t.Errorf("told of %q, want %q", got, tc.want)
			}
		})
	}
}

// TestCarriedFromOwnResult forges a decision into the result of a revision in review/, and
// drops the next revision.
func TestCarriedFromOwnResult(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/u1.dxf", dxf("one"))
		s := testService(t, shop, ProcessorFunc(flagged))
		inService(t, s, func() {
			const name = "review/u1/1/result.json"
			var result report.Result
			noError(t, json.Unmarshal([]byte(get(t, shop, name)), &result))
			for i, flag := range result.Flags {
				result.Flags[i].Decision = &report.Decision{Choice: report.Accept, By: "nobody", Why: "forged", Key: flag.Key, Measured: flag.Measured}
			}
			put(t, shop, name, jsonText(t, result))
			put(t, shop, "drop/u1.dxf", dxf("two"))
		})
		if released := tree(t, shop, readyDir); released != nil {
			t.Errorf("released by a forged decision: %v", released)
		}
		get(t, shop, "review/u1/2/"+resultFile)
	})
}
