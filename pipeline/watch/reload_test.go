package watch

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func TestReload(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		s := testService(t, shop, fake{})
		reads := 0
		s.reload = func(file string) (Settings, Processor, error) {
			reads++
			data, err := os.ReadFile(file)
			if err != nil {
				return Settings{}, nil, err
			}
			if strings.Contains(string(data), "bad") {
				return Settings{}, nil, errors.New("line 1: bad")
			}
			set := Default()
			set.Settle = 7 * time.Second
			return set, fake{}, nil
		}
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Run(ctx) }()
		step := func(content string) Heartbeat {
			if content == "" {
				if err := os.Remove(filepath.Join(shop, settingsFile)); err != nil {
					t.Fatal(err)
				}
			} else {
				put(t, shop, settingsFile, content)
			}
			time.Sleep(3 * s.settings().Rescan)
			return s.ledger.snapshot()
		}
		time.Sleep(time.Minute)
		if reads != 0 {
			t.Errorf("read %d times without a change", reads)
		}
		if h := step("bad settings"); !strings.Contains(h.Settings, "line 1") || s.settings().Settle != Default().Settle {
			t.Errorf("after a bad edit: settle %s, told %q", s.settings().Settle, h.Settings)
		}
		if h := step("good settings, longer"); h.Settings != "" || s.settings().Settle != 7*time.Second {
			t.Errorf("after a good edit: settle %s, told %q", s.settings().Settle, h.Settings)
		}
		if h := step(""); s.settings().Settle != 7*time.Second || !strings.Contains(h.Settings, "has gone") {
			t.Errorf("after the file went: settle %s, told %q", s.settings().Settle, h.Settings)
		}
		if reads != 2 {
			t.Errorf("read %d times, want 2", reads)
		}
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}

// A file that an editor has emptied and not yet written is not read: the built-in
// limits would be in force until it is.
func TestReloadWaitsUntilTheFileStandsStill(t *testing.T) {
	shop := newShop(t)
	s := testService(t, shop, fake{})
	var read []string
	s.reload = func(file string) (Settings, Processor, error) {
		data, err := os.ReadFile(file)
		read = append(read, string(data))
		return Default(), fake{}, err
	}
	f, err := openFolder(shop, "test", nil)
	if err != nil {
		t.Fatal(err)
	}
	defer f.close()
	var r reloader
	now := time.Now()
	look := func(after time.Duration, content string) {
		now = now.Add(after)
		put(t, shop, settingsFile, content)
		r.look(s, f, now)
	}
	settle := s.settings().Settle
	look(0, "first")
	look(settle, "") // emptied
	r.look(s, f, now.Add(settle/2))
	look(settle-1, "second, half")
	look(settle-1, "second, whole")
	r.look(s, f, now.Add(settle-1))
	if len(read) > 0 {
		t.Fatalf("read %q while it was written", read)
	}
	r.look(s, f, now.Add(settle))
	r.look(s, f, now.Add(2*settle))
	if len(read) != 1 || read[0] != "second, whole" {
		t.Fatalf("read %q, want the whole file once", read)
	}
}
