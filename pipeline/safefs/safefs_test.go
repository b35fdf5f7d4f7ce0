package safefs

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// held opens a fresh folder with some content: a/b/file, and outside/secret beside it.
func held(t *testing.T) (d *Dir, top string) {
	t.Helper()
	base := t.TempDir()
	top = filepath.Join(base, "top")
	for name, content := range map[string]string{"top/a/b/file": "content", "top/own": "own", "outside/secret": "secret"} {
		full := filepath.Join(base, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(full), 0o777), os.WriteFile(full, []byte(content), 0o666)); err != nil {
			t.Fatal(err)
		}
	}
	d, err := OpenDir(top)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d, top
}

func link(t *testing.T, to, name string) {
	t.Helper()
	if err := os.Symlink(to, name); err != nil {
		t.Skip("this user may make no links here: ", err)
	}
}

func TestNames(t *testing.T) {
	d, _ := held(t)
	for _, name := range []string{"", "/etc", "..", "../outside/secret", "a/../../outside/secret", "a\x00b"} {
		if _, err := d.Lstat(name); !errors.Is(err, fs.ErrInvalid) {
			t.Errorf("%q: %v, want that it is no name", name, err)
		}
	}
	for _, name := range []string{".", "a", "a/b/file", "a/./b", "a/../own"} {
		if _, err := d.Lstat(name); err != nil {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// No operation follows a link, in whatever element, wherever it leads.
func TestLinksAreNotFollowed(t *testing.T) {
	d, top := held(t)
	link(t, "a", filepath.Join(top, "inside"))      // a folder inside
	link(t, "../outside", filepath.Join(top, "up")) // a folder outside
	link(t, "own", filepath.Join(top, "file"))      // a file inside
	link(t, filepath.Join(top, "a"), filepath.Join(top, "abs"))
	for _, name := range []string{"inside/b/file", "up/secret", "abs/b/file", "file"} {
		if _, err := d.ReadFile(name, 100); !errors.Is(err, ErrLink) {
			t.Errorf("read %s: %v, want ErrLink", name, err)
		}
	}
	for what, err := range map[string]error{
		"list":        second(d.ReadDir("inside")),
		"list up":     second(d.ReadDir("up")),
		"sub":         second(d.Sub("inside/b")),
		"look":        second(d.Lstat("inside/b")),
		"create":      second(d.Create("inside/new", 0o666)),
		"mkdir":       d.Mkdir("inside/new", 0o777),
		"mkdir all":   d.MkdirAll("inside/x/y", 0o777),
		"remove":      d.Remove("inside/b/file"),
		"rename from": Move(d, "inside/b/file", d, "taken", false),
		"rename to":   Move(d, "own", d, "inside/own", true),
		"sync":        d.Sync("inside/b/file"),
		"chmod":       d.Chmod("inside/b/file", 0o600),
	} {
		if !errors.Is(err, ErrLink) {
			t.Errorf("%s: %v, want ErrLink", what, err)
		}
	}
	if info, err := d.Lstat("inside"); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link itself: %v, %v", info.Mode(), err)
	}
	// A link goes, what it leads to stays.
	if err := errors.Join(d.MkdirAll("tree/deep", 0o777), os.Symlink("../../a", filepath.Join(top, "tree/deep/l")), d.RemoveAll("tree"), d.RemoveAll("tree")); err != nil {
		t.Error(err)
	}
	if got, err := d.ReadFile("a/b/file", 100); string(got) != "content" || err != nil {
		t.Errorf("%q, %v", got, err)
	}
}

func second[T any](_ T, err error) error { return err }

func TestOpenTakesFilesOnly(t *testing.T) {
	d, _ := held(t)
	if _, _, err := d.Open("a"); !errors.Is(err, ErrNotFile) || !strings.Contains(err.Error(), "a folder") {
		t.Errorf("a folder: %v", err)
	}
	if _, _, err := d.Open("none"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("nothing: %v", err)
	}
	file, info, err := d.Open("a/b/file")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	looked, err := d.Lstat("a/b/file")
	if err != nil || !looked.Same(info) || !looked.Untouched(info) || info.Size() != 7 || info.Name() != "file" {
		t.Errorf("%+v and %+v, %v", info, looked, err)
	}
	if other, err := d.Lstat("own"); err != nil || other.Same(info) {
		t.Errorf("two files are one: %v", err)
	}
}

// A file that is exchanged between the look and the opening is not taken for it.
func TestExchangedWhileOpened(t *testing.T) {
	d, top := held(t)
	d.Step = func(op, name string) {
		if op == "open" {
			d.Step = nil
			other := filepath.Join(top, "other")
			if err := errors.Join(os.WriteFile(other, []byte("another"), 0o666), os.Rename(other, filepath.Join(top, "own"))); err != nil {
				t.Error(err)
			}
		}
	}
	if _, _, err := d.Open("own"); !errors.Is(err, ErrNotFile) {
		t.Errorf("%v, want that it was exchanged", err)
	}
}

// A rename goes to the folder that was opened, whatever is put at its name meanwhile.
func TestMove(t *testing.T) {
	d, _ := held(t)
	if err := Move(d, "own", d, "a/b/file", true); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a name that is taken: %v", err)
	}
	if err := Move(d, "own", d, "a/own", true); err != nil {
		t.Error(err)
	}
	if err := Move(d, "a/own", d, "a/b/file", false); err != nil {
		t.Error(err)
	}
	if got, err := d.ReadFile("a/b/file", 3); string(got) != "own" || err != nil {
		t.Errorf("%q, %v", got, err)
	}
	if err := errors.Join(d.Mkdir("x", 0o777), Move(d, "a", d, "x/a", true)); err != nil {
		t.Error(err)
	}
	if err := errors.Join(d.Mkdir("a", 0o777)); err != nil {
		t.Error(err)
	}
	if err := Move(d, "a", d, "x/a", true); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a folder whose name is taken: %v", err)
	}
}

func TestReadFileLimit(t *testing.T) {
	d, _ := held(t)
	if _, err := d.ReadFile("own", 2); !errors.Is(err, ErrTooLarge) {
		t.Errorf("%v, want that it is too large", err)
	}
	if got, err := d.ReadFile("own", 3); string(got) != "own" || err != nil {
		t.Errorf("%q, %v", got, err)
	}
}

func TestReadDir(t *testing.T) {
	d, _ := held(t)
	list, err := d.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range list {
		names = append(names, e.Name())
		if info, err := e.Info(); err != nil || info.IsDir() != e.IsDir() {
			t.Errorf("%s: %v", e.Name(), err)
		}
	}
	slices.Sort(names)
	if !slices.Equal(names, []string{"a", "own"}) {
		t.Errorf("%v", names)
	}
}

func TestCopyTo(t *testing.T) {
	for _, tc := range []struct {
		name    string
		content string
		limit   int64
		during  func(path string) error // before the first byte is read
		changed bool
		err     error
	}{
		{"as it stands", strings.Repeat("stone ", 100_000), 1 << 20, nil, false, nil},
		{"empty", "", 1, nil, false, nil},
		{"just within", "12345", 5, nil, false, nil},
		{"too large", "123456", 5, nil, false, ErrTooLarge},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d, top := held(t)
			if err := os.WriteFile(filepath.Join(top, "from"), []byte(tc.content), 0o666); err != nil {
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
			c, err := CopyTo(context.Background(), to, from, info, tc.limit)
			if !errors.Is(err, tc.err) {
				t.Fatalf("%v, want %v", err, tc.err)
			}
			got, readErr := d.ReadFile("to", 1<<20)
			if readErr != nil {
				t.Fatal(readErr)
			}
			if tc.err != nil {
				if len(got) != 0 {
					t.Errorf("%d bytes were copied before it was refused", len(got))
				}
				return
			}
			sum := sha256.Sum256([]byte(tc.content))
			if string(got) != tc.content || c.SHA256 != hex.EncodeToString(sum[:]) || c.Bytes != int64(len(tc.content)) || c.Changed != tc.changed {
				t.Errorf("%d bytes, %+v", len(got), c)
			}
		})
	}
}

// A sparse file costs nothing to make, and nothing to refuse; one that grows while it is
// read is counted; a stop ends the copying.
func TestCopyToBounds(t *testing.T) {
	d, top := held(t)
	sparse := filepath.Join(top, "sparse")
	if err := errors.Join(os.WriteFile(sparse, nil, 0o666), os.Truncate(sparse, 1<<40)); err != nil {
		t.Skip("no sparse files here: ", err)
	}
	from, info, err := d.Open("sparse")
	if err != nil {
		t.Fatal(err)
	}
	defer from.Close()
	if _, err := ReadAll(from, info, 1<<20); !errors.Is(err, ErrTooLarge) {
		t.Errorf("%v, want that it is too large", err)
	}
	to, err := d.Create("to", 0o644)
	if err != nil {
		t.Fatal(err)
	}
	defer to.Close()
	if _, err := CopyTo(context.Background(), to, from, info, 1<<30); !errors.Is(err, ErrTooLarge) {
		t.Errorf("%v, want that it is too large", err)
	}
	over, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := CopyTo(over, to, from, info, 1<<41); !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want that it was stopped", err)
	}
	if size, err := to.Seek(0, io.SeekEnd); size > 4*copyBlock || err != nil {
		t.Errorf("%d bytes written, %v", size, err)
	}
}
