package piece

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// cutTolerance is the mean width in mm under which a part of a cutout is not
// there: what lies over the edge by less lies on it.
const cutTolerance = 0.01

// relation says how an opening lies to a piece.
type relation uint8

const (
	apart  relation = iota
	inside          // wholly inside, perhaps touching the edge in a point
	over            // partly inside, or inside and along the edge: it takes a notch
	beside          // outside, along the edge: the outline has its notch already
	around          // the piece lies in it
)

// shape is a body with an index of its outline.
type shape struct {
	*body
	guard guard
	index *geom.Index
	area  float64
	cuts  []geom.Loop // that run over the edge, counter-clockwise
}

// relate tells how the opening's loop lies to the outline, from where the
// stretches between its contacts with the outline lie.
func (s *shape) relate(loop geom.Loop) relation {
	in, out, on := s.stretches(loop)
	switch {
	case in > 0 && out > 0:
		return s.crossed(loop, on > 0)
	case in > 0 && on > 0:
		return over
	case in > 0:
		return inside
	case s.liesIn(loop):
		return around
	case on > 0:
		return beside
	}
	return apart
}

// crossed settles a loop on both sides of the outline by the area it shares.
func (s *shape) crossed(loop geom.Loop, sharing bool) relation {
	whole, shared := math.Abs(loop.Area()), 0.0
	for _, r := range s.guard.intersection(s.outline, loop) {
		shared += r.Area()
	}
	least := cutTolerance * loop.Length() / 2
	switch {
	case shared <= least && sharing:
		return beside
	case shared <= least:
		return apart
	case shared >= s.area-least:
		return around
	case shared < whole-least || sharing:
		return over
	}
	return inside
}

// stretches returns the lengths of the loop inside the outline, outside, and on
// it.
func (s *shape) stretches(loop geom.Loop) (in, out, on float64) {
	if !s.meets(loop) { // one point tells for all
		s.guard.spend(locateSteps*len(s.outline), loop[0].A)
		if s.outline.Locate(loop[0].A) == geom.Inside {
			return loop.Length(), 0, 0
		}
		return 0, loop.Length(), 0
	}
	where, known := geom.Outside, false // since the last contact
	for _, c := range loop {
		at := []float64{0, 1}
		s.index.Search(c.Box().Grow(geom.Tolerance), func(i int) bool {
			s.guard.spend(crossSteps, c.A)
			for _, h := range geom.Intersect(c, s.outline[i]) {
				at = append(at, h.T)
			}
			return true
		})
		known = known && len(at) == 2
		slices.Sort(at)
		length := c.Length()
		for i := 1; i < len(at); i++ {
			l := (at[i] - at[i-1]) * length
			if l <= geom.Tolerance {
				continue
			}
			if !known || len(at) > 2 {
				where, known = s.locate(c.At((at[i-1]+at[i])/2)), true
			}
			switch where {
			case geom.Inside:
				in += l
			case geom.Outside:
				out += l
			default:
				on += l
			}
		}
		known = known && len(at) == 2
	}
	return in, out, on
}

// locate tells where a point lies; most that lie on the outline are found by
// place.
func (s *shape) locate(p geom.Point) geom.Location {
	on := false
	s.index.Search(geom.Box{Min: p, Max: p}.Grow(geom.Tolerance), func(i int) bool {
		on = s.outline[i].Distance(p) <= geom.Tolerance
		return !on
	})
	if on {
		return geom.On
	}
	s.guard.spend(locateSteps*len(s.outline), p)
	return s.outline.Locate(p)
}

// meets reports whether the loop comes near the outline anywhere.
func (s *shape) meets(loop geom.Loop) bool {
	found := false
	for _, c := range loop {
		s.index.Search(c.Box().Grow(geom.Tolerance), func(i int) bool {
			s.guard.spend(crossSteps, c.A)
			found = len(geom.Intersect(c, s.outline[i])) > 0
			return !found
		})
		if found {
			return true
		}
	}
	return false
}

// liesIn reports whether the piece lies in a loop that does not enter it.
func (s *shape) liesIn(loop geom.Loop) bool {
	s.guard.spend(locateSteps*(len(s.outline)+len(loop)), loop[0].A)
	p, ok := insideOf(geom.Region{Outer: s.outline})
	return ok && loop.Locate(p) == geom.Inside
}

// inLoop reports whether one opening lies in another, perhaps touching it.
func (g guard) inLoop(inner, outer geom.Loop) bool {
	x, y := inner.Box(), outer.Box().Grow(geom.Tolerance)
	if !y.Contains(x.Min) || !y.Contains(x.Max) {
		return false
	}
	s := shape{body: &body{outline: outer}, guard: g, index: geom.NewIndex(outer)}
	in, out, _ := s.stretches(inner)
	return in > 0 && out == 0
}

// sameArea is the share by which the areas of one opening drawn twice differ.
const sameArea = 0.01

// sameLoop reports whether two loops are one opening drawn twice.
func sameLoop(a, c geom.Loop, reach float64) bool { return newLine(a, nil).same(c, reach) }
