package watch

import (
	"context"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// What is no DXF at all gets the check command's reason, and at once where its
// first bytes leave no doubt. An empty file and one of zeros may be a copy that
// has only begun. Marks of the formats as in dxfio's TestForeign.
func TestOtherKindsOfFiles(t *testing.T) {
	for _, tc := range []struct {
		name, content, reason string
		atOnce                bool
	}{
		{"DWG", strings.Repeat("AC1032\x00\x00\x00\x00garbage", 100), "a DWG drawing, not a DXF; export it as DXF", true},
		{"ZIP", "PK\x03\x04" + strings.Repeat("x", 3000), "a ZIP archive, not a DXF; unpack it", true},
		{"text", "hello there\n", "not a DXF: group code expected", true},
		{"empty", "", "the file is empty; copy or export it again", false},
		{"zeros", strings.Repeat("\x00", 4096), "zero bytes at its start", false},
		{"cut short", "  0\nSECTION\n  2\nHEADER\n", "the file stops without the group 0 / EOF", false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/kitchen.dxf", tc.content)
				s := testService(t, shop, fake{})
				s.set.Patience = 10 * time.Minute
				ctx, cancel := context.WithCancel(t.Context())
				ended := make(chan error, 1)
				go func() { ended <- s.Run(ctx) }()
				time.Sleep(10 * time.Second)
				if got := len(tree(t, shop, failedDir)) > 0; got != tc.atOnce {
					t.Errorf("filed after 10 s: %v, want %v", got, tc.atOnce)
				}
				time.Sleep(11 * time.Minute)
				if got := get(t, shop, "failed/kitchen/1/reason.txt"); !strings.Contains(got, tc.reason) {
					t.Errorf("no %q in\n%s", tc.reason, got)
				}
				cancel()
				if err := <-ended; err != nil {
					t.Error(err)
				}
			})
		})
	}
}
