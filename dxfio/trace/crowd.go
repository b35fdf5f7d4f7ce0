package trace

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// Curves that run along each other are all kept until the faces are known: two
// neighbours may each have drawn their common edge. A file that has thousands of
// them in one place has them by mistake, and cutting each at the ends of all
// others would take their number squared in time and memory. Where a drawing is
// crowded with them, those that only repeat a stretch for the umpteenth time are
// dropped first.

// crowdedOverlaps is the number of overlaps a curve, on the average over the
// drawing, from which it is crowded, and leastCrowd how many it has to have at
// all. A line that outlines share has one or two.
const (
	crowdedOverlaps = 16
	leastCrowd      = 1000
)

// mostAlong is the number of curves kept along one stretch, beside those that are
// needed to cover it.
const mostAlong = 16

// carrier is the line or circle that a curve is a part of, to what is one place
// as drawn: of a line its class by direction and its distances from two places
// at the borders of the drawing, of an arc centre and radius.
type carrier struct {
	kind    Kind
	class   int8
	a, b, c float64
}

func (p *carrier) compare(q *carrier) int {
	return cmp.Or(cmp.Compare(p.kind, q.kind), cmp.Compare(p.class, q.class), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b), cmp.Compare(p.c, q.c))
}

// The classes of carriers.
const (
	flat  = iota // lines nearer to the x axis
	steep        // lines nearer to the y axis
	round        // circles
)

// stretchOn is a curve seen along its carrier, in mm; of an arc from the angle 0
// on.
type stretchOn struct {
	on       carrier
	seg      int32
	from, to float64
	needed   bool
}

// thin drops curves that lie, within what is one place as drawn, along more than
// mostAlong others, and returns the curves left. What was covered stays covered.
func (w *work) thin(segs []int32) []int32 {
	for _, group := range w.carriers(segs, mostAlong) {
		w.thinGroup(group)
	}
	return w.alive()
}

// Where every curve has crowdedOverlaps, one carrier at least has sqrt(2 x 16 n) of
// n curves on it. Of one curve in sampled, but no more than mostSampled in all,
// more than sampledAlong then lie on it: 22 of a thousand curves, and as many of a
// million.
const (
	sampled      = 8
	mostSampled  = 1 << 12
	sampledAlong = 4
)

// thinEarly is thin before ends are brought together, where each end would look
// at all curves it lies on.
func (w *work) thinEarly() {
	if len(w.segs) < leastCrowd {
		return
	}
	step := max(sampled, len(w.segs)/mostSampled)
	some := make([]int32, 0, len(w.segs)/step+1)
	for i := 0; i < len(w.segs); i += step {
		some = append(some, int32(i))
	}
	if len(w.carriers(some, sampledAlong)) == 0 {
		return
	}
	groups := w.carriers(w.alive(), mostAlong)
	overlaps := 0
	for _, group := range groups {
		overlaps += countOverlaps(group)
	}
	if overlaps > leastCrowd+crowdedOverlaps*len(w.segs) {
		for _, group := range groups {
			w.thinGroup(group)
		}
	}
}

// carriers returns the curves of each carrier that has more than most, in the
// order of their starts.
func (w *work) carriers(segs []int32, most int) [][]stretchOn {
	all := make([]stretchOn, len(segs))
	box := geom.EmptyBox()
	for _, i := range segs {
		box = box.Extend(w.segs[i].A).Extend(w.segs[i].B)
	}
	o := w.newLandmarks().at[0]
	reach := math.Max(box.Width(), box.Height())
	for k, i := range segs {
		all[k] = w.stretchOn(i, o, reach)
	}
	slices.SortFunc(all, func(a, b stretchOn) int {
		return cmp.Or(a.on.compare(&b.on), cmp.Compare(a.from, b.from), cmp.Compare(b.to, a.to), cmp.Compare(a.seg, b.seg))
	})
	var groups [][]stretchOn
	for i := 0; i < len(all); {
		k := i + 1
		for k < len(all) && all[k].on == all[i].on {
			k++
		}
		if k-i > most {
			groups = append(groups, all[i:k])
		}
		i = k
	}
	return groups
}

// stretchOn returns where a curve lies on its carrier. Both are told from o, in a
// drawing that reaches as far as reach from there.
func (w *work) stretchOn(i int32, o geom.Point, reach float64) stretchOn {
	g := &w.segs[i]
	if g.Bulge != 0 {
		return w.stretchOnCircle(i, o)
	}
	a, b := g.A.Sub(o), g.B.Sub(o)
	s := stretchOn{seg: i, on: carrier{kind: g.Kind, class: flat}}
	if u := b.Sub(a); math.Abs(u.X) < math.Abs(u.Y) {
		s.on.class = steep
		a, b = geom.Point{X: a.Y, Y: a.X}, geom.Point{X: b.Y, Y: b.X}
	}
	if a.X > b.X {
		a, b = b, a
	}
	slope := (b.Y - a.Y) / (b.X - a.X)
	s.on.a = math.Round((a.Y - slope*(reach+a.X)) / coincident)
	s.on.b = math.Round((a.Y + slope*(reach-a.X)) / coincident)
	length := math.Hypot(1, slope)
	s.from, s.to = a.X*length, b.X*length
	return s
}

func (w *work) stretchOnCircle(i int32, o geom.Point) stretchOn {
	g := &w.segs[i]
	c := g.Curve.Curve
	if c.Bulge < 0 {
		c = c.Reverse()
	}
	center, radius := c.Center(), c.Radius()
	from := c.A.Sub(center)
	s := stretchOn{seg: i, on: carrier{kind: g.Kind, class: round}, from: math.Atan2(from.Y, from.X) * radius}
	s.to = s.from + c.Length()
	center = center.Sub(o)
	s.on.a, s.on.b, s.on.c = math.Round(center.X/coincident), math.Round(center.Y/coincident), math.Round(radius/coincident)
	return s
}

// countOverlaps counts the pairs of curves along one carrier that overlap.
func countOverlaps(group []stretchOn) int {
	ends := make([]float64, len(group))
	for i := range group {
		ends[i] = group[i].to
	}
	slices.Sort(ends)
	count, past := 0, 0
	for i := range group {
		for past < len(ends) && ends[past] <= group[i].from {
			past++
		}
		count += i - past // those that began before and have not ended
	}
	return count
}

// thinGroup thins the curves along one carrier, which come in the order of their
// starts.
func (w *work) thinGroup(group []stretchOn) {
	markNeeded(group)
	var along []float64 // ends of the kept curves that have begun
	for i := range group {
		s := &group[i]
		along = slices.DeleteFunc(along, func(end float64) bool { return end <= s.from })
		if s.needed || len(along) < mostAlong {
			along = append(along, s.to)
			continue
		}
		g := &w.segs[s.seg]
		g.dead = true
		w.revision++
		w.repair(DuplicateRemoved, g.Middle(), g.Length(), g.ID)
	}
}

// markNeeded marks as few curves as cover all that they cover.
func markNeeded(group []stretchOn) {
	reached, best := math.Inf(-1), -1
	for i := range group {
		if group[i].from > reached && best >= 0 { // the one that reaches farthest carries on
			group[best].needed, reached, best = true, group[best].to, -1
		}
		if group[i].from > reached {
			group[i].needed, reached = true, group[i].to
			continue
		}
		if group[i].to > reached && (best < 0 || group[i].to > group[best].to) {
			best = i
		}
	}
	if best >= 0 {
		group[best].needed = true
	}
}
