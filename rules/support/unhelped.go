package support

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// farthest returns the point of the cells that is farthest from any support, of
// those that no chord helps: the farthest of the cells' corners and middles and of
// the boundary beside them, moved on as far as it goes; known, which no chord helps
// either, where it is none of these.
func (s *search) farthest(cells []cell, known geom.Point) geom.Point {
	type candidate struct {
		p geom.Point
		d float64
	}
	var list []candidate
	try := func(p geom.Point) { list = append(list, candidate{p, p.Distance(s.nearestSupport(p))}) }
	for _, c := range cells {
		mid := c.center()
		for _, v := range append(polygon{mid}, c.polygon...) {
			try(mid.Lerp(v, 1-pastShrink))
		}
	}
	stone := Place{cells: cells}
	for _, shape := range append([]shape{s.outline}, s.cutouts...) {
		for _, c := range shape.loop {
			n := math.Ceil(c.Length() / stretchStep)
			for k := 0.0; k <= n; k++ {
				t := math.Min(math.Max(k/n, pastShrink), 1-pastShrink)
				if p := c.At(t).Add(c.Tangent(t).Left().Mul(sideStep)); stone.holds(p) {
					try(p)
				}
			}
		}
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(b.d, a.d) })
	for _, c := range list {
		if s.isFree(c.p) && s.unhelped(c.p) {
			return s.outward(c.p, c.d)
		}
	}
	return known
}

// unhelped reports whether no chord helps a free point.
func (s *search) unhelped(p geom.Point) bool {
	s.looked++
	return s.noTurn(s.ms, p)
}

// outward moves a point that no chord helps away from the supports, in steps from
// those of leastPast that cells are told apart by down to Sliver, while some way
// leads to one farther off that no chord helps either.
func (s *search) outward(at geom.Point, most float64) geom.Point {
	away := at.Sub(s.nearestSupport(at)).Unit()
	for step := float64(leastPast); step > Sliver; {
		moved := false
		for k := 0; k < outwardWays && !moved; k++ {
			p := at.Add(away.Rotate(2 * math.Pi * float64(k) / outwardWays).Mul(step))
			if !s.isFree(p) {
				continue
			}
			if d := p.Distance(s.nearestSupport(p)); d > most+Sliver/10 && s.unhelped(p) {
				at, most, moved = p, d, true
			}
		}
		if !moved {
			step /= 2
		}
	}
	return at
}

// outwardWays is in how many directions a way outward is sought: along a straight
// edge one of them lies within eight degrees of it.
const outwardWays = 24

// pastShrink keeps a point beside a cell's corner inside the stone.
const pastShrink = 1e-4

// nearestSupport returns the nearest carrying point to p.
func (m *Model) nearestSupport(p geom.Point) geom.Point {
	var at geom.Point
	least := math.Inf(1)
	for i := range m.edges {
		if e := &m.edges[i]; e.carries {
			if q, _ := geom.NearestPoint(e.curve(), p); q.Distance(p) < least {
				least, at = q.Distance(p), q
			}
		}
	}
	return at
}
