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

func TestCompareReleases(t *testing.T) {
	for _, tc := range []struct {
		protocolA int
		a         string
		protocolB int
		b         string
		want      int
	}{
		{2, "trueup 1.2.3, go1.26.8 linux/amd64", 2, "trueup 1.2.3, go1.27.0 linux/amd64", 0},
		{2, "trueup 1.2.3, commit a, go1.26.8", 2, "trueup 1.10.0, commit b, go1.26.8", -1},
		{2, "trueup v2.0.0", 2, "trueup 1.99.99", 1},
		{1, "trueup 9.0.0", 2, "trueup 1.0.0", -1},
		{0, "", 2, "trueup 1.0.0", -1},
		{2, "trueup development build, commit a, go1.26.8", 2, "trueup 1.0.0, go1.26.8", 0},
	} {
		if got := compareReleases(tc.protocolA, tc.a, tc.protocolB, tc.b); got != tc.want {
			t.Errorf("%q and %q: %d, want %d", tc.a, tc.b, got, tc.want)
		}
		if got := compareReleases(tc.protocolB, tc.b, tc.protocolA, tc.a); got != -tc.want {
			t.Errorf("%q and %q: %d, want %d", tc.b, tc.a, got, -tc.want)
		}
	}
}

// The older of two releases on one folder takes nothing while the newer one lives, says
// so, and goes on when the newer one is gone.
func TestOlderReleaseStandsBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		start := func(pid int, version string) (s *Service, stop func()) {
			s = testService(t, shop, fake{})
			s.owner = owner{"elsewhere", pid, "1"} // alive, as far as this machine can tell
			s.name, s.version = s.owner.String(), version
			s.set.Heartbeat = 5 * time.Second
			ctx, cancel := context.WithCancel(t.Context())
			ended := make(chan error, 1)
			go func() { ended <- s.Run(ctx) }()
			return s, func() { cancel(); noError(t, <-ended) }
		}
		newer, stopNewer := start(1, "trueup 1.10.0, go1.26.8")
		newer.mu.Lock()
		newer.set.Workers, newer.set.Settle = 1, time.Hour // it is there, and takes nothing by itself
		newer.mu.Unlock()
		time.Sleep(30 * time.Second)
		older, stopOlder := start(2, "trueup 1.9.0, go1.26.8")
		time.Sleep(10 * time.Second)
		put(t, shop, "drop/a.dxf", dxf("a"))
		time.Sleep(time.Minute)
		if _, err := os.Stat(filepath.Join(shop, "drop/a.dxf")); err != nil {
			t.Error("the older release took a template beside the newer one")
		}
		st, err := ReadStatus(shop)
		noError(t, err)
		if got := strings.Join(st.Alarms(), "; "); !strings.Contains(got, "process 2 stands back") {
			t.Errorf("alarms %q", got)
		}
		if said := older.public(); !strings.Contains(said, "stands back") {
			t.Errorf("health says %q", said)
		}
		stopNewer()
		time.Sleep(time.Minute)
		if _, err := os.Stat(filepath.Join(shop, "ready/a/1/original.dxf")); err != nil {
			t.Errorf("the older release does not go on when the newer one has gone: %v", err)
		}
		if older.standsBack() {
			t.Error("it still says that it stands back")
		}
		stopOlder()
	})
}
