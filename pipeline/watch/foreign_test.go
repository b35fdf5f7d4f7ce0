package watch

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// inService runs a service while office does things, a minute of the bubble's
// time after it began, and stops it a minute after.
func inService(t *testing.T, s *Service, office func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- s.Run(ctx) }()
	time.Sleep(time.Minute)
	office()
	time.Sleep(time.Minute)
	cancel()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

// acceptBoth accepts both flags of the processor flagged.
func acceptBoth(t *testing.T, shop, dir string) {
	t.Helper()
	write(t, shop, dir+"/report.xlsx", "F1", "accept", "Ida", "strip is glued in")
	write(t, shop, dir+"/report.xlsx", "F2", "accept", "Bo", "by hand")
}

// TestWhoseWorkbook puts workbooks where they do not belong, and where they do.
func TestWhoseWorkbook(t *testing.T) {
	for _, tc := range []struct {
		name   string
		office func(t *testing.T, shop string)
		want   string // the original of the second job
		told   string
	}{
		{"the decided workbook of another job", func(t *testing.T, shop string) {
			acceptBoth(t, shop, "review/u1/1")
			put(t, shop, "review/u2/1/report.xlsx", get(t, shop, "review/u1/1/report.xlsx"))
		}, "review/u2/1", "this is the report of u1, revision 1"},
		{"a renamed folder", func(t *testing.T, shop string) {
			if err := os.Rename(filepath.Join(shop, "review/u2"), filepath.Join(shop, "review/u2 Smith")); err != nil {
				t.Fatal(err)
			}
			acceptBoth(t, shop, "review/u2 Smith/1")
		}, "review/u2 Smith/1", "published as u2, revision 1; move it back to review/u2/1"},
		{"sent back, moved to review again by hand, one flag decided", func(t *testing.T, shop string) {
			write(t, shop, "review/u2/1/report.xlsx", "F1", "return", "Ida", "measure again")
			time.Sleep(time.Minute)
			get(t, shop, "returned/u2/1/"+decidedFile)
			if err := os.Rename(filepath.Join(shop, "returned/u2"), filepath.Join(shop, "review/u2")); err != nil {
				t.Fatal(err)
			}
			write(t, shop, "review/u2/1/report.xlsx", "F1", "accept", "Ida", "it is so on site")
			time.Sleep(time.Minute)
			if _, err := os.Stat(filepath.Join(shop, "review/u2/1", decidedFile)); err == nil {
				t.Error("a revision that waits is called decided")
			}
			write(t, shop, "review/u2/1/report.xlsx", "F2", "accept", "Ida", "it is so on site")
			time.Sleep(time.Minute)
			if _, err := os.Stat(filepath.Join(shop, "ready/u2/1", noteFile)); err == nil {
				t.Error("the note to the templater came along into ready/")
			}
		}, "ready/u2/1", ""},
		{"its own, saved twice", func(t *testing.T, shop string) {
			acceptBoth(t, shop, "review/u2/1")
			acceptBoth(t, shop, "review/u2/1")
		}, "ready/u2/1", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/u1.dxf", dxf("one"))
				put(t, shop, "drop/u2.dxf", dxf("two"))
				s := testService(t, shop, ProcessorFunc(flagged))
				inService(t, s, func() { tc.office(t, shop) })
				if got := places(originals(t, shop)); !slices.Contains(got, tc.want+"/original.dxf") {
					t.Errorf("originals in %v, want %s", got, tc.want)
				}
				if tc.told == "" {
					return
				}
				if note := get(t, shop, tc.want+"/"+missingFile); !strings.Contains(note, tc.told) || strings.Contains(note, "Write it there") {
					t.Errorf("the office is told %q", note)
				}
			})
		})
	}
}
