package watch

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"trueup/report"
)

// TestDroppedAgain drops the same bytes once more after something has happened.
// A new revision is made where it says something new, and only there.
func TestDroppedAgain(t *testing.T) {
	const first = "review/kitchen/1"
	for _, tc := range []struct {
		name   string
		before func(t *testing.T, shop string, s *Service)
		want   []string // originals
		note   string   // in the card of the new revision
	}{
		{"nothing happened", func(*testing.T, string, *Service) {}, []string{first}, ""},
		{"decisions begun", func(t *testing.T, shop string, s *Service) {
			write(t, shop, first+"/report.xlsx", "F1", "accept", "Ida", "strip")
		}, []string{first}, ""},
		{"released", func(t *testing.T, shop string, s *Service) { acceptBoth(t, shop, first) }, []string{"ready/kitchen/1"}, ""},
		{"sent back", func(t *testing.T, shop string, s *Service) {
			write(t, shop, first+"/report.xlsx", "F2", "return", "Ida", "measure again")
		}, []string{"returned/kitchen/1", "review/kitchen/2"}, "revision 1 was sent back"},
		{"the settings changed", func(t *testing.T, shop string, s *Service) {
			s.mu.Lock()
			s.set.Made = "others"
			s.mu.Unlock()
		}, []string{first, "review/kitchen/2"}, "the settings have changed since revision 1"},
		{"the report removed", func(t *testing.T, shop string, s *Service) {
			if err := os.Remove(filepath.Join(shop, first, reportFile)); err != nil {
				t.Fatal(err)
			}
		}, []string{first, "review/kitchen/2"}, "the report of revision 1 has gone"},
		{"the report being saved", func(t *testing.T, shop string, s *Service) {
			put(t, shop, first+"/~$report.xlsx", "Ida")
			if err := os.Remove(filepath.Join(shop, first, reportFile)); err != nil {
				t.Fatal(err)
			}
		}, []string{first}, ""},
		{"the report is another program's package", func(t *testing.T, shop string, s *Service) {
			var ods bytes.Buffer // a ZIP without the parts of a workbook
			z := zip.NewWriter(&ods)
			if w, err := z.Create("content.xml"); err != nil {
				t.Fatal(err)
			} else if _, err := w.Write([]byte("<x/>")); err != nil {
				t.Fatal(err)
			}
			if err := z.Close(); err != nil {
				t.Fatal(err)
			}
			put(t, shop, first+"/report.xlsx", ods.String())
		}, []string{first, "review/kitchen/2"}, "the report of revision 1 cannot be used"},
		{"the report broken", func(t *testing.T, shop string, s *Service) {
			put(t, shop, first+"/report.xlsx", "sorry")
		}, []string{first, "review/kitchen/2"}, "the report of revision 1 cannot be used"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/kitchen.dxf", dxf("a"))
				s := testService(t, shop, ProcessorFunc(flagged))
				s.set.Made = "some"
				inService(t, s, func() {
					tc.before(t, shop, s)
					time.Sleep(time.Minute)
					put(t, shop, "drop/kitchen.dxf", dxf("a"))
				})
				got := places(originals(t, shop))
				for i := range got {
					got[i] = strings.TrimSuffix(got[i], "/original.dxf")
				}
				if !slices.Equal(got, tc.want) {
					t.Fatalf("revisions %v, want %v", got, tc.want)
				}
				var rows []report.RegisterRow
				if err := json.Unmarshal([]byte(get(t, shop, registerFile)), &rows); err != nil {
					t.Fatal(err)
				}
				st, err := ReadStatus(shop)
				if err != nil {
					t.Fatal(err)
				}
				if tc.note == "" {
					if len(rows) != 1 || !strings.Contains(rows[0].Remarks, "dropped again 2000-01-01") || len(st.Again) != 1 {
						t.Errorf("the register says %+v, the status %+v", rows, st.Again)
					}
					return
				}
				var c card
				if err := json.Unmarshal([]byte(get(t, shop, tc.want[1]+"/job.json")), &c); err != nil {
					t.Fatal(err)
				}
				if len(c.Notes) != 1 || !strings.Contains(c.Notes[0], tc.note) {
					t.Errorf("the new revision notes %q, want %q", c.Notes, tc.note)
				}
			})
		})
	}
}

// TestOlderRevision decides in an older revision's workbook, begins to, and drops
// the drawing under another name.
func TestOlderRevision(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/kitchen.dxf", dxf("a"))
		s := testService(t, shop, ProcessorFunc(flagged))
		inService(t, s, func() {
			write(t, shop, "review/kitchen/1/report.xlsx", "F1", "accept", "", "strip")
			time.Sleep(time.Minute)
			if _, err := os.Stat(filepath.Join(shop, "review/kitchen/1", missingFile)); err != nil {
				t.Error(err)
			}
			put(t, shop, "drop/kitchen.dxf", dxf("b"))
			time.Sleep(time.Minute)
			acceptBoth(t, shop, "review/kitchen/1")
			put(t, shop, "drop/kitchen rev 2.dxf", dxf("b"))
		})
		if _, err := os.Stat(filepath.Join(shop, "review/kitchen/1", missingFile)); err == nil {
			t.Error("the older revision still asks for decisions")
		}
		if note := get(t, shop, "review/kitchen/1/"+notTakenFile); !strings.Contains(note, "Decide in review/kitchen/2/report.xlsx") {
			t.Errorf("the office is told %q", note)
		}
		var rows []report.RegisterRow
		if err := json.Unmarshal([]byte(get(t, shop, registerFile)), &rows); err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			want := map[string][2]string{
				"review/kitchen/1": {"superseded by revision 2", ""}, "review/kitchen/2": {"", ""},
				"review/kitchen rev 2/1": {"", "same drawing as kitchen, revision 2"},
			}[row.Folder]
			if row.Newer != want[0] || row.Remarks != want[1] {
				t.Errorf("the register says of %s %q, %q, want %q", row.Folder, row.Newer, row.Remarks, want)
			}
		}
		st, err := ReadStatus(shop)
		if err != nil {
			t.Fatal(err)
		}
		if len(st.Missing) != 0 || st.Standing.Review != 2 || st.Standing.Superseded != 1 {
			t.Errorf("the status waits for %+v; %+v", st.Missing, st.Standing)
		}
		if want := []Twin{{"kitchen rev 2", 1, "kitchen, revision 2"}}; !slices.Equal(st.Twins, want) {
			t.Errorf("the status names %+v, want %+v", st.Twins, want)
		}
	})
}

// TestRegisterFollowsPeople moves a folder by hand, and removes the register.
func TestRegisterFollowsPeople(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/kitchen.dxf", dxf("a"))
		s := testService(t, shop, ProcessorFunc(flagged))
		inService(t, s, func() {
			if err := os.Rename(filepath.Join(shop, "review/kitchen"), filepath.Join(shop, "ready/kitchen")); err != nil {
				t.Fatal(err)
			}
			time.Sleep(time.Minute)
			if text := get(t, shop, registerFile); !strings.Contains(text, `"ready/kitchen/1"`) {
				t.Errorf("the register says %s", text)
			}
			if err := os.Remove(filepath.Join(shop, registerFile)); err != nil {
				t.Fatal(err)
			}
			time.Sleep(time.Minute)
			get(t, shop, registerFile)
		})
	})
}
