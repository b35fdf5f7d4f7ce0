package rules

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestPairing(t *testing.T) {
	for _, c := range []struct {
		name        string
		before, now []string
		refused     [2]int // before, now; {0, 0} for none
		was, left   []int
	}{
		{name: "nothing", was: []int{}, left: nil},
		{name: "equal", before: []string{"r|1", "s|1"}, now: []string{"s|1", "r|1"}, was: []int{1, 0}},
		{name: "the equal one before the neighbour", before: []string{"r|1", "r|2"}, now: []string{"r|2"}, was: []int{1}, left: []int{0}},
		{name: "equal ones first, whoever comes first", before: []string{"r|2"}, now: []string{"r|1", "r|2"}, was: []int{-1, 0}},
		{name: "neighbours in every cell", before: []string{"r|1|-1|9"}, now: []string{"r|2|-2|10"}, was: []int{0}},
		{name: "two cells apart", before: []string{"r|1"}, now: []string{"r|3"}, was: []int{-1}, left: []int{0}},
		{name: "each once", before: []string{"r|1"}, now: []string{"r|1", "r|1", "r|2"}, was: []int{0, -1, -1}},
		{name: "the first of several", before: []string{"r|1", "r|3"}, now: []string{"r|2", "r|2"}, was: []int{0, 1}},
		{name: "another rule", before: []string{"r|1"}, now: []string{"s|1"}, was: []int{-1}, left: []int{0}},
		{name: "another number", before: []string{"r|1#2"}, now: []string{"r|1", "r|2#2"}, was: []int{-1, 0}},
		{name: "more places", before: []string{"r|1|4 places"}, now: []string{"r|1|3 places"}, was: []int{-1}, left: []int{0}},
		{name: "no key", before: []string{""}, now: []string{""}, was: []int{-1}, left: []int{0}},
		{name: "a field without anything is no cell", before: []string{"r||1"}, now: []string{"r|1|"}, was: []int{-1}, left: []int{0}},
		{name: "refused", before: []string{"q", "r|1", "r|2"}, now: []string{"p", "r|1"}, refused: [2]int{1, 1}, was: []int{-1, 2}, left: []int{0, 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := NewPairing(len(c.before), len(c.now))
			if c.refused != [2]int{} {
				p.Fits = func(b, n int) bool { return [2]int{b, n} != c.refused }
			}
			p.Equal(c.before, c.now)
			p.Near(c.before, c.now)
			if !slices.Equal(p.Was, c.was) || !slices.Equal(p.Left(), c.left) {
				t.Errorf("was %v left %v, want %v and %v", p.Was, p.Left(), c.was, c.left)
			}
		})
	}
}

// Pairs are those of the plain definition: way by way, each of the later revision
// in turn takes the first of the earlier one that is still free.
func TestPairingAsDefined(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	key := func() string { return fmt.Sprintf("%c|%d|%d", 'r'+rune(r.IntN(2)), r.IntN(5), r.IntN(5)) }
	for range 2000 {
		before, now := make([]string, r.IntN(8)), make([]string, r.IntN(8))
		for i := range before {
			before[i] = key()
		}
		for i := range now {
			now[i] = key()
		}
		want, used := slices.Repeat([]int{-1}, len(now)), make([]bool, len(before))
		for _, same := range []func(a, b string) bool{func(a, b string) bool { return a == b }, SameKey} {
			for n := range now {
				for b := range before {
					if want[n] < 0 && !used[b] && same(before[b], now[n]) {
						want[n], used[b] = b, true
					}
				}
			}
		}
		p := NewPairing(len(before), len(now))
		p.Equal(before, now)
		p.Near(before, now)
		if !slices.Equal(p.Was, want) {
			t.Fatalf("%v and %v: %v, want %v", before, now, p.Was, want)
		}
	}
}

// Two revisions of a drawing with thousands of flaws, none of which is the same.
func BenchmarkPairing(b *testing.B) {
	var before, now []string
	for i := range 4000 {
		before = append(before, fmt.Sprintf("narrow-section|%d|%d|%d|%d", 20, 3*i, 7, 80))
		now = append(now, fmt.Sprintf("narrow-section|%d|%d|%d|%d", 20, 3*i, 70, 80))
	}
	for b.Loop() {
		p := NewPairing(len(before), len(now))
		p.Equal(before, now)
		p.Near(before, now)
	}
}
