package watch

import (
	"context"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

// TestNothingHangsUnseen lets an operation on the folders block, as one on a share that
// does not answer does. Whatever loop it hits, the status has an alarm within the stale
// time and a minute, and the service ends within 5 s of being told to.
func TestNothingHangsUnseen(t *testing.T) {
	for _, tc := range []struct {
		name string
		hits func(op, name string) bool
		want string
	}{
		{"drop/", func(op, name string) bool { return op == "readdir" && name == dropDir }, string(loopDrop)},
		{"review/", func(op, name string) bool { return op == "readdir" && name == reviewDir }, "has not returned for"},
		{"the register", func(op, name string) bool { return op == "lstat" && name == registerFile }, string(loopRegister)},
		{"the sign of life", func(op, name string) bool { return op == "rename" && strings.HasPrefix(name, stageDir) }, "no sign of life for"},
		{"a job", func(op, name string) bool { return op == "sync" && strings.HasPrefix(name, claimsDir+"/") }, "a: in work for longer than"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				s := testService(t, shop, fake{})
				s.set.Heartbeat = 5 * time.Second
				s.owner = owner{"elsewhere", 3, "1"} // alive, as far as this machine can tell
				s.name = s.owner.String()
				var hang atomic.Bool
				free := make(chan struct{})
				s.before = func(op, name string) error {
					if hang.Load() && tc.hits(op, name) {
						<-free
					}
					return nil
				}
				ctx, cancel := context.WithCancel(t.Context())
				ended := make(chan error, 1)
				go func() { ended <- s.Run(ctx) }()
				time.Sleep(time.Minute)
				alarms := func() string {
					t.Helper()
					st, err := ReadStatus(shop)
					if err != nil {
						t.Fatal(err)
					}
					return strings.Join(st.Alarms(), "; ")
				}
				if before := alarms(); before != "" {
					t.Errorf("an alarm without a cause: %q", before)
				}
				hang.Store(true)
				put(t, shop, "drop/a.dxf", dxf("a"))
				time.Sleep(s.set.Stale + s.set.workLimit() + time.Minute)
				if got := alarms(); !strings.Contains(got, tc.want) {
					t.Errorf("alarms %q, want %q", got, tc.want)
				}
				stopped := time.Now()
				cancel()
				if err := <-ended; err != nil {
					t.Error(err)
				}
				if took := time.Since(stopped); took > 5*time.Second {
					t.Errorf("it ended after %s", took)
				}
				close(free)
				synctest.Wait()
			})
		})
	}
}
