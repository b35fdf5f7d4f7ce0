//go:build !windows

package watch

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"trueup/report"
)

// What is published has the rights that the README promises, whatever the umask: the
// office can read all of it, and write in review/ alone; .work is the service's.
func TestModesArePromised(t *testing.T) {
	for _, umask := range []int{0o077, 0o000, 0o027} {
		before := syscall.Umask(umask)
		synctest.Test(t, func(t *testing.T) {
			shop := newShop(t)
			wantMode(t, shop, workDir, 0o700)
			if err := os.Chmod(filepath.Join(shop, workDir), 0o755); err != nil { // by the recipe's find
				t.Fatal(err)
			}
			put(t, shop, "drop/site/a.dxf", dxf("ready"))
			put(t, shop, "drop/site/b.dxf", dxf("review"))
			put(t, shop, "drop/site/c.dxf", dxf("failed"))
			run(t, testService(t, shop, fake{}), time.Minute)
			wantMode(t, shop, workDir, 0o700)
			wantMode(t, shop, registerFile, 0o644)
			wantTree(t, shop)
		})
		syscall.Umask(before)
	}
}

// A revision that moves from review/ to ready/ leaves the office's rights behind.
func TestModesAtRelease(t *testing.T) {
	before := syscall.Umask(0)
	defer syscall.Umask(before)
	shop := newShop(t)
	s := testService(t, shop, fake{})
	put(t, shop, "review/a/1/original.dxf", dxf("review"))
	put(t, shop, "review/a/1/job.json", "{}")
	put(t, shop, "review/a/1/report.xlsx", "")
	f, err := s.open()
	if err != nil {
		t.Fatal(err)
	}
	defer f.close()
	if err := s.setModes(f, "review/a/1", reviewDir); err != nil {
		t.Fatal(err)
	}
	wantMode(t, shop, "review/a/1", 0o775)
	wantMode(t, shop, "review/a/1/report.xlsx", 0o664)
	wantMode(t, shop, "review/a/1/job.json", 0o644)
	if err := s.moveFolder(f, "review/a/1", revision{readyDir, "a", 1}); err != nil {
		t.Fatal(err)
	}
	wantTree(t, shop, readyDir)
}

// wantTree checks the rights of all that is published.
func wantTree(t *testing.T, shop string, tops ...string) {
	t.Helper()
	if len(tops) == 0 {
		tops = []string{readyDir, failedDir, reviewDir}
	}
	for _, top := range tops {
		n := 0
		err := filepath.WalkDir(filepath.Join(shop, top), func(p string, e fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			rel, err := filepath.Rel(shop, p)
			if err != nil {
				return err
			}
			name := filepath.ToSlash(rel)
			var want fs.FileMode = 0o644
			switch {
			case e.IsDir() && top == reviewDir && filepath.Base(p) == "1":
				want = 0o775
			case e.IsDir():
				want = 0o755
			case top == reviewDir && e.Name() == reportFile:
				want = 0o664
			}
			n++
			wantMode(t, shop, name, want)
			return nil
		})
		if err != nil || n < 3 {
			t.Errorf("%s: %d files and folders, %v", top, n, err)
		}
	}
}

func wantMode(t *testing.T, shop, name string, want fs.FileMode) {
	t.Helper()
	info, err := os.Lstat(filepath.Join(shop, filepath.FromSlash(name)))
	if err != nil {
		t.Error(err)
		return
	}
	if got := info.Mode().Perm(); got != want {
		t.Errorf("%s has the rights %v, want %v", name, got, want)
	}
}

// A share that refuses to set rights keeps nothing from being published.
func TestModesRefused(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/a.dxf", dxf(string(report.Ready)))
		s := testService(t, shop, fake{})
		s.before = func(op, name string) error {
			if op == "chmod" && !strings.HasPrefix(name, "drop") {
				return syscall.EPERM
			}
			return nil
		}
		before := syscall.Umask(0o077)
		run(t, s, time.Minute)
		syscall.Umask(before)
		wantWhole(t, shop)
		if _, err := os.Stat(filepath.Join(shop, "ready/a/1/clean.dxf")); err != nil {
			t.Error(err)
		}
	})
}
