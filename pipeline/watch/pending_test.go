package watch

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"trueup/report"
)

// slowReader reads decisions as a worker does, but for the first workbook, which keeps it
// until it is let go.
type slowReader struct {
	Processor
	calls *atomic.Int32
	free  chan struct{}
}

func (p slowReader) Read(_ context.Context, in Reading) ([]byte, error) {
	if p.calls.Add(1) == 1 {
		<-p.free
	}
	file, err := os.Open(in.Path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return nil, err
	}
	d, err := report.ReadDecisions(file, info.Size())
	if err != nil {
		return nil, err
	}
	return json.Marshal(d)
}

// TestSlowWorkbookDelaysNoOther lets the reading of one job's workbook take very long: the
// decisions of another job, saved meanwhile, are carried out all the same; the slow one is
// handed out once, and carried out when its reading ends.
func TestSlowWorkbookDelaysNoOther(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		p := slowReader{ProcessorFunc(flagged), new(atomic.Int32), make(chan struct{})}
		s := testService(t, shop, p)
		put(t, shop, "drop/slow.dxf", dxf("slow"))
		put(t, shop, "drop/other.dxf", dxf("other"))
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Run(ctx) }()
		stands := func(dir string) bool {
			_, err := os.Stat(filepath.Join(shop, dir))
			return err == nil
		}
		decide := func(job string) {
			write(t, shop, "review/"+job+"/1/report.xlsx", "F1", "accept", "Ida", "glued in")
			write(t, shop, "review/"+job+"/1/report.xlsx", "F2", "accept", "Ida", "by hand")
			time.Sleep(time.Minute)
		}
		time.Sleep(time.Minute)
		decide("slow")
		if calls := p.calls.Load(); calls != 1 {
			t.Errorf("the slow workbook is read %d times at once, want 1", calls)
		}
		decide("other")
		if !stands("ready/other/1") {
			t.Error("the decisions of another job wait for the slow workbook")
		}
		if stands("ready/slow/1") {
			t.Error("the slow one is released before it was read")
		}
		close(p.free)
		time.Sleep(time.Minute)
		if !stands("ready/slow/1") {
			t.Error("the slow one is not released after it was read")
		}
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}
