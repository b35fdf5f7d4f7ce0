package watch

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

func TestDropToPublished(t *testing.T) {
	for _, tc := range []struct {
		name string
		drop map[string]string // path below drop/: content
		want []string          // originals, in the end
	}{
		{"ready", map[string]string{"kitchen.dxf": dxf("a")}, []string{"ready/kitchen/1"}},
		{"review", map[string]string{"kitchen.dxf": dxf("review")}, []string{"review/kitchen/1"}},
		{"failed", map[string]string{"kitchen.dxf": dxf("failed")}, []string{"failed/kitchen/1"}},
		{"a panic fails its own template only", map[string]string{"a.dxf": dxf("panic"), "b.dxf": dxf("b")},
			[]string{"failed/a/1", "ready/b/1"}},
		{"an overrun fails its own template only", map[string]string{"a.dxf": dxf("slow"), "b.dxf": dxf("b")},
			[]string{"failed/a/1", "ready/b/1"}},
		{"folders are the job's name", map[string]string{"Hill Street 4/kitchen.dxf": dxf("a"), "Hill Street 4/bath/vanity.DXF": dxf("b")},
			[]string{"ready/Hill Street 4/bath/vanity/1", "ready/Hill Street 4/kitchen/1"}},
		{"a folder named like a template", map[string]string{"x.dxf/y.dxf": dxf("a")}, []string{"ready/x.dxf/y/1"}},
		{"a job and a folder of one name", map[string]string{"hill.dxf": dxf("a"), "hill/1043.dxf": dxf("b")},
			[]string{"ready/hill/1", "ready/hill/1043/1"}},
		{"a number that could be a revision", map[string]string{"hill.dxf": dxf("a"), "hill/2.dxf": dxf("b")},
			[]string{"ready/hill/1", "ready/hill/_2~d4735e3a/1"}}, // the hash: sha256sum of "2"
		{"never ends", map[string]string{"kitchen.dxf": "999\nhalf a file\n"}, []string{"failed/kitchen/1"}},
		{"empty", map[string]string{"kitchen.dxf": ""}, []string{"failed/kitchen/1"}},
		{"no template", map[string]string{"photo.jpg": "x", "kitchen.dxf.part": dxf("a"), ".hidden.dxf": dxf("a"), "~kitchen.dxf": dxf("b")}, nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				for name, content := range tc.drop {
					put(t, shop, dropDir+"/"+name, content)
				}
				s := testService(t, shop, fake{})
				s.set.Workers = 1
				run(t, s, 2*time.Minute)
				var got []string
				for place := range originals(t, shop) {
					got = append(got, strings.TrimSuffix(place, "/"+originalFile))
				}
				slices.Sort(got)
				if !slices.Equal(got, tc.want) {
					t.Errorf("originals in\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(tc.want, "\n"))
				}
				wantWhole(t, shop)
				if left := tree(t, shop, claimsDir, scratchDir, stageDir); left != nil {
					t.Errorf("left in %s: %v", workDir, left)
				}
			})
		})
	}
}

// TestSpellings drops one job in several spellings, one after the other because
// not every file system can hold them beside each other.
func TestSpellings(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		for i, name := range []string{"Hill/Ku\u0308che.dxf", "hill/k\u00fcche.dxf", "HILL/K\u00dcCHE.DXF", "Hill/K\u00fcche .dxf"} {
			content := dxf(name)
			put(t, shop, "drop/"+name, content)
			run(t, testService(t, shop, fake{}), 10*time.Second)
			place := fmt.Sprintf("ready/Hill/K\u00fcche/%d", i+1)
			if got := get(t, shop, place+"/original.dxf"); got != content {
				t.Errorf("%s holds %q, want what was dropped as %q", place, got, name)
			}
			if card := get(t, shop, place+"/job.json"); i > 0 && !strings.Contains(card, "dropped as") {
				t.Errorf("%s does not note the other spelling", place)
			}
		}
		wantWhole(t, shop)
	})
}

func TestSettle(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		s := testService(t, shop, fake{})
		s.set.Rescan = time.Second
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error)
		go func() { ended <- s.Run(ctx) }()
		full := filepath.Join(shop, dropDir, "kitchen.dxf")
		text := dxf("written bit by bit")
		for i := 1; i <= len(text); i++ { // grows for some 40 s, and ends only then
			if err := os.WriteFile(full, []byte(text[:i]), 0o666); err != nil {
				t.Fatal(err)
			}
			time.Sleep(1500 * time.Millisecond)
		}
		if _, err := os.Stat(full); err != nil {
			t.Errorf("taken before it had stood still: %v", err)
		}
		time.Sleep(s.set.Settle + 2*s.set.Rescan)
		if got := get(t, shop, "ready/kitchen/1/original.dxf"); got != text {
			t.Errorf("published %q", got)
		}
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}

func TestRevisionsAndDuplicates(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		var calls atomic.Int32
		drops := []struct{ content, place string }{
			{dxf("one"), "ready/kitchen/1"},
			{dxf("review two"), "review/kitchen/2"},
			{dxf("one"), "ready/kitchen/3"}, // back to the first
			{dxf("one"), "ready/kitchen/3"},
			{dxf("failed four"), "failed/kitchen/4"},
			{dxf("failed four"), "failed/kitchen/4"},
			{dxf("review two"), "review/kitchen/5"},
			{dxf("review two"), "review/kitchen/5"},
			{dxf("review two"), "review/kitchen/5"},
			{dxf("failed six"), "failed/kitchen/6"},
		}
		again := map[string]int{"ready/kitchen/1": 0, "review/kitchen/2": 0, "ready/kitchen/3": 1, "failed/kitchen/4": 1, "review/kitchen/5": 2}
		for _, d := range drops {
			put(t, shop, "drop/kitchen.dxf", d.content)
			run(t, testService(t, shop, fake{calls: func(Work) { calls.Add(1) }}), 10*time.Second)
			if got := get(t, shop, d.place+"/original.dxf"); got != d.content {
				t.Errorf("%s holds %q, want %q", d.place, got, d.content)
			}
		}
		if got := originals(t, shop); len(got) != 6 {
			t.Errorf("originals: %v, want 6", got)
		}
		if calls.Load() != 6 {
			t.Errorf("worked on %d times, want 6", calls.Load())
		}
		for place, want := range again {
			var c card
			if err := json.Unmarshal([]byte(get(t, shop, place+"/job.json")), &c); err != nil {
				t.Fatal(err)
			}
			if len(c.Again) != want {
				t.Errorf("%s notes %d duplicates, want %d", place, len(c.Again), want)
			}
		}
		wantWhole(t, shop)
		if got := get(t, shop, "ready/kitchen/1/superseded.txt"); !strings.Contains(got, "review/kitchen/5") {
			t.Errorf("the first revision is marked %q, want a hint to review/kitchen/5", got)
		}
		if _, err := os.Stat(filepath.Join(shop, "review/kitchen/5/superseded.txt")); err == nil {
			t.Error("a revision is marked as superseded by one that failed")
		}
		if got := get(t, shop, "review/kitchen/5/"+newerFile); !strings.Contains(got, "Revision 6 of this template came and could not be used: failed/kitchen/6/reason.txt") {
			t.Errorf("beside the newest stands %q", got)
		}
		if _, err := os.Stat(filepath.Join(shop, "ready/kitchen/3", newerFile)); err == nil {
			t.Error("a superseded revision still tells of the one that failed after it")
		}
	})
}

// errDown is the fault of a file system that has stopped working for good.
var errDown = errors.New("power cut")

// flagCuts is the step from one power cut to the next; 1 is every operation.
var flagCuts = flag.Int("cuts", 3, "cut the power at every so manieth operation")

// TestPowerCut lets the file system stop at one operation after the other, then
// starts a service over what is left.
func TestPowerCut(t *testing.T) {
	drops := map[string]string{
		"a.dxf": dxf("one"), "b/c.dxf": dxf("review"), "d.dxf": dxf("failed"), "same.dxf": dxf("again"),
		"back.dxf": dxf("review first"), // which is revision 1, and 2 another: it becomes the third, once
	}
	for cut := int64(1 + *flagCuts/2); ; cut += int64(*flagCuts) {
		reached := false
		synctest.Test(t, func(t *testing.T) {
			shop := newShop(t)
			put(t, shop, "drop/same.dxf", dxf("again"))
			for _, content := range []string{dxf("review first"), dxf("review second")} {
				put(t, shop, "drop/back.dxf", content)
				run(t, testService(t, shop, fake{}), 10*time.Second)
			}
			for name, content := range drops {
				put(t, shop, "drop/"+name, content)
			}
			ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
			defer cancel()
			var n atomic.Int64
			s := testService(t, shop, fake{})
			s.set.Shutdown = 0
			s.before = func(op, name string) error {
				if n.Add(1) < cut {
					return nil
				}
				cancel()
				return errDown
			}
			if err := s.Run(ctx); err != nil && !errors.Is(err, errDown) {
				t.Fatal(err)
			}
			reached = n.Load() >= cut
			if got := originals(t, shop); len(got) < 7 || len(got) > 8 { // same.dxf may still stand twice
				t.Errorf("cut at %d: originals after the cut: %v", cut, places(got))
			}
			wantWhole(t, shop)
			run(t, testService(t, shop, fake{}), 20*time.Second)
			got := originals(t, shop)
			for _, place := range []string{"ready/a/1", "review/b/c/1", "failed/d/1", "ready/same/1", "review/back/1", "review/back/2", "review/back/3"} {
				if _, ok := got[place+"/"+originalFile]; !ok {
					t.Errorf("cut at %d: no %s", cut, place)
				}
			}
			if len(got) != 7 {
				t.Errorf("cut at %d: originals %v", cut, places(got))
			}
			wantWhole(t, shop)
			var c card
			if err := json.Unmarshal([]byte(get(t, shop, "ready/same/1/job.json")), &c); err != nil || len(c.Again) != 1 {
				t.Errorf("cut at %d: the duplicate is noted %d times, want once (%v)", cut, len(c.Again), err)
			}
			if left := tree(t, shop, claimsDir, scratchDir, stageDir, serversDir); left != nil {
				t.Errorf("cut at %d: left behind: %v", cut, left)
			}
		})
		if !reached || t.Failed() {
			t.Logf("%d operations", cut)
			return
		}
	}
}

func places(m map[string]string) []string {
	var list []string
	for k := range m {
		list = append(list, k)
	}
	slices.Sort(list)
	return list
}
