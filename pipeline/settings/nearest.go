package settings

import (
	"maps"
	"slices"
	"strings"
)

// nearest suggests the known key with the fewest differing letters.
func nearest(name string, known map[string]int) string {
	best := Nearest(name, slices.Collect(maps.Keys(known)))
	if best == "" {
		return "; `trueup settings` lists them all"
	}
	return "; the nearest is " + best
}

// Nearest returns the known word that takes the fewest changed letters to reach
// from name, the first by the alphabet of several, or "" when every one of them
// differs in more than about half of its letters. A part between hyphens or
// underscores that is name but for a letter or so counts too, a letter dearer.
func Nearest(name string, known []string) string {
	best, least := "", len(name)/2+2
	for _, k := range slices.Sorted(slices.Values(known)) {
		n := editDistance(name, k)
		for _, part := range strings.FieldsFunc(k, func(r rune) bool { return r == '-' || r == '_' }) {
			if d := editDistance(name, part); d <= len(name)/3 {
				n = min(n, d+1)
			}
		}
		if n < least {
			best, least = k, n
		}
	}
	return best
}

// editDistance is the number of single-letter changes between two words.
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		before := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			before, row[j] = row[j], min(row[j]+1, row[j-1]+1, before+cost)
		}
	}
	return row[len(b)]
}
