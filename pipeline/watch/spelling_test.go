package watch

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"testing/synctest"
	"time"
)

// recorded lists the spellings on record.
func recorded(t *testing.T, shop string) []string {
	t.Helper()
	var list []string
	for _, name := range tree(t, shop, namesDir) {
		list = append(list, get(t, shop, name))
	}
	slices.Sort(list)
	return list
}

// TestNamesArePruned puts a job away, as a shop does after a year, and lets the
// service run until it has looked: what nothing bears is forgotten, the rest,
// folders above jobs too, stays. A name that comes back is recorded anew.
func TestNamesArePruned(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		for _, name := range []string{"Hill/kitchen", "Hill/bath", "Old", "Mill/kitchen"} {
			put(t, shop, "drop/"+name+".dxf", dxf(name))
		}
		put(t, shop, namesDir+"/no-key", "a stranger's")
		run(t, testService(t, shop, fake{}), 10*time.Second)
		for _, gone := range []string{"Old", "Mill", "Hill/bath"} {
			if err := os.RemoveAll(filepath.Join(shop, readyDir, gone)); err != nil {
				t.Fatal(err)
			}
		}
		run(t, testService(t, shop, fake{}), pruneFirst-time.Minute)
		if got := recorded(t, shop); len(got) != 7 {
			t.Errorf("before the first look: %q", got)
		}
		run(t, testService(t, shop, fake{}), pruneFirst+time.Minute)
		if got, want := recorded(t, shop), []string{"Hill", "Hill/kitchen", "a stranger's"}; !slices.Equal(got, want) {
			t.Errorf("names %q, want %q", got, want)
		}
		put(t, shop, "drop/OLD.dxf", dxf("again"))
		put(t, shop, "drop/HILL/Kitchen.dxf", dxf("second"))
		run(t, testService(t, shop, fake{}), 10*time.Second)
		if got, want := places(originals(t, shop)), []string{"ready/Hill/kitchen/1/original.dxf", "ready/Hill/kitchen/2/original.dxf", "ready/OLD/1/original.dxf"}; !slices.Equal(got, want) {
			t.Errorf("originals %v, want %v", got, want)
		}
		if left := tree(t, shop, claimsDir, stageDir); left != nil {
			t.Errorf("left behind: %v", left)
		}
	})
}

// TestPruneCrash stops the file system at every operation of a look through the
// names, then drops the jobs again in other spellings: those that are there are
// the same jobs, and no claim is left.
func TestPruneCrash(t *testing.T) {
	for cut := 1; ; cut++ {
		reached := false
		synctest.Test(t, func(t *testing.T) {
			shop := newShop(t)
			put(t, shop, "drop/Hill/kitchen.dxf", dxf("one"))
			put(t, shop, "drop/Hill/bath.dxf", dxf("two"))
			run(t, testService(t, shop, fake{}), 10*time.Second)
			if err := os.RemoveAll(filepath.Join(shop, readyDir, "Hill/bath")); err != nil {
				t.Fatal(err)
			}
			n := 0
			s := testService(t, shop, fake{})
			s.before = func(op, name string) error {
				if n++; n >= cut {
					return errDown
				}
				return nil
			}
			err := s.pruneNames(t.Context())
			reached = n >= cut
			if reached && err != nil && !errors.Is(err, errDown) {
				t.Errorf("cut at %d: %v", cut, err)
			}
			put(t, shop, "drop/HILL/KITCHEN.dxf", dxf("three"))
			put(t, shop, "drop/HILL/bath.dxf", dxf("four"))
			run(t, testService(t, shop, fake{}), time.Minute)
			got := places(originals(t, shop))
			if want := []string{"ready/Hill/bath/1/original.dxf", "ready/Hill/kitchen/1/original.dxf", "ready/Hill/kitchen/2/original.dxf"}; !slices.Equal(got, want) {
				t.Errorf("cut at %d: originals %v, want %v", cut, got, want)
			}
			if left := tree(t, shop, claimsDir, stageDir, scratchDir); left != nil {
				t.Errorf("cut at %d: left behind: %v", cut, left)
			}
			wantWhole(t, shop)
		})
		if !reached || t.Failed() {
			t.Logf("%d operations", cut)
			return
		}
	}
}

// TestPrunedUnderTheClaimant removes a record, and records another spelling, at the
// instants in between at which another server could: a job is still one job.
func TestPrunedUnderTheClaimant(t *testing.T) {
	key := jobKey("kitchen")
	for _, tc := range []struct {
		name   string
		record string // what stands there when the claim is made; "": nothing
		want   string
	}{
		{"the record is gone", "", "ready/Kitchen/1/original.dxf"},
		{"another spelling stands there", "KITCHEN", "ready/KITCHEN/1/original.dxf"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				record := filepath.Join(shop, namesDir, key)
				if err := os.WriteFile(record, []byte("Kitchen"), 0o666); err != nil {
					t.Fatal(err)
				}
				s := testService(t, shop, fake{})
				done := false
				s.before = func(op, name string) error {
					if op == "readdir" && name == claimsDir+"/"+key && !done { // acquire begins: the name has been read
						done = true
						if tc.record == "" {
							return os.Remove(record)
						}
						return os.WriteFile(record, []byte(tc.record), 0o666)
					}
					return nil
				}
				put(t, shop, "drop/kitchen.dxf", dxf("a"))
				run(t, s, time.Minute)
				if got := places(originals(t, shop)); !slices.Equal(got, []string{tc.want}) || !done {
					t.Errorf("originals %v, want %s", got, tc.want)
				}
				if got := recorded(t, shop); len(got) != 1 || "ready/"+got[0]+"/1/original.dxf" != tc.want {
					t.Errorf("names %q", got)
				}
			})
		})
	}
}

// The server's own sweep, which takes over claims that faults have left behind,
// leaves the claim alone under which a name is being pruned.
func TestSweepLeavesThePruner(t *testing.T) {
	shop := newShop(t)
	s := testService(t, shop, fake{})
	f, err := s.open()
	if err != nil {
		t.Fatal(err)
	}
	defer f.close()
	if _, err := s.canonicalName(f, "Mill"); err != nil {
		t.Fatal(err)
	}
	swept := false
	l := newLoop(s, t.Context())
	s.before = func(op, name string) error {
		if op == "remove" && name == namesDir+"/"+jobKey("Mill") && !swept {
			swept = true
			g, err := s.open()
			if err != nil {
				return err
			}
			defer g.close()
			return l.sweep(g, time.Now(), s.settings())
		}
		return nil
	}
	if err := s.pruneNames(t.Context()); err != nil {
		t.Fatal(err)
	}
	if !swept || len(l.recover) > 0 {
		t.Errorf("swept %v, taken over: %+v", swept, l.recover)
	}
	if got := recorded(t, shop); len(got) != 0 {
		t.Errorf("names %q", got)
	}
	if left := tree(t, shop, claimsDir); left != nil {
		t.Errorf("claims left: %v", left)
	}
}

// A name is kept while its job, or one below it, is in work on some server.
func TestPruneLeavesWhatIsInWork(t *testing.T) {
	shop := newShop(t)
	s := testService(t, shop, fake{})
	f, err := s.open()
	if err != nil {
		t.Fatal(err)
	}
	defer f.close()
	if _, err := s.canonicalName(f, "Hill/kitchen"); err != nil {
		t.Fatal(err)
	}
	cl, err := s.acquire(f, jobKey("Hill/kitchen"), card{Schema: cardSchema, Job: "Hill/kitchen"})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.pruneNames(context.Background()); err != nil {
		t.Fatal(err)
	}
	if got := recorded(t, shop); len(got) != 2 {
		t.Errorf("names %q while the job is in work", got)
	}
	if err := s.release(f, cl); err != nil {
		t.Fatal(err)
	}
	if err := s.pruneNames(context.Background()); err != nil {
		t.Fatal(err)
	}
	if got := recorded(t, shop); len(got) != 0 {
		t.Errorf("names %q afterwards", got)
	}
}
