package watch

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/xuri/excelize/v2"

	"trueup/report"
)

// flagged is a processor that finds two stop flags in every template and writes
// a real workbook. A carried decision on a key settles its flag.
func flagged(ctx context.Context, in Work) (Outcome, error) {
	result := &report.Result{Schema: report.Schema, Job: in.Job, Revision: in.Revision, Verdict: report.Review,
		Source: report.Source{File: in.File, SHA256: in.SHA256, Bytes: in.Bytes}}
	open := 0
	for i, rule := range []string{"narrow-section", "inside-radius"} {
		f := report.Flag{ID: []string{"F1", "F2"}[i], Key: rule + " A 1,2", Rule: rule, Severity: "stop", Piece: "A", Message: "too thin", Unit: "mm", Measured: 41, Limit: 50}
		open++
		for _, c := range in.Carried {
			if c.Key == f.Key {
				f.Decision = &c.Decision
				open--
			}
		}
		result.Flags = append(result.Flags, f)
	}
	o := Outcome{Verdict: report.Review, Counts: Counts{Stops: 2}}
	if open == 0 {
		o.Verdict = report.Ready
	}
	var text, book bytes.Buffer
	if err := result.WriteJSON(&text, true); err != nil {
		return Outcome{}, err
	}
	writer, err := report.NewWriter(report.WorkbookInput{Result: result, Settings: report.Default()}, &report.Tools{})
	if err != nil {
		return Outcome{}, err
	}
	defer writer.Close()
	if err := writer.Workbook(&book); err != nil {
		return Outcome{}, err
	}
	for name, content := range map[string][]byte{resultFile: text.Bytes(), reportFile: book.Bytes(), "clean.dxf": nil, "marked.dxf": nil} {
		if err := os.WriteFile(filepath.Join(in.OutDir, name), content, 0o666); err != nil {
			return Outcome{}, err
		}
	}
	return o, nil
}

// write writes into the flags' sheet of a report as somebody of the office would:
// by the titles of the columns and the flag's name.
func write(t *testing.T, shop, name, flag, choice, by, why string) {
	t.Helper()
	full := filepath.Join(shop, name)
	book, err := excelize.OpenFile(full)
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	done := false
	for _, sheet := range book.GetSheetList() {
		rows, err := book.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		var titles []string
		for r, cells := range rows {
			switch {
			case slices.Contains(cells, "Decision") && slices.Contains(cells, "Key (do not change)"):
				titles = cells
			case titles != nil && slices.Contains(cells, flag):
				for title, value := range map[string]string{"Decision": choice, "By": by, "Why": why} {
					cell, err := excelize.CoordinatesToCellName(slices.Index(titles, title)+1, r+1)
					if err == nil {
						err = book.SetCellValue(sheet, cell, value)
					}
					if err != nil {
						t.Fatal(err)
					}
				}
				done = true
			}
		}
	}
	if !done {
		t.Fatalf("%s has no row for %s", name, flag)
	}
	if err := book.Save(); err != nil {
		t.Fatal(err)
	}
}

// TestOffice drops a template with two stop flags, lets the office write, and
// looks where the job goes.
func TestOffice(t *testing.T) {
	const review = "review/hill/kitchen/1"
	for _, tc := range []struct {
		name   string
		office func(t *testing.T, shop string)
		want   string // folder
		by     string
		why    string // what the register repeats of the reasons
		told   string // to the office, of what is missing
	}{
		{"nothing decided", func(*testing.T, string) {}, review, "", "", ""},
		{"one of two accepted", func(t *testing.T, shop string) {
			write(t, shop, review+"/report.xlsx", "F1", "accept", "Ida", "strip is glued in")
		}, review, "", "", "F2 (inside-radius): no decision"},
		{"both accepted", func(t *testing.T, shop string) {
			write(t, shop, review+"/report.xlsx", "F1", "accept", "Ida", "strip is glued in")
			write(t, shop, review+"/report.xlsx", "F2", "Accept", "Bo", "by hand")
		}, "ready/hill/kitchen/1", "Ida, Bo", "F1: strip is glued in; F2: by hand", ""},
		{"both accepted, the job's card broken", func(t *testing.T, shop string) {
			write(t, shop, review+"/report.xlsx", "F1", "accept", "Ida", "strip is glued in")
			write(t, shop, review+"/report.xlsx", "F2", "accept", "Bo", "by hand")
			put(t, shop, review+"/job.json", "{half a")
		}, "ready/hill/kitchen/1", "Ida, Bo", "F1: strip is glued in; F2: by hand", ""},
		{"without a name", func(t *testing.T, shop string) {
			write(t, shop, review+"/report.xlsx", "F1", "accept", "", "x")
			write(t, shop, review+"/report.xlsx", "F2", "accept", "Bo", "by hand")
		}, review, "", "", "F1 (narrow-section): By is empty"},
		{"one sent back", func(t *testing.T, shop string) {
			write(t, shop, review+"/report.xlsx", "F2", "return", "Ida", "measure again")
		}, "returned/hill/kitchen/1", "Ida", "F2: measure again", ""},
		{"held open", func(t *testing.T, shop string) {
			write(t, shop, review+"/report.xlsx", "F2", "return", "Ida", "measure again")
			put(t, shop, review+"/~$report.xlsx", "Ida")
		}, review, "", "decisions wait: report.xlsx was saved and is open", ""},
		{"not a workbook any more", func(t *testing.T, shop string) {
			put(t, shop, review+"/report.xlsx", "sorry")
		}, review, "", "", "report.xlsx"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/hill/kitchen.dxf", dxf("a"))
				s := testService(t, shop, ProcessorFunc(flagged))
				ctx, cancel := context.WithCancel(t.Context())
				ended := make(chan error, 1)
				go func() { ended <- s.Run(ctx) }()
				time.Sleep(time.Minute)
				tc.office(t, shop)
				time.Sleep(time.Minute)
				cancel()
				if err := <-ended; err != nil {
					t.Error(err)
				}
				if got := places(originals(t, shop)); !slices.Equal(got, []string{tc.want + "/original.dxf"}) {
					t.Fatalf("original in %v, want %s", got, tc.want)
				}
				if left := tree(t, shop, claimsDir); left != nil {
					t.Errorf("claims left: %v", left)
				}
				told, err := os.ReadFile(filepath.Join(shop, filepath.FromSlash(tc.want), missingFile))
				if (err == nil) != (tc.told != "") || !strings.Contains(string(told), tc.told) {
					t.Errorf("the office is told %q (%v), want %q", told, err, tc.told)
				}
				var rows []report.RegisterRow // the light register of the tests is JSON
				if err := json.Unmarshal([]byte(get(t, shop, registerFile)), &rows); err != nil {
					t.Fatal(err)
				}
				want := tc.why
				if tc.told != "" {
					want = "not decided yet: "
				}
				if len(rows) != 1 || !strings.HasPrefix(rows[0].Reason, want) || !strings.Contains(rows[0].Reason, tc.told) || want == "" && rows[0].Reason != "" {
					t.Errorf("the register says %+v, want the reason %q %q", rows, want, tc.told)
				}
				if st, err := ReadStatus(shop); err != nil || (len(st.Missing) == 1) != (tc.told != "") {
					t.Errorf("the status says %+v, %v", st.Missing, err)
				}
				if tc.by == "" {
					return
				}
				var c card
				var result report.Result
				if err := json.Unmarshal([]byte(get(t, shop, tc.want+"/job.json")), &c); err != nil {
					t.Fatal(err)
				}
				if err := json.Unmarshal([]byte(get(t, shop, tc.want+"/result.json")), &result); err != nil {
					t.Fatal(err)
				}
				if c.Schema != cardSchema || c.Job != "hill/kitchen" || c.Revision != 1 || c.SHA256 != result.Source.SHA256 {
					t.Errorf("the card says %+v", c)
				}
				state, _, _ := strings.Cut(tc.want, "/")
				if c.Decided == nil || c.Decided.By != tc.by || c.Decided.Verdict != state || c.Decided.Why != tc.why {
					t.Errorf("decided %+v, want %s by %s", c.Decided, state, tc.by)
				}
				if state == readyDir && result.Verdict != report.Ready || result.Flags[1].Decision == nil {
					t.Errorf("the result says %s, %+v", result.Verdict, result.Flags)
				}
				page := get(t, shop, tc.want+"/decided.txt")
				for _, want := range append([]string{strings.ToUpper(state) + ": hill/kitchen, revision 1\r\n", "Decided by " + tc.by + ", 2000-01-01 "}, strings.Split(tc.why, "; ")...) {
					if _, why, ok := strings.Cut(want, ": "); ok && strings.HasPrefix(want, "F") {
						want = why
					}
					if !strings.Contains(page, want) {
						t.Errorf("%s says %q, not %q", decidedFile, page, want)
					}
				}
				if state == returnedDir && !strings.Contains(get(t, shop, tc.want+"/note.txt"), "measure again") {
					t.Error("the note does not say why")
				}
				if _, err := os.Stat(filepath.Join(shop, "review/hill")); err == nil {
					t.Error("an empty folder is left in review/")
				}
			})
		})
	}
}

// TestHeldOpenThenClosed lets somebody close the workbook after an hour.
func TestHeldOpenThenClosed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/kitchen.dxf", dxf("a"))
		s := testService(t, shop, ProcessorFunc(flagged))
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Run(ctx) }()
		time.Sleep(time.Minute)
		put(t, shop, "~$register.xlsx", "Bo")
		put(t, shop, "review/kitchen/1/~$report.xlsx", "Ida")
		before := get(t, shop, registerFile)
		write(t, shop, "review/kitchen/1/report.xlsx", "F1", "return", "Ida", "measure again")
		time.Sleep(time.Hour)
		if _, err := os.Stat(filepath.Join(shop, "review/kitchen/1")); err != nil {
			t.Error("moved while the workbook was open")
		}
		if err := os.Remove(filepath.Join(shop, "review/kitchen/1/~$report.xlsx")); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Minute)
		if _, err := os.Stat(filepath.Join(shop, "returned/kitchen/1")); err != nil {
			t.Error(err)
		}
		if get(t, shop, registerFile) != before {
			t.Error("the register was replaced while it was open")
		}
		if err := os.Remove(filepath.Join(shop, "~$register.xlsx")); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Minute)
		if get(t, shop, registerFile) == before {
			t.Error("the register was not written after it was closed")
		}
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}

// TestCarried decides one flag in the first revision, and looks what the second
// and third are told.
func TestCarried(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		var told []Work
		p := ProcessorFunc(func(ctx context.Context, in Work) (Outcome, error) {
			told = append(told, in)
			return flagged(ctx, in)
		})
		s := testService(t, shop, p)
		s.set.Workers = 1
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Run(ctx) }()
		step := func(content string) {
			put(t, shop, "drop/kitchen.dxf", content)
			time.Sleep(time.Minute)
		}
		step(dxf("one"))
		write(t, shop, "review/kitchen/1/report.xlsx", "F1", "accept", "Ida", "strip")
		time.Sleep(time.Minute)
		step(dxf("two"))
		write(t, shop, "review/kitchen/2/report.xlsx", "F2", "accept", "Bo", "by hand")
		time.Sleep(time.Minute)
		step(dxf("three"))
		var rows []report.RegisterRow
		if err := json.Unmarshal([]byte(get(t, shop, registerFile)), &rows); err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			if by := map[int]string{1: "", 2: "Ida (revision 1), Bo", 3: "Ida (revision 1), Bo (revision 2)"}[row.Revision]; row.DecidedBy != by {
				t.Errorf("the register says revision %d was decided by %q, want %q", row.Revision, row.DecidedBy, by)
			}
		}
		if page := get(t, shop, "ready/kitchen/3/decided.txt"); !strings.HasPrefix(page, "READY: kitchen, revision 3\r\n") || !strings.Contains(page, "accepted by Bo (revision 2): by hand") {
			t.Errorf("%s says %q", decidedFile, page)
		}
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		if len(told) != 3 {
			t.Fatalf("worked on %d times", len(told))
		}
		keys := func(in Work) (list []string) {
			for _, c := range in.Carried {
				list = append(list, c.Key+" by "+c.Decision.By)
			}
			slices.Sort(list)
			return list
		}
		ida, bo := "narrow-section A 1,2 by Ida", "inside-radius A 1,2 by Bo"
		for i, want := range [][]string{nil, {ida}, {bo, ida}} {
			if got := keys(told[i]); !slices.Equal(got, want) {
				t.Errorf("revision %d is told of %v, want %v", i+1, got, want)
			}
		}
		// Both flags of the second are accepted now, one of them before: it is released.
		if told[2].Released != filepath.Join(s.shop, "ready", "kitchen", "2", resultFile) || told[2].Earlier != told[2].Released {
			t.Errorf("revision 3 is told that %q was released, after %q", told[2].Released, told[2].Earlier)
		}
		if got := places(originals(t, shop)); !slices.Equal(got, []string{"ready/kitchen/2/original.dxf", "ready/kitchen/3/original.dxf", "review/kitchen/1/original.dxf"}) {
			t.Errorf("originals in %v", got)
		}
	})
}
