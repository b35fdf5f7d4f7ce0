package piece

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// One feature drawn twice a hair apart: the outline copied and moved by a
// millimetre, a sink inserted twice, a line drawn again along the side of a
// polyline. Taken as drawn the two lines cross, or leave a frame of stone as thin
// as a hair, and a dozen flags say everything but what is wrong. They are found
// before closing: one line stays, the other is left out and told once, or is a
// repair where the two are no farther apart than ends that are one point.

// DoubledLine is the problem of a feature drawn twice: rule doubled-line.
const DoubledLine ProblemKind = "doubled-line"

// mostPairs bounds the closed lines around one place that a line is compared with.
const mostPairs = 32

// leastDoubled is the length of an open line, in times the distance within which
// it doubles another, under which it is a speck, a tick or a tail.
const leastDoubled = 4

// sameWay is the sine of the angle up to which two lines run the same way; a side
// and its copy differ by less, since their ends are a hair apart.
const sameWay = 0.1

// drawnLine is a chain of curves as they were drawn, before any repair.
type drawnLine struct {
	curves []trace.Curve
	closed bool
	box    geom.Box
	area   float64 // of a closed one
	length float64
}

// undoubled returns the curves of a role without those of features drawn a second
// time.
func (b *builder) undoubled(in []trace.Curve, role Role) []trace.Curve {
	lines := drawnLines(in)
	gone := map[int32]bool{}
	rings := b.doubledRings(lines, role, gone)
	b.doubledSides(lines, rings, role, gone)
	if len(gone) == 0 {
		return in
	}
	return slices.DeleteFunc(slices.Clone(in), func(c trace.Curve) bool { return gone[c.ID] })
}

// drawnLines puts curves together to lines: those of one entity, and loose ones
// that meet two by two with nothing between their ends.
func drawnLines(all []trace.Curve) []drawnLine {
	out, in := closedEntities(all)
	at := map[geom.Point][]int{} // ends 2*curve+side of curves by place
	for i, c := range in {
		if c.A != c.B {
			at[c.A], at[c.B] = append(at[c.A], 2*i), append(at[c.B], 2*i+1)
		}
	}
	point := func(e int) geom.Point {
		if e%2 == 0 {
			return in[e/2].A
		}
		return in[e/2].B
	}
	// next returns the end that goes on from e at its place: of the same entity
	// where that has just one more there, else where just two ends meet.
	next := func(e int) int {
		own, all := -1, at[point(e)]
		if len(all) > 2*mostPairs {
			return -1
		}
		count := 0
		for _, f := range all {
			if f != e && in[f/2].Entity >= 0 && in[f/2].Entity == in[e/2].Entity {
				own, count = f, count+1
			}
		}
		switch {
		case count == 1:
			return own
		case count == 0 && len(all) == 2 && all[0] == e:
			return all[1]
		case count == 0 && len(all) == 2:
			return all[0]
		}
		return -1
	}
	done := make([]bool, len(in))
	for i := range in {
		if done[i] || in[i].A == in[i].B {
			continue
		}
		start := 2 * i
		for k, f := 0, next(start); f >= 0 && f/2 != i && k < len(in); k, f = k+1, next(start) {
			start = f ^ 1
		}
		l := drawnLine{box: geom.EmptyBox()}
		for e := start ^ 1; ; {
			done[e/2] = true
			c := in[e/2]
			if e%2 == 0 {
				c.Curve = c.Reverse()
			}
			l.curves, l.box, l.length = append(l.curves, c), l.box.Union(c.Box()), l.length+c.Length()
			f := next(e)
			if f < 0 || done[f/2] {
				l.closed = f >= 0 && f == start && len(l.curves) > 1
				break
			}
			e = f ^ 1
		}
		if l.closed {
			l.area = math.Abs(trace.Loop(l.curves).Geom().Area())
		}
		out = append(out, l)
	}
	return out
}

// closedEntities returns the lines that entities close by themselves, as nearly all
// do, and the other curves.
func closedEntities(in []trace.Curve) (lines []drawnLine, rest []trace.Curve) {
	for i := 0; i < len(in); {
		k := i + 1
		for k < len(in) && in[k].Entity == in[i].Entity && in[i].Entity >= 0 && in[k].A == in[k-1].B {
			k++
		}
		if part := in[i:k]; k > i+1 && part[0].A == part[k-i-1].B {
			l := drawnLine{curves: part, closed: true, box: geom.EmptyBox(), area: math.Abs(trace.Loop(part).Geom().Area())}
			for _, c := range part {
				l.box, l.length = l.box.Union(c.Box()), l.length+c.Length()
			}
			lines = append(lines, l)
		} else {
			rest = append(rest, part...)
		}
		i = k
	}
	return lines, rest
}

// doubledRings reports closed lines drawn twice, notes which curves go, and
// returns those that stay: of two the larger one.
func (b *builder) doubledRings(lines []drawnLine, role Role, gone map[int32]bool) []*drawnLine {
	var all, kept []*drawnLine
	for i := range lines {
		if lines[i].closed {
			all = append(all, &lines[i])
		}
	}
	slices.SortStableFunc(all, func(x, y *drawnLine) int {
		return cmp.Or(cmp.Compare(math.Round(y.area*100), math.Round(x.area*100)), cmp.Compare(x.box.Min.X, y.box.Min.X), cmp.Compare(x.box.Min.Y, y.box.Min.Y))
	})
	boxes := make([]geom.Box, len(all))
	for i, l := range all {
		boxes[i] = geom.Box{Min: l.box.Min, Max: l.box.Min}
	}
	index := geom.NewBoxIndex(boxes)
	out := make([]bool, len(all))
	for i, l := range all {
		if out[i] {
			continue
		}
		kept = append(kept, l)
		tried := 0
		index.Search(boxes[i].Grow(b.ts.Bridge), func(k int) bool {
			m := all[k]
			if k <= i || out[k] || l.box.Max.Distance(m.box.Max) > b.ts.Bridge {
				return true
			}
			tried++
			b.spend(len(l.curves)+len(m.curves), m.box.Min)
			if w, ok := b.doubles(l, m); ok && w.Length() > geom.Tolerance {
				out[k] = true
				b.leaveDouble(l, m, w, role, gone)
			}
			return tried < mostPairs
		})
	}
	return kept
}

// doubles reports whether two closed lines are one drawn twice, each within
// bridging of the other, and returns where they are farthest apart.
func (b *builder) doubles(l, m *drawnLine) (geom.Witness, bool) {
	if math.Abs(l.length-m.length) > 8*b.ts.Bridge+sameArea*l.length {
		return geom.Witness{}, false
	}
	v, ok := b.alongside(m, indexOf(l), l)
	if !ok {
		return v, false
	}
	w, ok := b.alongside(l, indexOf(m), m)
	if v.Length() >= w.Length()-geom.Tolerance {
		w = v.Reverse()
	}
	return w, ok
}

func indexOf(l *drawnLine) *geom.Index { return geom.NewIndex(trace.Loop(l.curves).Geom()) }

// probes is the number of places on a curve that are looked at: its ends, where
// straight lines are farthest apart, and those between for arcs.
const probes = 8

// alongside reports whether the whole of a line lies within bridging of another,
// and returns the line from its farthest place to that other one.
func (b *builder) alongside(l *drawnLine, other *geom.Index, of *drawnLine) (geom.Witness, bool) {
	var far geom.Witness
	for i, c := range l.curves {
		for n := range probes + 1 {
			k := (probes + 1 - n%2 + (1-2*(n%2))*n) / 2 // from the middle outwards: of places as far off the middle one shows it
			p := c.At(float64(k) / probes)
			j, q, ok := other.Nearest(p)
			if !ok || q.Distance(p) > b.ts.Bridge {
				return far, false
			}
			if k == probes/2 && c.Length() > leastDoubled*b.ts.Bridge { // of shorter ones the direction says little
				_, t := geom.NearestPoint(of.curves[j].Curve, p)
				if math.Abs(c.Tangent(0.5).Cross(of.curves[j].Tangent(t))) > sameWay {
					return far, false
				}
			}
			if d := q.Distance(p); i == 0 && n == 0 || d > far.Length()+geom.Tolerance {
				far = geom.Witness{From: p, To: q}
			}
		}
	}
	return far, true
}

// doubledSides reports open lines that run along closed ones and lead nowhere: a
// side drawn a second time. A line whose end another open line could join is left
// to closing.
func (b *builder) doubledSides(lines []drawnLine, rings []*drawnLine, role Role, gone map[int32]bool) {
	var open []*drawnLine
	var ends []geom.Box
	for i := range lines {
		if l := &lines[i]; !l.closed {
			a, z := l.curves[0].A, l.curves[len(l.curves)-1].B
			open, ends = append(open, l), append(ends, geom.Box{Min: a, Max: a}, geom.Box{Min: z, Max: z})
		}
	}
	if len(open) == 0 || len(rings) == 0 {
		return
	}
	around := &drawnLine{}
	for _, r := range rings {
		around.curves = append(around.curves, r.curves...)
	}
	index, others := indexOf(around), geom.NewBoxIndex(ends)
	for i, l := range open {
		if l.length < leastDoubled*b.ts.Bridge || b.reachedBy(others, ends, i) {
			continue
		}
		b.spend(probes*len(l.curves), l.box.Min)
		w, ok := b.alongside(l, index, around)
		if !ok || w.Length() <= geom.Tolerance {
			continue // away from everything, or on the line: covered lines are dropped in closing
		}
		k, _, _ := index.Nearest(w.To)
		b.leaveDouble(&drawnLine{curves: around.curves[k : k+1]}, l, w, role, gone)
	}
}

// reachedBy reports whether an end of another open line lies where closing could
// join it to one of line i.
func (b *builder) reachedBy(index *geom.Index, ends []geom.Box, i int) bool {
	found := false
	for _, e := range [2]int{2 * i, 2*i + 1} {
		index.Search(ends[e].Grow(b.ts.Bridge), func(k int) bool {
			found = k/2 != i && ends[k].Min.Distance(ends[e].Min) <= b.ts.Bridge
			return !found
		})
	}
	return found
}

// doubleRemoved lists the curves of a line that is left out, each with its largest
// distance from the one that stays.
func (b *builder) doubleRemoved(kept, l *drawnLine) {
	index := indexOf(kept)
	for _, c := range l.curves {
		if w, ok := b.alongside(&drawnLine{curves: []trace.Curve{c}}, index, kept); ok {
			b.t.Repairs = append(b.t.Repairs, Repair{Kind: trace.DuplicateRemoved, At: c.Middle(), Size: w.Length(), Layer: b.layerOf(c.ID)})
		}
	}
}

// leaveDouble leaves out the second of two lines: a repair when they are no
// farther apart than ends that are one point, else a problem.
func (b *builder) leaveDouble(kept, l *drawnLine, w geom.Witness, role Role, gone map[int32]bool) {
	first := slices.MinFunc(l.curves, func(c, d trace.Curve) int { return cmp.Compare(c.ID, d.ID) }).ID
	stays := slices.MinFunc(kept.curves, func(c, d trace.Curve) int { return cmp.Compare(c.ID, d.ID) }).ID
	as := useStray
	if w.Length() <= b.ts.Join+geom.Tolerance {
		as = useRepaired
		b.doubleRemoved(kept, l)
	}
	for _, c := range l.curves {
		gone[c.ID] = true
		b.set(c.ID, as)
		if l.closed { // what its layer is called still tells what it is
			b.twins[stays] = append(b.twins[stays], c.ID)
		}
	}
	if as == useRepaired {
		return
	}
	p := Problem{
		Kind: DoubledLine, Layer: b.layerOf(first), Other: b.layerOf(stays), Role: role, Entity: b.d.Curves[first].Type.String(), Line: b.lineOf(first),
		At: w.Middle(), Witness: w, Measured: w.Length(), Limit: b.ts.Join, Count: len(l.curves), Why: "drawn twice",
	}
	if l.closed {
		p.Loops = []geom.Loop{trace.Loop(kept.curves).Geom(), trace.Loop(l.curves).Geom()}
	} else {
		p.From, p.To = l.curves[0].A, l.curves[len(l.curves)-1].B
		if p.To.X < p.From.X || p.To.X == p.From.X && p.To.Y < p.From.Y {
			p.From, p.To = p.To, p.From
		}
		p.Length = l.length
	}
	b.problems.add(p)
}
