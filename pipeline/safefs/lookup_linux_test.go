package safefs

import "testing"

// lookUpEach has folders opened element by element, as on a kernel without openat2.
func lookUpEach(t *testing.T, each bool) bool {
	before := withoutOpenat2.Load()
	withoutOpenat2.Store(each)
	t.Cleanup(func() { withoutOpenat2.Store(before) })
	return true
}
