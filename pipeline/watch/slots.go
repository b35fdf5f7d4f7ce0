package watch

import (
	"context"
	"slices"
	"sync"
)

// slots bound how many jobs are with the processor at the same time. Those that come
// first get one first. The zero value is ready.
type slots struct {
	mu      sync.Mutex
	taken   int
	waiting []chan struct{} // in order; closed when a slot is given
}

// enter waits for one of as many slots as limit gives now, or until ctx is done. leave
// gives it back; to call it twice is no harm.
func (s *slots) enter(ctx context.Context, limit func() int) (leave func(), err error) {
	leave = sync.OnceFunc(func() { s.leave(limit) })
	s.mu.Lock()
	if len(s.waiting) == 0 && s.taken < limit() {
		s.taken++
		s.mu.Unlock()
		return leave, ctx.Err()
	}
	turn := make(chan struct{})
	s.waiting = append(s.waiting, turn)
	s.mu.Unlock()
	select {
	case <-turn:
		return leave, nil
	case <-ctx.Done():
	}
	s.mu.Lock()
	i := slices.Index(s.waiting, turn)
	if i >= 0 {
		s.waiting = slices.Delete(s.waiting, i, i+1)
	}
	s.mu.Unlock()
	if i < 0 { // given at the same instant
		leave()
	}
	return func() {}, ctx.Err()
}

func (s *slots) leave(limit func() int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.taken--
	for len(s.waiting) > 0 && s.taken < limit() {
		s.taken++
		close(s.waiting[0])
		s.waiting = s.waiting[1:]
	}
}
