package watch

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

// TestReleaseIsWhatWasPublished lets somebody change or exchange the files of a folder in
// review/ whose flags are all accepted.
func TestReleaseIsWhatWasPublished(t *testing.T) {
	const u2 = "review/u2/1"
	for _, tc := range []struct {
		name   string
		before func(t *testing.T, shop string)   // before the decision is read
		during func(shop, op, name string) error // at each operation afterwards
		want   string                            // where the original of u2 stands in the end
		told   string                            // why its decisions wait; "" where they do not
		left   string                            // what stays in review/
	}{
		{"another clean drawing", func(t *testing.T, shop string) { put(t, shop, u2+"/clean.dxf", "forged") }, nil,
			u2, u2 + "/clean.dxf is not the one that the service wrote", ""},
		{"a result without flags", func(t *testing.T, shop string) { put(t, shop, u2+"/result.json", "{}") }, nil,
			u2, u2 + "/result.json is not the one that the service wrote", ""},
		{"the original gone", func(t *testing.T, shop string) { remove(t, shop, u2+"/original.dxf") }, nil,
			"", u2 + "/original.dxf is not there", ""},
		{"a link as a drawing", func(t *testing.T, shop string) {
			remove(t, shop, u2+"/marked.dxf")
			if err := os.Symlink("../../u1/1/marked.dxf", filepath.Join(shop, u2, "marked.dxf")); err != nil {
				t.Fatal(err)
			}
		}, nil, u2, u2 + "/marked.dxf is a link, which is not followed", ""},
		{"a link as a workbook", func(t *testing.T, shop string) {
			if err := os.Rename(filepath.Join(shop, u2, reportFile), filepath.Join(shop, "review/elsewhere.xlsx")); err != nil {
				t.Fatal(err)
			}
			if err := os.Symlink("../../elsewhere.xlsx", filepath.Join(shop, u2, reportFile)); err != nil {
				t.Fatal(err)
			}
		}, nil, u2, "report.xlsx is a link, not a workbook", ""},
		{"a drawing and a photo beside", func(t *testing.T, shop string) {
			put(t, shop, u2+"/cut-me.dxf", "forged")
			put(t, shop, u2+"/photo.jpg", "photo")
		}, nil, "ready/u2/1", "", u2 + "/cut-me.dxf"},
		{"the folder exchanged for another once it was read", nil, func(shop, op, name string) error {
			if op != "rename" || name != u2 {
				return nil
			}
			a, b := filepath.Join(shop, "review/u1"), filepath.Join(shop, "review/u2")
			if _, err := os.Stat(a); err != nil {
				return nil
			}
			return errors.Join(os.Rename(b, b+" away"), os.Rename(a, b))
		}, "review/u2 away/1", "", ""},
		{"a file exchanged once it was compared", nil, func(shop, op, name string) error {
			if op != "rename" || name != u2 {
				return nil
			}
			return os.WriteFile(filepath.Join(shop, u2, "clean.dxf"), []byte("forged"), 0o666)
		}, u2, u2 + "/clean.dxf is not the one that the service wrote", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/u1.dxf", dxf("one"))
				put(t, shop, "drop/u2.dxf", dxf("two"))
				s := testService(t, shop, ProcessorFunc(flagged))
				var accepted atomic.Bool
				if tc.during != nil {
					s.before = func(op, name string) error {
						if !accepted.Load() {
							return nil
						}
						return tc.during(shop, op, name)
					}
				}
				inService(t, s, func() {
					acceptBoth(t, shop, u2)
					if tc.before != nil {
						tc.before(t, shop)
					}
					accepted.Store(true)
				})
				got := originals(t, shop)
				if _, ok := got[tc.want+"/original.dxf"]; tc.want != "" && !ok {
					t.Errorf("originals in %v, want %s", places(got), tc.want)
				}
				for place, content := range got {
					if strings.HasPrefix(place, readyDir) && !strings.Contains(content, "two") {
						t.Errorf("%s is another one's", place)
					}
				}
				for _, name := range tree(t, shop, readyDir) {
					if strings.Contains(get(t, shop, name), "forged") {
						t.Errorf("%s was released", name)
					}
				}
				if held := s.ledger.snapshot().Held[u2]; tc.told != "" && !strings.Contains(held, tc.told) {
					t.Errorf("told is %q, want %q", held, tc.told)
				}
				if tc.left != "" {
					if get(t, shop, tc.left); !strings.Contains(get(t, shop, u2+"/"+notReleasedFile), filepath.Base(tc.left)) {
						t.Error("nobody is told what stayed")
					}
					if get(t, shop, "ready/u2/1/photo.jpg") != "photo" {
						t.Error("the photo did not come along")
					}
				}
				if left := tree(t, shop, claimsDir); left != nil {
					t.Errorf("left behind: %v", left)
				}
			})
		})
	}
}

func remove(t *testing.T, shop, name string) {
	t.Helper()
	if err := os.Remove(filepath.Join(shop, filepath.FromSlash(name))); err != nil {
		t.Fatal(err)
	}
}

// TestPowerCutOfDecision lets the file system stop at one operation after the other while
// a decision is carried out, then starts a service over what is left.
func TestPowerCutOfDecision(t *testing.T) {
	for _, back := range []bool{false, true} {
		for cut := int64(1 + *flagCuts/2); ; cut += int64(*flagCuts) {
			reached := false
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/u2.dxf", dxf("two"))
				run(t, testService(t, shop, ProcessorFunc(flagged)), 10*time.Second)
				want := "ready/u2/1"
				if back {
					want = "returned/u2/1"
					write(t, shop, "review/u2/1/report.xlsx", "F2", "return", "Ida", "measure again")
				} else {
					acceptBoth(t, shop, "review/u2/1")
				}
				put(t, shop, "review/u2/1/photo.jpg", "photo")
				ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
				defer cancel()
				var n atomic.Int64
				s := testService(t, shop, ProcessorFunc(flagged))
				s.set.Shutdown = 0
				s.before = func(op, name string) error {
					if !strings.Contains(name, "u2") && !strings.HasPrefix(name, claimsDir) && n.Load()+1 < cut {
						return nil // only what the decision does is counted
					}
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
				if got := originals(t, shop); len(got) != 1 {
					t.Errorf("cut at %d: originals after the cut: %v", cut, places(got))
				}
				run(t, testService(t, shop, ProcessorFunc(flagged)), time.Minute)
				if got := places(originals(t, shop)); !slices.Equal(got, []string{want + "/original.dxf"}) {
					t.Errorf("cut at %d: originals %v, want %s", cut, got, want)
				}
				if got := get(t, shop, want+"/photo.jpg"); got != "photo" {
					t.Errorf("cut at %d: the photo: %q", cut, got)
				}
				if left := tree(t, shop, claimsDir, scratchDir, stageDir, reviewDir); left != nil {
					t.Errorf("cut at %d: left behind: %v", cut, left)
				}
			})
			if !reached || t.Failed() {
				t.Logf("%d operations", cut)
				break
			}
		}
	}
}

// What an earlier release of the program published and did not remember is decided all the same.
func TestDecisionsOfAnEarlierRelease(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/u2.dxf", dxf("two"))
		run(t, testService(t, shop, ProcessorFunc(flagged)), 10*time.Second)
		if err := os.RemoveAll(filepath.Join(shop, keptDir)); err != nil {
			t.Fatal(err)
		}
		acceptBoth(t, shop, "review/u2/1")
		run(t, testService(t, shop, ProcessorFunc(flagged)), time.Minute)
		get(t, shop, "ready/u2/1/original.dxf")
	})
}
