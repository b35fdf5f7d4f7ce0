package watch

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"

	"trueup/report"
)

// TestMovedByHand lets somebody exchange, rename, copy and move published folders, and
// accept what then stands in review/.
func TestMovedByHand(t *testing.T) {
	mv := func(from, to string) func(shop string) error {
		return func(shop string) error {
			to := filepath.Join(shop, to)
			return errors.Join(os.MkdirAll(filepath.Dir(to), 0o777), os.Rename(filepath.Join(shop, from), to))
		}
	}
	cp := func(from, to string) func(shop string) error {
		return func(shop string) error {
			return os.CopyFS(filepath.Join(shop, to), os.DirFS(filepath.Join(shop, from)))
		}
	}
	all := func(steps ...func(shop string) error) func(shop string) error {
		return func(shop string) error {
			var faults error
			for _, step := range steps {
				faults = errors.Join(faults, step(shop))
			}
			return faults
		}
	}
	exchange := all(mv("review/u1", "away"), mv("review/u2", "review/u1"), mv("away", "review/u2"))
	for _, tc := range []struct {
		name   string
		office func(shop string) error
		accept string            // the folder whose workbook is saved with all accepted
		moved  map[string]string // folders told, and what of them
		ready  []string          // folders with an original in ready/
	}{
		{"two jobs exchanged", exchange, "review/u1/1", map[string]string{"review/u1/1": "published as u2, revision 1; move it back to review/u2/1", "review/u2/1": "as u1,"}, []string{"ready/clean/1"}},
		{"exchanged, and the cards put right", all(exchange, mv("review/u1/1/job.json", "away"), mv("review/u2/1/job.json", "review/u1/1/job.json"), mv("away", "review/u2/1/job.json")),
			"review/u1/1", map[string]string{}, []string{"ready/clean/1"}},
		{"exchanged and back", all(exchange, exchange), "review/u1/1", map[string]string{}, []string{"ready/clean/1", "ready/u1/1"}},
		{"renamed", mv("review/u1", "review/u3"), "review/u3/1", map[string]string{"review/u3/1": "as u1, revision 1"}, []string{"ready/clean/1"}},
		{"renamed to another case of letters", mv("review/u1", "review/U1"), "review/U1/1", map[string]string{}, []string{"ready/U1/1", "ready/clean/1"}},
		{"copied under a new name", cp("review/u1", "review/u3"), "review/u3/1", map[string]string{"review/u3/1": "as u1, revision 1"}, []string{"ready/clean/1"}},
		{"copied as the next revision", cp("review/u1/1", "review/u1/2"), "review/u1/2", map[string]string{"review/u1/2": "as u1, revision 1"}, []string{"ready/clean/1"}},
		{"copied as the next revision, the first accepted", cp("review/u1/1", "review/u1/2"), "review/u1/1", map[string]string{"review/u1/2": "as u1, revision 1"}, []string{"ready/clean/1", "ready/u1/1"}},
		{"to ready/ undecided", mv("review/u1", "ready/u1"), "", map[string]string{"ready/u1/1": "was not released"}, []string{"ready/clean/1", "ready/u1/1"}},
		{"to ready/ without its card", all(mv("review/u1", "ready/u1"), mv("ready/u1/1/job.json", "away")), "", map[string]string{"ready/u1/1": "nobody knows whether this was released"}, []string{"ready/clean/1", "ready/u1/1"}},
		{"released under another name", mv("ready/clean", "ready/u3"), "", map[string]string{"ready/u3/1": "as clean, revision 1"}, []string{"ready/u3/1"}},
		{"to returned/ undecided", mv("review/u1", "returned/u1"), "", map[string]string{"returned/u1/1": "put by the service into review/"}, []string{"ready/clean/1"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				for _, name := range []string{"u1", "u2"} {
					put(t, shop, "drop/"+name+".dxf", dxf(name))
				}
				put(t, shop, "drop/clean.dxf", dxf("clean"))
				s := testService(t, shop, ProcessorFunc(func(ctx context.Context, in Work) (Outcome, error) {
					if in.Job == "clean" {
						return fake{}.Process(ctx, in)
					}
					return flagged(ctx, in)
				}))
				inService(t, s, func() {
					noError(t, tc.office(shop))
					if tc.accept != "" {
						acceptBoth(t, shop, tc.accept)
					}
				})
				var ready []string
				for place, content := range originals(t, shop) {
					if dir, ok := strings.CutSuffix(place, "/"+originalFile); ok && strings.HasPrefix(place, readyDir) {
						ready = append(ready, dir)
						if job := strings.ToLower(strings.Split(dir, "/")[1]); tc.moved[dir] == "" && !strings.Contains(content, job) {
							t.Errorf("%s holds %q", dir, content)
						}
					}
				}
				if slices.Sort(ready); !slices.Equal(ready, tc.ready) {
					t.Errorf("released are %v, want %v", ready, tc.ready)
				}
				wantMoved(t, shop, tc.moved)
				if tc.accept != "" && !slices.Contains(tc.ready, strings.Replace(tc.accept, reviewDir, readyDir, 1)) {
					if note := get(t, shop, tc.accept+"/"+missingFile); !strings.Contains(note, "published as") {
						t.Errorf("the note says %q", note)
					}
				}
			})
		})
	}
}

// wantMoved compares what status, monitor and register say of folders moved by hand.
func wantMoved(t *testing.T, shop string, want map[string]string) {
	t.Helper()
	st, err := ReadStatus(shop)
	noError(t, err)
	var rows []report.RegisterRow
	noError(t, json.Unmarshal([]byte(get(t, shop, registerFile)), &rows))
	told := map[string]string{}
	for _, m := range st.Moved {
		told[m.Folder] = m.Why
	}
	alarms := strings.Join(st.Alarms(), "\n")
	for _, row := range rows {
		if (row.State == movedByHand) != (want[row.Folder] != "") || !strings.Contains(row.Reason, want[row.Folder]) {
			t.Errorf("the register says of %s: %s, %s", row.Folder, row.State, row.Reason)
		}
	}
	for dir, why := range want {
		if !strings.Contains(told[dir], why) || !strings.Contains(alarms, dir+" is "+movedByHand) {
			t.Errorf("%s: told %q and %q, want %q", dir, told[dir], alarms, why)
		}
	}
	if len(told) != len(want) {
		t.Errorf("told of %v, want %v", told, want)
	}
}
