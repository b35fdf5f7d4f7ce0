package watch

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// A register that is cut, forged, gone or something else is right again within 30 s,
// although nothing else changes and no event comes, and the status tells it until then.
func TestSpoiltRegister(t *testing.T) {
	for _, tc := range []struct {
		name  string
		spoil func(t *testing.T, file string)
		want  string
	}{
		{"cut", func(t *testing.T, file string) { noError(t, os.Truncate(file, 10)) }, "holds 10 bytes"},
		{"forged, of the same size and time", func(t *testing.T, file string) {
			info, err := os.Stat(file)
			noError(t, err)
			data, err := os.ReadFile(file)
			noError(t, err)
			data[len(data)/2] ^= 1
			noError(t, os.WriteFile(file, data, 0o666))
			noError(t, os.Chtimes(file, info.ModTime(), info.ModTime()))
		}, "is not what was written"},
		{"gone", func(t *testing.T, file string) { noError(t, os.Remove(file)) }, "has gone"},
		{"a link", func(t *testing.T, file string) {
			noError(t, os.Rename(file, file+".away"))
			noError(t, os.Symlink(file+".away", file))
		}, "and no file"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/a.dxf", dxf("a"))
				s := testService(t, shop, fake{})
				s.owner = owner{"elsewhere", 3, "1"} // alive, as far as this machine can tell
				s.name = s.owner.String()
				ctx, cancel := context.WithCancel(t.Context())
				ended := make(chan error, 1)
				go func() { ended <- s.Run(ctx) }()
				time.Sleep(time.Minute + time.Second)
				file := filepath.Join(shop, registerFile)
				whole := get(t, shop, registerFile)
				tc.spoil(t, file)
				alarms := func() string {
					t.Helper()
					st, err := ReadStatus(shop)
					noError(t, err)
					return strings.Join(st.Alarms(), "; ")
				}
				if got := alarms(); !strings.Contains(got, tc.want) {
					t.Errorf("alarms %q, want %q", got, tc.want)
				}
				time.Sleep(30 * time.Second)
				if got := get(t, shop, registerFile); got != whole {
					t.Errorf("the register holds %q, want %q", got, whole)
				}
				if info, err := os.Lstat(file); err != nil || !info.Mode().IsRegular() {
					t.Errorf("%v, %v", info, err)
				}
				if got := alarms(); strings.Contains(got, registerFile) {
					t.Errorf("alarms %q of a register that is right", got)
				}
				cancel()
				noError(t, <-ended)
			})
		})
	}
}

func noError(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// A service that starts finds the register as it was left, and does not make it anew.
func TestRegisterIsKeptAtStart(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/a.dxf", dxf("a"))
		run(t, testService(t, shop, fake{}), time.Minute)
		before, err := os.Stat(filepath.Join(shop, registerFile))
		noError(t, err)
		run(t, testService(t, shop, fake{}), time.Minute)
		after, err := os.Stat(filepath.Join(shop, registerFile))
		noError(t, err)
		if !os.SameFile(before, after) {
			t.Error("the register was written again although nothing changed")
		}
	})
}

// Decisions are looked at again once they have stood still, not a round later, and so are
// settings: they hold within 4 s for every template taken from then on.
func TestSpeedOfReaction(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		s := testService(t, shop, fake{})
		s.set.Rescan, s.set.Decisions = time.Hour, time.Hour // neither helps
		settle := s.set.Settle
		reloaded := make(chan time.Time, 1)
		s.reload = func(string) (Settings, Processor, error) {
			reloaded <- time.Now()
			return s.settings(), s.processor(), nil
		}
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Run(ctx) }()
		time.Sleep(10*time.Second + 700*time.Millisecond)
		saved := time.Now()
		put(t, shop, settingsFile, "# others")
		time.Sleep(time.Minute)
		if took := (<-reloaded).Sub(saved); took < settle || took > 4*time.Second {
			t.Errorf("settings are read %s after they were saved", took)
		}
		put(t, shop, "review/a/1/original.dxf", dxf("review"))
		put(t, shop, "review/a/1/job.json", `{"workbook":{"bytes":1,"modified":"2026-01-01T00:00:00Z"}}`)
		put(t, shop, "review/a/1/report.xlsx", "saved")
		o := newOffice(s)
		if found, err := o.look(); err != nil || len(found) != 0 {
			t.Fatalf("%v, %v", found, err)
		}
		if wait := o.wait(); wait != settle {
			t.Errorf("the next look is after %s, want the settle time", wait)
		}
		time.Sleep(settle)
		if found, err := o.look(); err != nil || len(found) != 1 {
			t.Errorf("after the settle time: %v, %v", found, err)
		}
		cancel()
		noError(t, <-ended)
	})
}
