//go:build unix

package safefs

import (
	"context"
	"errors"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// A pipe or a socket that stands where a file was looked for is an error at once;
// a plain open of a pipe would wait for its writer for ever.
func TestNothingBlocks(t *testing.T) {
	d, top := held(t)
	if err := unix.Mkfifo(filepath.Join(top, "pipe"), 0o666); err != nil {
		t.Fatal(err)
	}
	listener, err := net.Listen("unix", filepath.Join(top, "socket"))
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	for name, kind := range map[string]string{"pipe": "a pipe", "socket": "a socket"} {
		if _, _, err := d.Open(name); !errors.Is(err, ErrNotFile) || !strings.Contains(err.Error(), kind) {
			t.Errorf("%s: %v", name, err)
		}
		if err := d.Sync(name); !errors.Is(err, ErrNotFile) {
			t.Errorf("sync %s: %v", name, err)
		}
	}
	// The same when it takes a file's place between the look and the opening.
	d.Step = func(op, name string) {
		if op == "open" {
			d.Step = nil
			if err := os.Rename(filepath.Join(top, "pipe"), filepath.Join(top, "own")); err != nil {
				t.Error(err)
			}
		}
	}
	if _, _, err := d.Open("own"); !errors.Is(err, ErrNotFile) || !strings.Contains(err.Error(), "a pipe") {
		t.Errorf("exchanged for a pipe: %v", err)
	}
}

// Between any two calls of the system a folder above the name is exchanged for a link
// to another folder with the same names; nothing of that one is ever reached.
func TestExchangedFolder(t *testing.T) {
	for _, each := range []bool{false, true} {
		if !lookUpEach(t, each) {
			continue
		}
		for at := 1; ; at++ {
			d, top := held(t)
			for name, content := range map[string]string{"victim/b/file": "victim", "victim/file": "victim"} {
				full := filepath.Join(top, filepath.FromSlash(name))
				if err := errors.Join(os.MkdirAll(filepath.Dir(full), 0o777), os.WriteFile(full, []byte(content), 0o666)); err != nil {
					t.Fatal(err)
				}
			}
			n := 0
			d.Step = func(op, name string) {
				if n++; n == at {
					if err := errors.Join(os.Rename(filepath.Join(top, "a"), filepath.Join(top, "a away")), os.Symlink("victim", filepath.Join(top, "a"))); err != nil {
						t.Error(err)
					}
				}
			}
			got, _ := d.ReadFile("a/b/file", 100)
			moved := Move(d, "a/b/file", d, "taken", true)
			made, createErr := d.Create("a/made", 0o666)
			if createErr == nil {
				made.Close()
			}
			d.Step = nil
			if string(got) == "victim" {
				t.Errorf("step %d: the victim's file was read", at)
			}
			if left, err := d.ReadFile("victim/b/file", 100); string(left) != "victim" || err != nil {
				t.Errorf("step %d: the victim's file: %q, %v", at, left, err)
			}
			if taken, err := d.ReadFile("taken", 100); err == nil && (string(taken) == "victim" || moved != nil) {
				t.Errorf("step %d: took %q, %v", at, taken, moved)
			}
			if _, err := os.Lstat(filepath.Join(top, "victim/made")); err == nil {
				t.Errorf("step %d: made beside the victim's files", at)
			}
			if n < at {
				break
			}
		}
	}
}

// What is written, or only touched, while it is copied is told.
func TestCopyToTellsChanges(t *testing.T) {
	for name, change := range map[string]func(path string) error{
		"written": func(path string) error {
			f, err := os.OpenFile(path, os.O_WRONLY, 0)
			if err != nil {
				return err
			}
			_, err = f.WriteAt([]byte("X"), 0)
			return errors.Join(err, f.Close())
		},
		"longer": func(path string) error { return os.Truncate(path, 3<<20) },
		"cut":    func(path string) error { return os.Truncate(path, 10) },
		"written, with its time set back": func(path string) error {
			before, err := os.Stat(path)
			if err != nil {
				return err
			}
			return errors.Join(os.WriteFile(path, []byte(strings.Repeat("y", int(before.Size()))), 0o666), os.Chtimes(path, before.ModTime(), before.ModTime()))
		},
	} {
		t.Run(name, func(t *testing.T) {
			d, top := held(t)
			path := filepath.Join(top, "from")
			if err := os.WriteFile(path, []byte(strings.Repeat("x", 2<<20)), 0o666); err != nil {
				t.Fatal(err)
			}
			past := time.Now().Add(-time.Hour)
			if err := os.Chtimes(path, past, past); err != nil {
				t.Fatal(err)
			}
			from, info, err := d.Open("from")
			if err != nil {
				t.Fatal(err)
			}
			defer from.Close()
			to, err := d.Create("to", 0o644)
			if err != nil {
				t.Fatal(err)
			}
			defer to.Close()
			nextTick(t, d, info)
			c, err := CopyTo(&during{Context: context.Background(), do: func() { err = errors.Join(err, change(path)) }}, to, from, info, 16<<20)
			if err != nil || !c.Changed {
				t.Errorf("%+v, %v, want that it changed", c, err)
			}
		})
	}
}

// during is a context that does something the second time it is asked: in the middle.
type during struct {
	context.Context
	do    func()
	asked int
}

func (c *during) Err() error {
	if c.asked++; c.asked == 2 {
		c.do()
	}
	return nil
}

// nextTick returns when a change made now gets another time than that of the Info: the
// clock of a file system may be coarse.
func nextTick(t *testing.T, d *Dir, info Info) {
	t.Helper()
	for {
		probe, err := d.Create("probe", 0o666)
		if err != nil {
			t.Fatal(err)
		}
		now, err := statOf(probe, "probe")
		if err := errors.Join(err, probe.Close(), d.Remove("probe")); err != nil {
			t.Fatal(err)
		}
		if now.touch.After(info.touch) {
			return
		}
	}
}
