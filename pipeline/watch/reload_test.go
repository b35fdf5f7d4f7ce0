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
			time.Sleep(2 * s.settings().Rescan)
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
