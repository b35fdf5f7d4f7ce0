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
	"time"
)

// What is published is another file than the one dropped, with the service's own rights:
// whoever still has the dropped one open changes nothing any more.
func TestOriginalIsTheServicesOwn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/a.dxf", dxf("a"))
		dropped, err := os.OpenFile(filepath.Join(shop, "drop/a.dxf"), os.O_RDWR, 0)
		if err != nil {
			t.Fatal(err)
		}
		defer dropped.Close()
		run(t, testService(t, shop, fake{}), time.Minute)
		was, err := dropped.Stat()
		if err != nil {
			t.Fatal(err)
		}
		is, err := os.Stat(filepath.Join(shop, "ready/a/1/original.dxf"))
		if err != nil {
			t.Fatal(err)
		}
		if os.SameFile(was, is) {
			t.Error("the file that was dropped is the published one")
		}
		if _, err := dropped.WriteAt([]byte("998"), 0); err != nil {
			t.Fatal(err)
		}
		wantWhole(t, shop)
	})
}

// A file past the reading limit costs nothing: neither its size nor its copy, and its
// neighbour is worked on.
func TestTooLarge(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		for _, name := range []string{"x.dxf", "y.dxf", "z.dxf"} { // more than there are workers
			full := filepath.Join(shop, "drop", name)
			if err := errors.Join(os.WriteFile(full, []byte(dxf("huge")), 0o666), os.Truncate(full, 1<<42)); err != nil {
				t.Skip("no sparse files here: ", err)
			}
		}
		put(t, shop, "drop/a.dxf", dxf("a"))
		s := testService(t, shop, fake{})
		run(t, s, time.Minute)
		if got := get(t, shop, "ready/a/1/original.dxf"); got != dxf("a") {
			t.Errorf("the neighbour: %q", got)
		}
		for _, job := range []string{"x", "y", "z"} {
			want := job + ".dxf: has 4398046511104 bytes, more than the limit of 536870912; simplify the drawing, or raise reading.file_bytes in trueup.toml"
			if got := get(t, shop, "failed/"+job+"/1/reason.txt"); !strings.Contains(got, want) {
				t.Errorf("the reason is %q", got)
			}
		}
		// A corrected one is the next revision; the large one is not read for comparison.
		put(t, shop, "drop/x.dxf", dxf("small"))
		run(t, testService(t, shop, fake{}), time.Minute)
		if got := get(t, shop, "ready/x/2/original.dxf"); got != dxf("small") {
			t.Errorf("the corrected one: %q", got)
		}
	})
}

// A file whose time somebody sets for ever is told, and ends in the end; the others do not wait for it.
func TestTouchedForEver(t *testing.T) {
	for _, tc := range []struct {
		name  string
		write bool // its content changes too, while it is read
		want  string
	}{
		{"only its time", false, "ready/a/1"},
		{"its content too", true, "failed/a/1"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/a.dxf", dxf("a"))
				put(t, shop, "drop/b.dxf", dxf("b"))
				s := testService(t, shop, fake{})
				if tc.write { // as if somebody wrote it on in the middle of each copy
					s.before = func(op, name string) error {
						if op != "write" || !strings.HasPrefix(filepath.Base(name), copyMark) {
							return nil
						}
						if !strings.Contains(name, jobKey("a")) {
							return nil
						}
						return touch(filepath.Join(shop, filepath.Dir(name), droppedFile))
					}
				}
				stop, stopped := make(chan struct{}), make(chan struct{})
				go func() {
					defer close(stopped)
					for {
						now := time.Now()
						os.Chtimes(filepath.Join(shop, "drop/a.dxf"), now, now) // gone once it is taken
						select {
						case <-time.After(time.Second):
						case <-stop:
							return
						}
					}
				}()
				defer func() { close(stop); <-stopped }()
				run(t, s, s.set.Patience+5*time.Second)
				if got := places(originals(t, shop)); !slices.Equal(got, []string{"drop/a.dxf", "ready/b/1/original.dxf"}) {
					t.Errorf("after the patience: %v", got)
				}
				if why := s.ledger.snapshot().NotTaken["a.dxf"]; !strings.Contains(why, "changes again and again") {
					t.Errorf("told is %q", why)
				}
				run(t, testService2(t, shop, s), restlessFactor*s.set.Patience+5*time.Second)
				if got := places(originals(t, shop)); !slices.Equal(got, []string{tc.want + "/original.dxf", "ready/b/1/original.dxf"}) {
					t.Errorf("in the end: %v", got)
				}
				if tc.write {
					if got := get(t, shop, tc.want+"/reason.txt"); !strings.Contains(got, "changed again and again for 1m30s, and while it was read") {
						t.Errorf("the reason is %q", got)
					}
				}
			})
		})
	}
}

// testService2 is another service with the same faults.
func testService2(t *testing.T, shop string, like *Service) *Service {
	s := testService(t, shop, fake{})
	s.before = like.before
	return s
}

// touch changes a file in its place.
func touch(name string) error {
	info, err := os.Stat(name)
	if err != nil {
		return err
	}
	return os.Chtimes(name, info.ModTime(), info.ModTime().Add(time.Second))
}

// What takes a file's place after it was found ready is given back as what it is, nothing
// waits for it, and what it led to stays.
func TestExchangedAfterTheLook(t *testing.T) {
	for _, tc := range []struct {
		name  string
		other func(name string) error // puts something else at the name
		want  string                  // what stands in drop/ in the end; "" for nothing
	}{
		{"another drawing", func(name string) error { return os.WriteFile(name, []byte(dxf("other")), 0o666) }, ""},
		{"a link", func(name string) error { return os.Symlink("../ready/victim/1/original.dxf", name) }, "link"},
		{"a folder", func(name string) error { return os.Mkdir(name, 0o777) }, "folder"},
		{"nothing", func(string) error { return nil }, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/victim.dxf", dxf("victim"))
				run(t, testService(t, shop, fake{}), 10*time.Second)
				put(t, shop, "drop/a.dxf", dxf("a"))
				s := testService(t, shop, fake{})
				full := filepath.Join(shop, "drop/a.dxf")
				done := false
				s.before = func(op, name string) error {
					if op != "rename" || name != "drop/a.dxf" || done {
						return nil
					}
					done = true
					return errors.Join(os.Remove(full), tc.other(full))
				}
				run(t, s, time.Minute)
				if !done {
					t.Fatal("nothing was exchanged")
				}
				got := ""
				if info, err := os.Lstat(full); err == nil {
					got = map[bool]string{true: "folder", false: "link"}[info.IsDir()]
				}
				if got != tc.want {
					t.Errorf("in drop/ stands %q, want %q", got, tc.want)
				}
				if got := get(t, shop, "ready/victim/1/original.dxf"); got != dxf("victim") {
					t.Errorf("the victim holds %q", got)
				}
				if left := tree(t, shop, claimsDir); left != nil {
					t.Errorf("left behind: %v", left)
				}
				if tc.name == "another drawing" {
					if got := get(t, shop, "ready/a/1/original.dxf"); got != dxf("other") {
						t.Errorf("published %q", got)
					}
				}
				wantWhole(t, shop)
			})
		})
	}
}

// The digest is compared again when a template is published.
func TestDigestAtPublishing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/a.dxf", dxf("a"))
		s := testService(t, shop, ProcessorFunc(func(ctx context.Context, in Work) (Outcome, error) {
			o, err := fake{}.Process(ctx, in)
			return o, errors.Join(err, os.WriteFile(in.Original, []byte(dxf("b")), 0o666))
		}))
		run(t, s, time.Minute)
		if _, err := os.Stat(filepath.Join(shop, "ready/a")); err == nil {
			t.Error("published with other bytes than were worked on")
		}
		var c card
		if err := json.Unmarshal([]byte(get(t, shop, "failed/a/1/job.json")), &c); err != nil || !strings.Contains(c.Error, "not what it was when it was made") {
			t.Errorf("%v: %q", err, c.Error)
		}
	})
}
