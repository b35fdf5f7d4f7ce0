//go:build unix

package pipeline

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"trueup/pipeline/settings"
	"trueup/report"
)

// What is named like a drawing and is none ends with one sentence; a pipe keeps nobody waiting.
func TestCheckOfWhatIsNoFile(t *testing.T) {
	dir := t.TempDir()
	pipe := filepath.Join(dir, "pipe.dxf")
	if err := syscall.Mkfifo(pipe, 0o666); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(dir, "link.dxf")
	if err := os.Symlink("pipe.dxf", link); err != nil {
		t.Fatal(err)
	}
	s := settings.Default()
	for path, want := range map[string]string{
		pipe:       "pipe.dxf: is not a regular file but a pipe; name a drawing",
		link:       "link.dxf: is not a regular file but a pipe; name a drawing",
		os.DevNull: "null: is not a regular file but a device; name a drawing",
	} {
		items, err := Find([]string{path})
		if err != nil {
			t.Fatal(err)
		}
		err = Batch(context.Background(), items, 1, "", &s, func(_ Item, o *Outcome) error {
			if o.Result.Verdict != report.Failed || o.Result.Error != want {
				t.Errorf("%s: %s %q, want %q", path, o.Result.Verdict, o.Result.Error, want)
			}
			return nil
		})
		if err != nil {
			t.Error(err)
		}
	}
}

// A shop's settings are a file of its own: a pipe or a link is told, not read.
func TestShopSettingsAreAFile(t *testing.T) {
	shop := t.TempDir()
	path := filepath.Join(shop, SettingsFile)
	if err := syscall.Mkfifo(path, 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := ShopSettings(shop); err == nil || !strings.Contains(err.Error(), SettingsFile+": cannot be read: not a regular file but a pipe") {
		t.Errorf("a pipe: %v", err)
	}
	other := filepath.Join(t.TempDir(), "other.toml")
	if err := os.WriteFile(other, []byte("job_time = 7\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(other, path); err != nil {
		t.Fatal(err)
	}
	if _, err := ShopSettings(shop); err == nil || !strings.Contains(err.Error(), "a link, which is not followed") {
		t.Errorf("a link: %v", err)
	}
	if s, err := settings.Load(path); err != nil || s.JobTime != 7 { // named outright, as with --settings
		t.Errorf("named outright: %v", err)
	}
}
