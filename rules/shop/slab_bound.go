package shop

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// SlabCount is the least number of slabs of one kind. It is a bound that no
// nesting can beat, never a nesting: kerf, shapes and pattern may need more.
type SlabCount struct {
	Material  string
	Thickness float64
	Pieces    []string // ids of the pieces counted
	Area      float64  // mm2 of stone in them, cutouts taken out
	SlabArea  float64  // usable mm2 of the largest slab of the kind
	Least     int
	TooBig    []string // ids of the pieces that fit no slab of the kind, or are larger than one: not counted
	Why       string   // how the bound comes about, one sentence
}

// SlabBound returns, for each material and thickness in the template, the least
// number of slabs its pieces need: their stone has to find room in the usable
// area, and no two pieces that are each larger than half a slab share one. A
// kind of which the settings have no slab is left out. In order of material and
// thickness. Set-ups already made, by piece id, save work; nil will do.
func SlabBound(t *piece.Template, s *Settings, setups map[string]*Setup) []SlabCount {
	type kind struct {
		material  string
		thickness float64
	}
	areas := map[kind][]float64{}
	counts := map[kind]*SlabCount{}
	for i := range t.Pieces {
		p := &t.Pieces[i]
		k := kind{s.materialName(p.Material), p.Thickness}
		largest := s.largestSlab(k.material, k.thickness)
		if largest == 0 {
			continue
		}
		c := counts[k]
		if c == nil {
			c = &SlabCount{Material: k.material, Thickness: k.thickness, SlabArea: largest}
			counts[k] = c
		}
		area := p.NetArea()
		if area > largest || !fits(p, setups[p.ID], k.material, s) {
			c.TooBig = append(c.TooBig, p.ID)
			continue
		}
		c.Pieces = append(c.Pieces, p.ID)
		c.Area += area
		areas[k] = append(areas[k], area/largest)
	}
	var out []SlabCount
	for k, c := range counts {
		c.Least = leastBins(areas[k])
		byArea := int(math.Ceil(c.Area/c.SlabArea - binRounding))
		c.Why = fmt.Sprintf("a bound, not a nesting: %s of stone on slabs of %s usable", t.Units.Lengths.Area(c.Area), t.Units.Lengths.Area(c.SlabArea))
		if c.Least > byArea {
			c.Why += ", and pieces too large to share a slab"
		}
		out = append(out, *c)
	}
	slices.SortFunc(out, func(a, b SlabCount) int {
		return cmp.Or(cmp.Compare(a.Material, b.Material), cmp.Compare(a.Thickness, b.Thickness))
	})
	return out
}

// largestSlab returns the usable area of the largest slab of a kind, 0 without.
func (s *Settings) largestSlab(material string, thickness float64) float64 {
	most := 0.0
	for _, slab := range s.Slabs {
		if slab.is(material, thickness) {
			l, b := slab.usable()
			most = math.Max(most, l*b)
		}
	}
	return most
}

// binRounding keeps sums of shares that are whole but for rounding from counting
// as one more.
const binRounding = 1e-9

// leastBins returns a lower bound on the bins of size 1 that items of the given
// sizes need: Martello and Toth's bound L2 (Knapsack Problems, 1990, chapter 8;
// from memory). For every a up to 1/2: items above 1-a stand alone, those above
// 1/2 each need a bin of their own too, and what of the items from a to 1/2 does
// not go into the rest of those bins fills further ones. Sums up to each size make
// it n log n in the items.
func leastBins(sizes []float64) int {
	sorted := slices.Sorted(slices.Values(sizes))
	sums := make([]float64, len(sorted)+1) // of all before the index
	for i, s := range sorted {
		sums[i+1] = sums[i] + s
	}
	above := func(size float64) int { // index of the first item above the size
		return sort.Search(len(sorted), func(i int) bool { return sorted[i] > size })
	}
	middle := above(0.5)
	least := 0
	for i := -1; i < middle; i++ {
		a, from := 0.0, 0
		if i >= 0 {
			if i > 0 && sorted[i] == sorted[i-1] {
				continue
			}
			a, from = sorted[i], i
		}
		alone := max(above(1-a), middle)
		half := alone - middle
		room := float64(half) - (sums[alone] - sums[middle])
		small := sums[middle] - sums[from]
		least = max(least, len(sorted)-alone+half+max(0, int(math.Ceil(small-room-binRounding))))
	}
	return least
}

// fits reports whether the piece fits a slab of its kind; a set-up that was made
// of it knows already.
func fits(p *piece.Piece, made *Setup, material string, s *Settings) bool {
	if made != nil {
		return made.Slab.OK
	}
	return fitSlab(p, geom.SmallestRectangle(p.Outline), material, s).OK
}
