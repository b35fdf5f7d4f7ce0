package geom

import (
	"math"
	"slices"
)

// Reach tells what of a loop reaches farthest in a range of directions: a
// corner, or an arc of the given circle. Directions are radians.
type Reach struct {
	From, To float64
	Center   Point   // the corner, or the arc's centre
	Radius   float64 // 0 for a corner
}

// Reaches returns the convex hull of the loop in dual form: ranges of
// directions that ascend from 0 to 2 pi without a gap. In a range the loop
// reaches Center.Dot(u) + Radius in the unit direction u, arcs exactly. The
// empty loop has none.
func (l Loop) Reaches() []Reach {
	if len(l) == 0 {
		return nil
	}
	h := newHull(l)
	var out []Reach
	for _, r := range h.ranges {
		s := h.by[r.by]
		if s.corner {
			out = append(out, Reach{r.from, r.to, s.curve.A, 0})
			continue
		}
		out = append(out, arcReaches(s.curve, r.from, r.to)...)
	}
	return out
}

// arcReaches splits a range of directions that an arc supports into those whose
// farthest point lies inside the arc and those where it is one of its ends.
func arcReaches(c Curve, from, to float64) []Reach {
	o, span := c.Center(), math.Abs(c.Sweep())
	low := c.A
	if c.Bulge < 0 {
		low = c.B
	}
	first := math.Atan2(low.Y-o.Y, low.X-o.X)
	cuts := []float64{from, to}
	for _, a := range [3]float64{first, first + span, first + span/2 + math.Pi} {
		for a = math.Mod(a+4*math.Pi, 2*math.Pi); a < to; a += 2 * math.Pi {
			if a > from {
				cuts = append(cuts, a)
			}
		}
	}
	slices.Sort(cuts)
	var out []Reach
	for i := 1; i < len(cuts); i++ {
		if cuts[i] == cuts[i-1] {
			continue
		}
		r := Reach{From: cuts[i-1], To: cuts[i]}
		mid := (r.From + r.To) / 2
		u := direction(mid)
		switch {
		case math.Mod(mid-first+4*math.Pi, 2*math.Pi) <= span:
			r.Center, r.Radius = o, c.Radius()
		case c.A.Dot(u) >= c.B.Dot(u):
			r.Center = c.A
		default:
			r.Center = c.B
		}
		out = append(out, r)
	}
	return out
}
