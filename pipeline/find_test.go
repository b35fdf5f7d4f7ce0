package pipeline

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

func touch(t *testing.T, path string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, nil, 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestFind(t *testing.T) {
	root := t.TempDir()
	for _, f := range []string{"b.dxf", "a.DXF", "sub/c.dxf", "notes.txt", "odd.dxf/inside.dxf", "other/c.dxf"} {
		touch(t, filepath.Join(root, f))
	}
	if err := os.Symlink("b.dxf", filepath.Join(root, "link.dxf")); err != nil {
		t.Fatal(err)
	}
	items, err := Find([]string{root, filepath.Join(root, "other", "c.dxf"), filepath.Join(root, "notes.txt")})
	if err != nil {
		t.Fatal(err)
	}
	var files, jobs, faults []string
	for _, it := range items {
		files = append(files, it.File)
		jobs = append(jobs, it.Job)
		if it.Fault != nil {
			faults = append(faults, it.Fault.Error())
		}
	}
	if want := []string{"a.DXF", "b.dxf", "link.dxf", "odd.dxf", "other/c.dxf", "sub/c.dxf", "c.dxf", "notes.txt"}; !reflect.DeepEqual(files, want) {
		t.Errorf("files %q, want %q", files, want)
	}
	if want := []string{"a", "b", "link", "odd", "other/c", "sub/c", "c", "notes.txt"}; !reflect.DeepEqual(jobs, want) {
		t.Errorf("jobs %q, want %q", jobs, want)
	}
	if len(faults) != 2 || !strings.Contains(faults[0], "link.dxf: is a link") || !strings.Contains(faults[1], "odd.dxf: is a folder") {
		t.Errorf("faults %q", faults)
	}
}

func TestFindSameJobTwice(t *testing.T) {
	a, b := t.TempDir(), t.TempDir()
	touch(t, filepath.Join(a, "kitchen.dxf"))
	touch(t, filepath.Join(b, "Kitchen.dxf"))
	items, err := Find([]string{a, b})
	if err != nil {
		t.Fatal(err)
	}
	if items[0].Job != "kitchen" || items[1].Job != "Kitchen-2" {
		t.Errorf("jobs %q and %q would share a folder", items[0].Job, items[1].Job)
	}
}

func TestFindRefuses(t *testing.T) {
	empty, shop := t.TempDir(), t.TempDir()
	for _, f := range []string{"drop/kitchen.dxf", "review/hall/1/clean.dxf", "ready/bath/1/clean.dxf", ".work/x/claim"} {
		touch(t, filepath.Join(shop, f))
	}
	for _, tc := range []struct{ path, want string }{
		{filepath.Join(empty, "missing.dxf"), "no such file or folder"},
		{empty, "no .dxf file"},
		{shop, "is a shop's folder"},
	} {
		if _, err := Find([]string{tc.path}); err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("%s: got %v, want %q", tc.path, err, tc.want)
		}
	}
}

// Two drawings of one name in two folders are told apart by their paths.
func TestFindNamesByPath(t *testing.T) {
	dir := t.TempDir()
	a, b, c := filepath.Join(dir, "a", "x.dxf"), filepath.Join(dir, "b", "x.dxf"), filepath.Join(dir, "b", "y.dxf")
	for _, f := range []string{a, b, c} {
		touch(t, f)
	}
	items, err := Find([]string{filepath.Dir(a), filepath.Dir(b)})
	if err != nil || len(items) != 3 {
		t.Fatal(items, err)
	}
	for i, want := range []string{filepath.ToSlash(a), filepath.ToSlash(b), "y.dxf"} {
		if items[i].File != want {
			t.Errorf("named %s, want %s", items[i].File, want)
		}
	}
}
