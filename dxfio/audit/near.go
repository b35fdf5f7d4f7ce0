package audit

import (
	"math"

	"trueup/dxfio/geom"
)

// set is a set of curves found by place.
type set struct {
	curves []geom.Curve
	index  *geom.Index
	twins  twins
}

func newSet(curves []geom.Curve) set { return set{curves: curves, index: geom.NewIndex(curves)} }

// newTwinSet is a set in which nearly every curve asked for is there again.
func newTwinSet(curves []geom.Curve) set {
	s := newSet(curves)
	s.twins = newTwins(curves)
	return s
}

// beyond returns the stretches of c farther than reach from every curve of the
// set.
func (a *audit) beyond(c geom.Curve, s *set, reach float64) []geom.Span {
	if a.hasTwin(c, s) {
		return nil
	}
	var some [16]geom.Curve
	near, same, ahead := some[:0], false, c.Tangent(0)
	s.index.Search(c.Box().Grow(reach), func(i int) bool {
		d := s.curves[i]
		if same = alike(c, d, reach); same {
			return false
		}
		if !c.IsLine() || !d.IsLine() || !aside(c.A, ahead, d, reach) {
			near = append(near, d)
		}
		return a.spend(1)
	})
	if same || !a.spend(20*len(near)) {
		return nil
	}
	return geom.Beyond(c, near, reach)
}

// aside reports whether a line lies wholly to one side of another, farther than reach: the boxes
// of two long slanting lines overlap though they run far apart.
func aside(from, ahead geom.Point, d geom.Curve, reach float64) bool {
	p, q := ahead.Cross(d.A.Sub(from)), ahead.Cross(d.B.Sub(from))
	return math.Min(p, q) > reach+Fit || math.Max(p, q) < -reach-Fit
}

// alike is a quick test: true where two curves run along each other within reach
// from end to end, as nearly all do. Curves of one bulge are similar figures, so
// that no point of the one is farther from its like on the other than 3/2 times
// the distances of the ends together.
func alike(c, d geom.Curve, reach float64) bool {
	switch {
	case c.Bulge == 0 && d.Bulge == 0: // a line has no side: the nearer end is the like one
		if c.A.Distance(d.A) > reach {
			d = d.Reverse()
		}
	case c.Bulge == -d.Bulge:
		d = d.Reverse()
	case c.Bulge != d.Bulge:
		return false
	}
	return math.Abs(c.A.X-d.A.X) <= reach && 1.5*(c.A.Distance(d.A)+c.B.Distance(d.B)) <= reach
}

// repairs finds listed repairs by what they touch.
type repairs struct {
	list  []Repair
	size  []float64 // as far as it may count, mm
	index *geom.Index
}

func newRepairs(list []Repair, facet float64) repairs {
	r := repairs{list: list, size: make([]float64, len(list))}
	boxes := make([]geom.Box, len(list))
	for i, l := range list {
		if r.size[i] = l.Size; l.Facet {
			r.size[i] = math.Min(l.Size, facet)
		}
		boxes[i] = geom.Box{Min: l.At, Max: l.At}.Grow(r.size[i] + Fit)
	}
	r.index = geom.NewBoxIndex(boxes)
	return r
}

// allowed returns how far the repairs that touch any of the curves may have moved
// them: a line made an arc of chords may have been joined to others since, and an
// end joined to another may have been brought to its corner after that. An arc that stands for chords may have been cut since, so that its repair is
// found on its circle.
func (a *audit) allowed(touched ...geom.Curve) float64 {
	most, second, facet := 0.0, 0.0, 0.0
	seen := map[int]bool{}
	for _, c := range touched {
		box := c.Box()
		if !c.IsLine() {
			o, r := c.Center(), c.Radius()
			box = geom.Box{Min: o, Max: o}.Grow(r)
		}
		a.repairs.index.Search(box, func(i int) bool {
			size, at := a.repairs.size[i], a.repairs.list[i].At
			switch near := c.Distance(at) <= size+Fit; {
			case a.repairs.list[i].Facet && (near || !c.IsLine() && math.Abs(c.SignedDistance(at)) <= size+Fit):
				facet = math.Max(facet, size)
			case !a.repairs.list[i].Facet && near && !seen[i]:
				seen[i] = true
				if second = math.Max(second, size); second > most {
					most, second = second, most
				}
			}
			return a.spend(1)
		})
	}
	return most + second + facet
}

// unexplained returns the stretches of c farther from the set than Fit and than
// the repairs that touch it or what it should run along, and the limit held.
func (a *audit) unexplained(c geom.Curve, s *set, reach float64) ([]geom.Span, float64) {
	gaps := a.beyond(c, s, reach)
	if len(gaps) == 0 || len(a.repairs.list) == 0 || len(s.curves) == 0 {
		return gaps, reach
	}
	touched := []geom.Curve{c}
	for _, g := range gaps {
		i, _, _ := s.index.Nearest(c.At((g.From + g.To) / 2))
		touched = append(touched, s.curves[i])
		a.spend(40)
	}
	size := a.allowed(touched...)
	if size == 0 {
		return gaps, reach
	}
	limit := math.Max(reach, size+Fit)
	return a.beyond(c, s, limit), limit
}

// farthest returns the point of a stretch farthest from the set, nearly: the
// stretch lies beyond a limit everywhere, and is looked at in many places.
func (a *audit) farthest(c geom.Curve, gaps []geom.Span, s *set) geom.Witness {
	const looks = 32
	var worst geom.Witness
	for k, g := range gaps {
		for i := range looks + 1 {
			p := c.At(g.From + (g.To-g.From)*float64(i)/looks)
			w := geom.Witness{From: p, To: p}
			if _, q, ok := s.index.Nearest(p); ok {
				w.To = q
			}
			a.spend(10)
			if k == 0 && i == 0 || w.Length() > worst.Length()+geom.Tolerance {
				worst = w
			}
		}
	}
	return worst
}

// length returns the length of stretches of a curve in mm.
func length(c geom.Curve, gaps []geom.Span) float64 {
	sum := 0.0
	for _, g := range gaps {
		sum += (g.To - g.From) * c.Length()
	}
	return sum
}
