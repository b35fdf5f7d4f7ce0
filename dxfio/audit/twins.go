package audit

import (
	"math"

	"trueup/dxfio/geom"
)

// twins finds the curve that is drawn or released once more on the same place, by the
// middles of the chords: a box tells little of long slanting lines, of which
// thousands may have boxes over each other.
type twins struct {
	first []int32 // by hash of a cell, the number of a curve and one; its length is a power of two
	next  []int32 // of the same hash
}

const (
	twinCell  = 1.0  // mm
	twinShift = 0.37 // mm, so that the round coordinates of drawings lie inside of cells
	mostTwins = 16   // looked at in a cell; past that the index looks
)

func newTwins(curves []geom.Curve) twins {
	size := 1
	for size < len(curves) {
		size *= 2
	}
	t := twins{first: make([]int32, size), next: make([]int32, len(curves))}
	for i, c := range curves {
		x, y := middleOf(c)
		h := t.hash(cellOf(x), cellOf(y))
		t.next[i], t.first[h] = t.first[h], int32(i+1)
	}
	return t
}

func middleOf(c geom.Curve) (x, y float64) { return (c.A.X + c.B.X) / 2, (c.A.Y + c.B.Y) / 2 }

func cellOf(x float64) int64 { return int64(math.Floor((x + twinShift) / twinCell)) }

func (t *twins) hash(x, y int64) int {
	h := uint64(x)*0x9e3779b97f4a7c15 ^ uint64(y)*0xc2b2ae3d27d4eb4f
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	return int(h >> 32 & uint64(len(t.first)-1))
}

// hasTwin reports whether the set has a curve that runs along c within Fit from end to end.
// False says nothing.
func (a *audit) hasTwin(c geom.Curve, s *set) bool {
	if len(s.twins.first) == 0 {
		return false
	}
	const off = Fit / 3 // the middles of curves that are alike are no farther apart
	x, y := middleOf(c)
	for cx := cellOf(x - off); cx <= cellOf(x+off); cx++ {
		for cy := cellOf(y - off); cy <= cellOf(y+off); cy++ {
			looks := 0
			for i := s.twins.first[s.twins.hash(cx, cy)]; i > 0 && looks < mostTwins; i = s.twins.next[i-1] {
				if alike(c, s.curves[i-1], Fit) {
					return true
				}
				looks++
			}
			a.spend(looks)
		}
	}
	return false
}
