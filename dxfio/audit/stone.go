package audit

import (
	"trueup/dxfio/geom"
)

// stone tells where the released pieces have stone. Loops keep an index of their
// own, so that a point costs no more than the curves beside and to the right of it.
type stone struct {
	loops  []ring
	index  *geom.Index // of the loops' boxes
	pieces int
}

// ring is a closed line.
type ring struct {
	set
	box    geom.Box
	area   float64 // without sign
	piece  int
	cutout int // -1 for an outline
}

func newRing(l []geom.Curve) ring {
	r := ring{set: newSet(l), area: geom.Loop(l).Area()}
	if r.area < 0 {
		r.area = -r.area
	}
	r.box = geom.Loop(l).Box()
	return r
}

// holds reports whether a point that lies on none of its curves is inside.
func (a *audit) holds(r *ring, p geom.Point) bool {
	if !r.box.Contains(p) {
		return false
	}
	turns := 0
	r.set.index.Search(geom.Box{Min: p, Max: geom.Point{X: r.box.Max.X, Y: p.Y}}, func(i int) bool {
		turns += r.curves[i].Winding(p)
		return a.spend(1)
	})
	return turns != 0
}

func newStone(pieces []Piece) stone {
	s := stone{pieces: len(pieces)}
	add := func(l geom.Loop, piece, cutout int) {
		r := newRing(l)
		r.piece, r.cutout = piece, cutout
		s.loops = append(s.loops, r)
	}
	for i := range pieces {
		add(pieces[i].Outline, i, -1)
		for k := range pieces[i].Cutouts {
			add(pieces[i].Cutouts[k].Loop, i, k)
		}
	}
	boxes := make([]geom.Box, len(s.loops))
	for i := range s.loops {
		boxes[i] = s.loops[i].box
	}
	s.index = geom.NewBoxIndex(boxes)
	return s
}

// around returns the pieces that have stone at a point, and whether it lies in a
// cutout of any.
func (a *audit) around(p geom.Point) (pieces []int, cut bool) {
	within := map[int]bool{} // pieces with a cutout there
	a.stone.index.Search(geom.Box{Min: p, Max: p}, func(i int) bool {
		r := &a.stone.loops[i]
		if a.holds(r, p) {
			if r.cutout < 0 {
				pieces = append(pieces, r.piece)
			} else {
				cut, within[r.piece] = true, true
			}
		}
		return a.spend(4)
	})
	left := pieces[:0]
	for _, i := range pieces {
		if !within[i] {
			left = append(left, i)
		}
	}
	return left, cut
}
