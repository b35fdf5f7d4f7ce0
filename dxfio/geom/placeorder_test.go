package geom

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// TestHilbertCurve checks what defines the curve: it passes every cell of a
// square once, and each step goes to a neighbour.
func TestHilbertCurve(t *testing.T) {
	const side = 64
	for _, corner := range [][2]uint32{{0, 0}, {5 * side, 9 * side}, {1<<16 - side, 1<<16 - side}} {
		cells := map[uint32][2]uint32{}
		least := ^uint32(0)
		for x := corner[0]; x < corner[0]+side; x++ {
			for y := corner[1]; y < corner[1]+side; y++ {
				d := hilbert(x, y)
				cells[d] = [2]uint32{x, y}
				least = min(least, d)
			}
		}
		for k := range uint32(side * side) {
			at, ok := cells[least+k]
			if !ok {
				t.Fatalf("square at %v: no cell has place %d", corner, least+k)
			}
			if before, ok := cells[least+k-1]; ok && k > 0 && apart(at[0], before[0])+apart(at[1], before[1]) != 1 {
				t.Fatalf("square at %v: place %d is %v, behind %v", corner, least+k, at, before)
			}
		}
	}
}

func apart(a, b uint32) uint32 { return max(a, b) - min(a, b) }

func TestSortByPlace(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 4)) // seed 17, 4
	for _, n := range []int{0, 1, fewKeys, fewKeys + 1, 1000, 5000} {
		for _, high := range []uint64{1, 7, 1 << 9, 1 << 20, 1 << 32} {
			keys := make([]PlaceKey, n, 2*n)
			for i := range keys {
				keys[i] = PlaceKey(r.Uint64N(high)<<32) | PlaceKey(i)
			}
			want := slices.Sorted(slices.Values(keys))
			if got := sortByPlace(keys); !slices.Equal(got, want) {
				t.Errorf("%d keys under %d: out of order", n, high)
			}
		}
	}
}
