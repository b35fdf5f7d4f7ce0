package watch

import (
	"context"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
)

// No more than the limit have a slot, the first to come is the first to get one, and one
// that gives up waiting takes none with it.
func TestSlots(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var s slots
		limit := func() int { return 2 }
		var mu sync.Mutex // guards the two below: waiting for the others shares nothing by itself
		var order []int
		leaves := map[int]func(){}
		leave := func(i int) {
			mu.Lock()
			defer mu.Unlock()
			leaves[i]()
		}
		came := func() []int {
			mu.Lock()
			defer mu.Unlock()
			return slices.Clone(order)
		}
		wait := func(ctx context.Context, i int) {
			go func() {
				leave, err := s.enter(ctx, limit)
				mu.Lock()
				defer mu.Unlock()
				if err != nil {
					order = append(order, -i)
					return
				}
				order, leaves[i] = append(order, i), leave
			}()
			synctest.Wait()
		}
		impatient, giveUp := context.WithCancel(t.Context())
		for i := 1; i <= 5; i++ {
			ctx := t.Context()
			if i == 3 {
				ctx = impatient
			}
			wait(ctx, i)
		}
		giveUp()
		synctest.Wait()
		leave(2)
		leave(2) // no second slot comes of it
		synctest.Wait()
		if want := []int{1, 2, -3, 4}; !slices.Equal(came(), want) {
			t.Fatalf("came in as %v, want %v", came(), want)
		}
		leave(4)
		leave(1)
		synctest.Wait()
		leave(5)
		if want := []int{1, 2, -3, 4, 5}; !slices.Equal(came(), want) || s.taken != 0 || len(s.waiting) != 0 {
			t.Errorf("came in as %v, want %v; %d slots taken, %d wait", came(), want, s.taken, len(s.waiting))
		}
	})
}
