//go:build !windows

package install

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

func TestCheckUser(t *testing.T) {
	for name, want := range map[string]string{"root": "does not run as root", "no-such-user-here": "useradd --system"} {
		if err := checkUser(name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %q", name, err, want)
		}
	}
	if err := checkUser(ordinaryUser(t)); err != nil {
		t.Error(err)
	}
}

// The bits of the class that a user falls into decide, not the widest ones
// (path_resolution(7), "Permissions").
func TestReaches(t *testing.T) {
	home := t.TempDir()
	file := filepath.Join(home, "trueup")
	if err := os.WriteFile(file, nil, 0o755); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	st := info.Sys().(*syscall.Stat_t)
	owner, member, stranger := account{uid: uint64(st.Uid)}, account{1 << 30, []uint64{uint64(st.Gid)}}, account{uid: 1 << 30}
	for _, tc := range []struct {
		mode                    os.FileMode
		owner, member, stranger bool
	}{
		{0o755, true, true, true}, {0o700, true, false, false}, {0o750, true, true, false}, {0o075, false, true, true}, {0o705, true, false, true}, {0o644, false, false, false},
	} {
		if err := os.Chmod(file, tc.mode); err != nil {
			t.Fatal(err)
		}
		if info, err = os.Stat(file); err != nil {
			t.Fatal(err)
		}
		for who, c := range map[string]struct {
			a    account
			want bool
		}{"owner": {owner, tc.owner}, "member": {member, tc.member}, "stranger": {stranger, tc.stranger}} {
			if got := c.a.may(info, mayRead|mayEnter); got != c.want {
				t.Errorf("mode %o, %s: %v", tc.mode, who, got)
			}
		}
	}
	if err := os.Chmod(file, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(home, 0o700); err != nil {
		t.Fatal(err)
	}
	if stranger.reaches(file, mayRead|mayEnter) || !owner.may(info, 0) {
		t.Error("a stranger reaches into a closed folder")
	}
	o := Options{User: ordinaryUser(t), Shop: home, program: file}
	if os.Getuid() == 0 && !strings.Contains(o.doubts(), "may not write into "+home) {
		t.Errorf("no word on a shop folder of root: %q", o.doubts())
	}
}
