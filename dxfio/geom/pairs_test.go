package geom

import "testing"

func TestPairsAgainstBruteForce(t *testing.T) {
	r := newRand(t, 11)
	for _, n := range []int{0, 1, 2, 3, 8, 9, 64, 65, 500, 1000} {
		boxes := make([]Box, n)
		for i := range boxes {
			p := Point{r.Float64() * 100, r.Float64() * 100}
			boxes[i] = EmptyBox().Extend(p).Extend(p.Add(Point{r.Float64() * 8, r.Float64() * 8}))
		}
		got := map[[2]int]int{}
		NewBoxIndex(boxes).Pairs(func(i, j int) { got[[2]int{min(i, j), max(i, j)}]++ })
		want := 0
		for i := range boxes {
			for j := range i {
				if boxes[i].Overlaps(boxes[j]) {
					want++
					if got[[2]int{j, i}] != 1 {
						t.Fatalf("n %d: pair %d %d met %d times", n, j, i, got[[2]int{j, i}])
					}
				}
			}
		}
		if len(got) != want {
			t.Errorf("n %d: %d pairs, want %d", n, len(got), want)
		}
	}
}
