package piece

import (
	"math"

	"trueup/dxfio/geom"
)

// leastStep is the offset in mm from which a seam has a step: less is the
// inaccuracy of a straight seam.
const leastStep = 1

// squareDeg is how far in degrees a seam may be out of square and still be
// straight.
const squareDeg = 1

// measure sets the gaps and steps of a seam.
func (b *builder) measure(s *Seam) {
	b.gaps(s)
	s.Steps = nil
	for k, chain := range s.Chains {
		s.Steps = append(s.Steps, stepsOf(s.Pieces[k], chain)...)
	}
}

// gaps measures the largest and the smallest gap, negative where the mates
// overlap, at every place where the gap can have an extreme: the ends of each
// stretch where two curves face each other, and where an arc runs parallel to
// its mate.
func (b *builder) gaps(s *Seam) {
	first := true
	s.MaxGap, s.MinGap = 0, 0
	index := geom.NewIndex(s.Moved)
	for _, c := range s.Chains[0] {
		index.Search(c.Box().Grow(b.s.SeamReach), func(i int) bool {
			d := s.Moved[i]
			for _, f := range b.faces(c, d) {
				for _, t := range extremes(c, d, f) {
					g, w := gapAt(c, d, t)
					if first || g > s.MaxGap {
						s.MaxGap, s.MaxAt = g, w
					}
					if first || g < s.MinGap {
						s.MinGap, s.MinAt = g, w
					}
					first = false
				}
			}
			return true
		})
	}
}

// gapAt returns the gap from the fraction t of c to d and the line that shows it.
func gapAt(c, d geom.Curve, t float64) (float64, geom.Witness) {
	p := c.At(t)
	q, _ := geom.NearestPoint(d, p)
	w := geom.Witness{From: p, To: q}
	switch g := w.Length(); {
	case g <= geom.Tolerance:
		return 0, w
	case c.Tangent(t).Cross(q.Sub(p)) > 0:
		return -g, w
	default:
		return g, w
	}
}

// extremes returns the fractions of c within the stretch f at which its distance
// from d can be largest or smallest.
func extremes(c, d geom.Curve, f span) []float64 {
	at := []float64{f.from, f.to}
	add := func(p geom.Point) {
		if _, t := geom.NearestPoint(c, p); t > f.from && t < f.to {
			at = append(at, t)
		}
	}
	switch {
	case c.IsLine() && !d.IsLine():
		add(d.Center())
	case !c.IsLine():
		o, r := c.Center(), c.Radius()
		toward := d.Tangent(0).Left()
		if !d.IsLine() {
			toward = d.Center().Sub(o).Unit()
		}
		add(o.Add(toward.Mul(r)))
		add(o.Sub(toward.Mul(r)))
	}
	return at
}

// stepsOf returns the steps of a chain as its own piece has them: where the
// side leaves the line of its leading stretch, the first straight one, for a
// parallel one. At runs along the leading stretch from the chain's start to the
// line of the riser; a riser that is all curve counts from where the stretch
// before it ends.
func stepsOf(id string, chain []geom.Curve) []SeamStep {
	var steps []SeamStep
	lead, last := -1, -1
	offset := 0.0
	for i, c := range chain {
		if !c.IsLine() || c.Length() <= leastStep {
			continue
		}
		if lead < 0 {
			lead, last = i, i
			continue
		}
		u := chain[lead].Tangent(0)
		if v := c.Tangent(0); v.Dot(u) <= 0 || math.Abs(v.Cross(u)) > math.Sin(squareDeg*math.Pi/180) {
			continue
		}
		depth := -u.Cross(c.Middle().Sub(chain[lead].Middle()))
		if math.Abs(depth) <= geom.Tolerance {
			depth = 0 // back on the leading line
		}
		if math.Abs(depth-offset) >= leastStep {
			at := riser(chain[last : i+1])
			steps = append(steps, SeamStep{Piece: id, At: u.Dot(at.Sub(chain[0].A)), Depth: depth, Place: at})
			offset = depth
		}
		last = i
	}
	return steps
}

// leastRiserDeg is the angle in degrees from which a straight between two
// stretches is the riser of the step.
const leastRiserDeg = 10

// riser returns where the line of the first stretch meets that of the riser
// between it and the last.
func riser(part []geom.Curve) geom.Point {
	u := part[0].Tangent(0)
	best, steepest := part[0].B, math.Sin(leastRiserDeg*math.Pi/180)
	for _, c := range part[1 : len(part)-1] {
		v := c.Tangent(0)
		if !c.IsLine() || math.Abs(u.Cross(v)) <= steepest {
			continue
		}
		steepest = math.Abs(u.Cross(v))
		t := c.A.Sub(part[0].A).Cross(v) / u.Cross(v)
		best = part[0].A.Add(u.Mul(t))
	}
	return best
}

// setKinds tells how the pieces of each seam meet; edges must be known.
//
// A seam is stepped when a mate has a step. It is a mitre when it meets the
// front side obliquely: at a chain's end the angle between the seam and the
// neighbouring edge is off 90 and 180 degrees by more than 1. Front sides are
// neighbouring edges with the finish finished, of either piece; where none is
// marked, every end has to be oblique. Every other seam is straight.
func (b *builder) setKinds(seams []Seam) {
	byID := map[string]*Piece{}
	for i := range b.t.Pieces {
		byID[b.t.Pieces[i].ID] = &b.t.Pieces[i]
	}
	for i := range seams {
		s := &seams[i]
		s.Kind = StraightSeam
		if len(s.Steps) > 0 {
			s.Kind = SteppedSeam
			continue
		}
		front, all, ends, oblique := false, true, 0, false
		for k, chain := range s.Chains {
			for _, e := range chainEnds(byID[s.Pieces[k]], chain, b.s.SeamReach) {
				ends++
				front = front || e.front
				oblique = oblique || e.front && e.oblique()
				all = all && e.oblique()
			}
		}
		if front && oblique || !front && all && ends > 0 {
			s.Kind = MitreSeam
		}
	}
}

// chainEnd is where a seam's chain meets the neighbouring edge.
type chainEnd struct {
	deg   float64
	front bool
}

func (e chainEnd) oblique() bool {
	off := math.Mod(e.deg, 90)
	return math.Min(off, 90-off) > squareDeg
}

// chainEnds returns the ends of a chain on its piece's outline. Where a seam ends
// on the radius of a corner, the straight edge that runs on from it tells how the
// seam meets the side.
func chainEnds(p *Piece, chain []geom.Curve, reach float64) []chainEnd {
	var out []chainEnd
	n := len(p.Edges)
	start, end := chain[0].A, chain[len(chain)-1].B
	for i, e := range p.Edges {
		before := p.Edges[(i+n-1)%n]
		if e.From().Distance(start) <= reach && e.Finish == SeamEdge && before.Finish != SeamEdge {
			if side := p.Edges[(i+n-2)%n]; roundsTo(before, side, before.CornerDeg) {
				out = append(out, chainEnd{cornerBetween(side, e), side.Finish == Finished})
			} else {
				out = append(out, chainEnd{e.CornerDeg, before.Finish == Finished})
			}
		}
		if e.From().Distance(end) <= reach && before.Finish == SeamEdge && e.Finish != SeamEdge {
			if side := p.Edges[(i+1)%n]; roundsTo(e, side, side.CornerDeg) {
				out = append(out, chainEnd{cornerBetween(before, side), side.Finish == Finished})
			} else {
				out = append(out, chainEnd{e.CornerDeg, e.Finish == Finished})
			}
		}
	}
	return out
}

// roundsTo reports whether an arc runs on to a straight edge: the corner between
// them, in degrees, is no corner.
func roundsTo(arc, side Edge, cornerDeg float64) bool {
	return arc.Kind == ArcEdge && side.Kind == LineEdge && side.Finish != SeamEdge && math.Abs(cornerDeg-180) <= smoothDeg
}

// cornerBetween returns the stone's angle in degrees that two edges would make if
// the second began where the first one ends.
func cornerBetween(first, second Edge) float64 {
	return geom.Loop{first.Curves[len(first.Curves)-1], second.Curves[0]}.Corner(1)
}
