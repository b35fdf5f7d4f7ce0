package trace

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// Lines that run along each other are all kept until the faces are known: two
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

// mostAlong is the number of lines kept along one stretch, beside those that are
// needed to cover it.
const mostAlong = 16

// stretchOn is a line seen along its support line.
type stretchOn struct {
	seg      int32
	kind     Kind
	angle    float64 // of the support line, rounded
	off      float64 // its distance from the landmark, rounded
	from, to float64
	needed   bool
}

// thin drops lines that lie, within what is one place as drawn, along more than
// mostAlong others, and returns the curves left. What was covered stays covered.
func (w *work) thin(segs []int32) []int32 {
	var lines []stretchOn
	o := w.newLandmarks().at[0]
	for _, i := range segs {
		if g := &w.segs[i]; g.Bulge == 0 {
			lines = append(lines, w.stretchOn(i, o))
		}
	}
	slices.SortFunc(lines, func(a, b stretchOn) int {
		return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.angle, b.angle), cmp.Compare(a.off, b.off),
			cmp.Compare(a.from, b.from), cmp.Compare(b.to, a.to), cmp.Compare(a.seg, b.seg))
	})
	for i := 0; i < len(lines); {
		k := i + 1
		for k < len(lines) && lines[k].kind == lines[i].kind && lines[k].angle == lines[i].angle && lines[k].off == lines[i].off {
			k++
		}
		w.thinLine(lines[i:k])
		i = k
	}
	return w.alive()
}

func (w *work) stretchOn(i int32, o geom.Point) stretchOn {
	g := &w.segs[i]
	u := g.B.Sub(g.A).Unit()
	if u.X < 0 || u.X == 0 && u.Y < 0 { // curves run to the right, but for moved ends
		u = u.Mul(-1)
	}
	s := stretchOn{seg: i, kind: g.Kind, from: u.Dot(g.A.Sub(o)), to: u.Dot(g.B.Sub(o))}
	if s.from > s.to {
		s.from, s.to = s.to, s.from
	}
	s.angle = math.Round(math.Atan2(u.Y, u.X) / geom.Tolerance)
	s.off = math.Round(u.Cross(g.A.Sub(o)) / coincident)
	return s
}

// thinLine thins the lines along one support line, which come in the order of
// their starts.
func (w *work) thinLine(lines []stretchOn) {
	markNeeded(lines)
	var along []float64 // ends of the kept lines that have begun
	for i := range lines {
		s := &lines[i]
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

// markNeeded marks as few lines as cover all that the lines cover.
func markNeeded(lines []stretchOn) {
	reached, best := math.Inf(-1), -1
	for i := range lines {
		if lines[i].from > reached && best >= 0 { // the one that reaches farthest carries on
			lines[best].needed, reached, best = true, lines[best].to, -1
		}
		if lines[i].from > reached {
			lines[i].needed, reached = true, lines[i].to
			continue
		}
		if lines[i].to > reached && (best < 0 || lines[i].to > lines[best].to) {
			best = i
		}
	}
	if best >= 0 {
		lines[best].needed = true
	}
}
