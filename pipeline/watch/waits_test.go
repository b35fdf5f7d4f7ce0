package watch

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"trueup/report"
)

// zipped is an archive with one part, as an .ods has under the name of a workbook.
func zipped(t *testing.T, part string) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	if _, err := z.Create(part); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// Why the decisions of a job wait stands in the status and the register, and
// once in the log, whatever has become of the workbook.
func TestDecisionsThatWait(t *testing.T) {
	const review = "review/hill/kitchen/1"
	remove := func(t *testing.T, shop, name string) {
		t.Helper()
		if err := os.Remove(filepath.Join(shop, filepath.FromSlash(name))); err != nil {
			t.Fatal(err)
		}
	}
	for _, tc := range []struct {
		name   string
		office func(t *testing.T, shop string)
		want   string
	}{
		{"open", func(t *testing.T, shop string) {
			write(t, shop, review+"/report.xlsx", "F2", "return", "Ida", "measure again")
			put(t, shop, review+"/.~lock.report.xlsx#", "Ida")
		}, "is open in a spreadsheet program, as .~lock.report.xlsx#"},
		{"deleted", func(t *testing.T, shop string) { remove(t, shop, review+"/report.xlsx") }, "report.xlsx is not there: put it back"},
		{"saved under another name", func(t *testing.T, shop string) {
			folder := filepath.Join(shop, filepath.FromSlash(review)) // at once: the service may look in between
			if err := os.Rename(filepath.Join(folder, "report.xlsx"), filepath.Join(folder, "report (1).xlsx")); err != nil {
				t.Fatal(err)
			}
		}, "only report (1).xlsx"},
		{"saved beside it", func(t *testing.T, shop string) {
			put(t, shop, review+"/report (1).xlsx", get(t, shop, review+"/report.xlsx"))
			write(t, shop, review+"/report (1).xlsx", "F2", "return", "Ida", "measure again")
		}, "report (1).xlsx was saved beside report.xlsx"},
		{"an open document under the name", func(t *testing.T, shop string) {
			put(t, shop, review+"/report.xlsx", zipped(t, "content.xml"))
		}, "report.xlsx"},
		{"returned/ may not be written", func(t *testing.T, shop string) {
			put(t, shop, "deny", "")
			write(t, shop, review+"/report.xlsx", "F2", "return", "Ida", "measure again")
		}, "permission denied"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/hill/kitchen.dxf", dxf("a"))
				s := testService(t, shop, ProcessorFunc(flagged))
				s.owner = owner{"elsewhere", 3, "1"} // alive, as far as this machine can tell
				s.name = s.owner.String()
				s.set.Heartbeat = 5 * time.Second
				s.before = func(op, name string) error {
					if _, err := os.Stat(filepath.Join(shop, "deny")); err == nil && op == "mkdir" && strings.HasPrefix(name, returnedDir) {
						return fs.ErrPermission
					}
					return nil
				}
				var log bytes.Buffer
				s.log = slog.New(slog.NewTextHandler(&lockedBuffer{b: &log}, nil))
				ctx, cancel := context.WithCancel(t.Context())
				ended := make(chan error, 1)
				go func() { ended <- s.Run(ctx) }()
				time.Sleep(time.Minute)
				tc.office(t, shop)
				time.Sleep(3 * time.Minute)
				st, err := ReadStatus(shop)
				if err != nil {
					t.Fatal(err)
				}
				var text bytes.Buffer
				if err := st.Write(&text); err != nil {
					t.Fatal(err)
				}
				if !strings.Contains(text.String(), tc.want) {
					t.Errorf("no %q in the status\n%s", tc.want, text.String())
				}
				var rows []report.RegisterRow
				if err := json.Unmarshal([]byte(get(t, shop, registerFile)), &rows); err != nil {
					t.Fatal(err)
				}
				if len(rows) != 1 || !strings.Contains(rows[0].Reason, tc.want) {
					t.Errorf("no %q in the register\n%+v", tc.want, rows)
				}
				cancel()
				if err := <-ended; err != nil {
					t.Error(err)
				}
				if n := strings.Count(log.String(), "level=WARN"); n != 1 {
					t.Errorf("%d warnings in the log, want 1:\n%s", n, log.String())
				}
			})
		})
	}
}

// What the service's user may not read or move stands in the status by name, and
// is taken when it may.
func TestNotPermitted(t *testing.T) {
	for _, tc := range []struct{ name, op, file, listed string }{
		{"a file that may not be read", "open", "drop/smith/kitchen.dxf", "smith/kitchen.dxf"},
		{"a folder that may not be changed", "rename", "drop/smith/kitchen.dxf", "smith/kitchen.dxf"},
		{"a folder that may not be listed", "readdir", "drop/smith", "smith"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/smith/kitchen.dxf", dxf("a"))
				s := testService(t, shop, fake{})
				s.owner = owner{"elsewhere", 3, "1"} // alive, as far as this machine can tell
				s.name = s.owner.String()
				s.set.Heartbeat = 5 * time.Second
				var mended atomic.Bool
				s.before = func(op, name string) error {
					if op == tc.op && name == tc.file && !mended.Load() {
						return fs.ErrPermission
					}
					return nil
				}
				ctx, cancel := context.WithCancel(t.Context())
				ended := make(chan error, 1)
				go func() { ended <- s.Run(ctx) }()
				time.Sleep(3 * time.Minute)
				st, err := ReadStatus(shop)
				if err != nil || !strings.Contains(st.NotTaken[tc.listed], "permission denied to the user of the service") {
					t.Errorf("%v, %v", st.NotTaken, err)
				}
				mended.Store(true)
				time.Sleep(3 * time.Minute)
				if st, err = ReadStatus(shop); err != nil || len(st.NotTaken) > 0 || st.Standing.Ready != 1 {
					t.Errorf("after it was mended: %v, %+v, %v", st.NotTaken, st.Standing, err)
				}
				cancel()
				if err := <-ended; err != nil {
					t.Error(err)
				}
			})
		})
	}
}

// A full disk is a trouble of every server that finds it, and over when there is room.
func TestAFullDiskIsTold(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		s := testService(t, shop, fake{})
		var full atomic.Bool
		s.before = func(op, _ string) error {
			if full.Load() && op == "write" {
				return syscall.ENOSPC
			}
			return nil
		}
		s.set.Heartbeat = 5 * time.Second
		var log bytes.Buffer
		s.log = slog.New(slog.NewTextHandler(&lockedBuffer{b: &log}, nil))
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Run(ctx) }()
		time.Sleep(time.Minute)
		full.Store(true)
		time.Sleep(time.Minute) // nothing to do: the sign of life tells
		if got := s.ledger.snapshot().Trouble; !strings.Contains(got, syscall.ENOSPC.Error()) {
			t.Errorf("trouble %q", got)
		}
		full.Store(false)
		put(t, shop, "drop/kitchen.dxf", dxf("a"))
		time.Sleep(time.Minute)
		if got := s.ledger.snapshot().Trouble; got != "" {
			t.Errorf("with room again: %q", got)
		}
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		if n := strings.Count(log.String(), "sign of life cannot be written"); n != 1 {
			t.Errorf("said %d times, want once:\n%s", n, log.String())
		}
	})
}
