package audit

import (
	"math"

	"trueup/dxfio/geom"
)

// stone tells where the released pieces have stone. Loops keep an index of their
// own, so that a point costs no more than the curves beside and to the right of it.
type stone struct {
	loops  []ring
	index  *geom.Index // of the loops' boxes
	pieces int
}

// smallRing is how many curves are looked at one by one rather than by an index.
const smallRing = 16

// ring is a closed line.
type ring struct {
	curves []geom.Curve
	found  *geom.Index // of the curves, nil where they are few
	box    geom.Box
	area   float64 // without sign
	piece  int
	cutout int // -1 for an outline
}

func newRing(l []geom.Curve) ring {
	r := ring{curves: l, area: geom.Loop(l).Area()}
	if len(l) > smallRing {
		r.found = geom.NewIndex(l)
	}
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
	a.each(r, geom.Box{Min: p, Max: geom.Point{X: r.box.Max.X, Y: p.Y}}, func(c geom.Curve) bool {
		turns += c.Winding(p)
		return true
	})
	return turns != 0
}

// each visits at least the curves of a ring whose boxes share a point with a box, until visit
// returns false.
func (a *audit) each(r *ring, box geom.Box, visit func(c geom.Curve) bool) {
	if r.found == nil {
		for _, c := range r.curves {
			if !visit(c) {
				break
			}
		}
		a.spend(len(r.curves))
		return
	}
	r.found.Search(box, func(i int) bool { return visit(r.curves[i]) && a.spend(1) })
}

// distance returns how far a point is from a closed line.
func (a *audit) distance(r *ring, p geom.Point) float64 {
	if r.found != nil {
		_, q, _ := r.found.Nearest(p)
		a.spend(20)
		return q.Distance(p)
	}
	least := math.Inf(1)
	for _, c := range r.curves {
		least = math.Min(least, c.Distance(p))
	}
	a.spend(len(r.curves))
	return least
}

// meet reports whether two closed lines cross or touch, as near as what makes two ends one.
func (a *audit) meet(r, s *ring) (met bool) {
	if len(r.curves) > len(s.curves) {
		r, s = s, r
	}
	join := a.d.Limits.Join
	shared := s.box.Grow(join)
	for _, c := range r.curves {
		box := c.Box().Grow(join)
		if met || !a.spend(1) {
			return met
		}
		if !box.Overlaps(shared) {
			continue
		}
		a.each(s, box, func(d geom.Curve) bool {
			met = box.Overlaps(d.Box()) && (len(geom.Intersect(c, d)) > 0 ||
				d.Distance(c.A) <= join || d.Distance(c.B) <= join || c.Distance(d.A) <= join || c.Distance(d.B) <= join)
			return !met && a.spend(4)
		})
	}
	return met
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
