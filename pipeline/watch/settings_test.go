package watch

import (
	"runtime"
	"testing"
)

// The system's limit on memory leaves room for every worker at its own limit.
func TestMostMemory(t *testing.T) {
	s := Default()
	for workers, count := range map[int]int64{0: int64(runtime.GOMAXPROCS(0)), 1: 1, 16: 16} {
		s.Workers = workers
		if got := s.MostMemory(); got < count*s.JobMemory+1<<30 {
			t.Errorf("%d workers: %d bytes, too few for them and the service", workers, got)
		}
	}
}
