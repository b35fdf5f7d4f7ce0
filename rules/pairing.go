package rules

import (
	"slices"
	"strconv"
	"strings"
)

// Pairing finds in two revisions of a template the flaws that are the same, each
// paired once. Ways to tell that are tried one after the other, the surest first;
// of several the first in the list is taken. Its time grows with the flaws and, in
// Near, with the pairs of one rule that no surer way has paired.
type Pairing struct {
	// Was gives for each flaw of the later revision its index in the earlier one,
	// -1 for none.
	Was []int
	// Fits, if there is one, may refuse a pair.
	Fits func(before, now int) bool
	used []bool
}

// NewPairing returns a pairing of so many flaws in which none is paired.
func NewPairing(before, now int) *Pairing {
	return &Pairing{Was: slices.Repeat([]int{-1}, now), used: make([]bool, before)}
}

// Left returns the flaws of the earlier revision that are not paired.
func (p *Pairing) Left() []int {
	var left []int
	for b, used := range p.used {
		if !used {
			left = append(left, b)
		}
	}
	return left
}

// Equal pairs the flaws whose names are equal. Both lists are as long as the
// revisions have flaws; an empty name is nobody's.
func (p *Pairing) Equal(before, now []string) {
	named := map[string][]int{}
	for b, name := range before {
		if name != "" && !p.used[b] {
			named[name] = append(named[name], b)
		}
	}
	for n, name := range now {
		p.first(n, named[name], func(int) bool { return true })
	}
}

// Near pairs the flaws whose keys are the same by SameKey.
func (p *Pairing) Near(before, now []string) {
	cells := make([][]int, len(before))
	alike := map[string][]int{}
	for b, k := range before {
		if k != "" && !p.used[b] {
			kind, on := parseKey(k)
			alike[kind], cells[b] = append(alike[kind], b), on
		}
	}
	for n, k := range now {
		if k == "" || p.Was[n] >= 0 {
			continue
		}
		kind, on := parseKey(k)
		p.first(n, alike[kind], func(b int) bool { return neighbours(cells[b], on) })
	}
}

func (p *Pairing) first(n int, candidates []int, same func(b int) bool) {
	if p.Was[n] >= 0 {
		return
	}
	for _, b := range candidates {
		if !p.used[b] && same(b) && (p.Fits == nil || p.Fits(b, n)) {
			p.Was[n], p.used[b] = b, true
			return
		}
	}
}

// SameKey reports whether two keys name the same flaw: they are equal, or
// neighbours on their grids, which they become when a new export or a new
// measurement moves a flaw by a hair over the bound of a cell. Two flaws that
// may be up to two cells apart (50 mm, 10 percent) pass too: try equal keys first.
func SameKey(a, b string) bool {
	if a == b {
		return a != ""
	}
	kindA, onA := parseKey(a)
	kindB, onB := parseKey(b)
	return kindA == kindB && neighbours(onA, onB)
}

// parseKey divides a key into the cells of its grids and all the rest, in which
// keys of the same flaw are equal.
func parseKey(key string) (kind string, cells []int) {
	whole, number, _ := strings.Cut(key, "#")
	fields := strings.Split(whole, "|")
	for i, f := range fields[1:] {
		if v, err := strconv.Atoi(f); err == nil {
			cells = append(cells, v)
			fields[i+1] = "#" // which no other field holds
		}
	}
	return strings.Join(fields, "|") + "#" + number, cells
}

// neighbours reports whether cells, as many in both, are at most one apart.
func neighbours(a, b []int) bool {
	for i := range a {
		if d := a[i] - b[i]; d > 1 || d < -1 {
			return false
		}
	}
	return true
}
