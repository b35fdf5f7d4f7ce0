package watch

import (
	"context"
	"slices"
	"testing"
	"testing/synctest"
)

// No more than the limit have a slot, the first to come is the first to get one, and one
// that gives up waiting takes none with it.
func TestSlots(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var s slots
		limit := func() int { return 2 }
		var order []int
		leaves := map[int]func(){}
		wait := func(ctx context.Context, i int) {
			go func() {
				leave, err := s.enter(ctx, limit)
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
		leaves[2]()
		leaves[2]() // no second slot comes of it
		synctest.Wait()
		if want := []int{1, 2, -3, 4}; !slices.Equal(order, want) {
			t.Fatalf("came in as %v, want %v", order, want)
		}
		leaves[4]()
		leaves[1]()
		synctest.Wait()
		leaves[5]()
		if want := []int{1, 2, -3, 4, 5}; !slices.Equal(order, want) || s.taken != 0 || len(s.waiting) != 0 {
			t.Errorf("came in as %v, want %v; %d slots taken, %d wait", order, want, s.taken, len(s.waiting))
		}
	})
}
