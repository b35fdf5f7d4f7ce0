package watch

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"
)

// A templater who drops a DWG or a ZIP is told beside it, once, and the note goes
// with the file; photos and the like get none.
func TestNotesBesideFilesOfOtherKinds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/smith/kitchen.DWG", "AC1032")
		put(t, shop, "drop/job.zip", "PK")
		put(t, shop, "drop/photo.jpg", "x")
		const mine = "drop/my own - not taken.txt"
		put(t, shop, mine, "which stones the client has not taken")
		run(t, testService(t, shop, fake{}), time.Minute)
		want := []string{"drop/job.zip", "drop/job.zip - not taken.txt", mine, "drop/photo.jpg", "drop/smith/kitchen.DWG", "drop/smith/kitchen.DWG - not taken.txt"}
		if got := tree(t, shop, dropDir); !slices.Equal(got, want) {
			t.Fatalf("drop/ holds %v, want %v", got, want)
		}
		for name, words := range map[string]string{"smith/kitchen.DWG": "kitchen.DWG was not taken: a DWG", "job.zip": "job.zip was not taken: an archive"} {
			if got := get(t, shop, "drop/"+name+besideMark); !strings.Contains(got, words) {
				t.Errorf("%s: %q", name, got)
			}
		}
		st, err := ReadStatus(shop)
		if err != nil || len(st.Left) != 3 {
			t.Errorf("left %v, %v; want the three files, not the notes", st.Left, err)
		}
		for _, name := range []string{"smith/kitchen.DWG", "job.zip"} {
			if err := os.Remove(filepath.Join(shop, "drop", filepath.FromSlash(name))); err != nil {
				t.Fatal(err)
			}
		}
		run(t, testService(t, shop, fake{}), time.Minute)
		if got := tree(t, shop, dropDir); !slices.Equal(got, []string{mine, "drop/photo.jpg"}) {
			t.Errorf("after the files went: %v", got)
		}
	})
}

// What is left alone in a folder that cannot be read for a while is still left
// alone: it stays in the status and is not told of anew.
func TestFolderThatCannotBeReadForAWhile(t *testing.T) {
	shop := newShop(t)
	put(t, shop, "drop/site/photo.jpg", "")
	put(t, shop, "drop/site/a.dxf", dxf("a"))
	s := testService(t, shop, fake{})
	denied := false
	s.before = func(op, name string) error {
		if denied && op == "readdir" && name == "drop/site" {
			return syscall.EACCES
		}
		return nil
	}
	f, err := s.open()
	if err != nil {
		t.Fatal(err)
	}
	defer f.close()
	told := map[string]int{}
	in := newIntake(func(name, _ string) { told[name]++ })
	for _, denied = range []bool{false, true, false, true, false} {
		if err := in.scan(f, time.Now()); err != nil {
			t.Fatal(err)
		}
		if in.others["site/photo.jpg"] == "" || in.candidates["site/a.dxf"] == nil {
			t.Errorf("denied %v: left %v, candidates %v", denied, in.others, in.candidates)
		}
	}
	if told["site/photo.jpg"] != 1 {
		t.Errorf("the photo was told of %d times", told["site/photo.jpg"])
	}
}
