package clearance

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// strips joins runs that are connected and makes a strip of each group.
func (g *gatherer) strips() []Strip {
	g.overlaps()
	for _, e := range g.ends {
		g.join(e[0], e[1])
	}
	members := map[int][]int{} // minima by root
	var roots []int
	for k, e := range g.ends {
		r := g.root(e[0])
		if members[r] == nil {
			roots = append(roots, r)
		}
		members[r] = append(members[r], k)
	}
	runs := map[int][]int{} // by root
	for k := range g.runs {
		r := g.root(k)
		runs[r] = append(runs[r], k)
	}
	all := make([]Strip, 0, len(roots))
	for _, r := range roots {
		all = append(all, g.strip(runs[r], members[r]))
	}
	return all
}

func (g *gatherer) root(k int) int {
	for g.runs[k].group != k {
		g.runs[k].group = g.runs[g.runs[k].group].group
		k = g.runs[k].group
	}
	return k
}

func (g *gatherer) join(a, b int) {
	a, b = g.root(a), g.root(b)
	g.runs[max(a, b)].group = min(a, b)
}

// overlaps joins runs of one loop that share more than a point.
func (g *gatherer) overlaps() {
	type end struct {
		from, to float64
		run      int
	}
	sides := map[[2]int32][]end{}
	for k, r := range g.runs {
		round := g.p.round[r.loop]
		side := [2]int32{r.loop, r.partner}
		from := math.Mod(r.from, round)
		if from < 0 {
			from += round
		}
		to := from + r.to - r.from
		sides[side] = append(sides[side], end{from, to, k})
		if to > round {
			sides[side] = append(sides[side], end{from - round, to - round, k})
		}
	}
	for _, list := range sides {
		slices.SortFunc(list, func(a, b end) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.run, b.run)) })
		reach := list[0]
		for _, e := range list[1:] {
			same := e.from-reach.from <= geom.Tolerance && reach.to-e.to <= geom.Tolerance && e.to-e.from <= geom.Tolerance
			if e.from < reach.to-geom.Tolerance || same {
				g.join(e.run, reach.run)
			}
			if e.to > reach.to {
				reach = e
			}
		}
	}
}

// strip makes the strip of a group of runs and its minima.
func (g *gatherer) strip(runs, minima []int) Strip {
	sides := map[[2]int32][]span{}
	start := math.Inf(1) // where the strip starts on its first loop, for ties
	for _, k := range runs {
		r := &g.runs[k]
		sides[[2]int32{r.loop, r.partner}] = append(sides[[2]int32{r.loop, r.partner}], r.under...)
	}
	s := Strip{Minimum: g.minima[minima[0]]}
	for side, list := range sides {
		total, middle := g.longest(side[0], list, side[0] == side[1])
		better := total > s.Stretch+geom.Tolerance
		if math.Abs(total-s.Stretch) <= geom.Tolerance && side[0] < side[1] { // equally long: on the first loop
			better = true
		}
		if better {
			s.Stretch, s.Middle = total, middle
		}
	}
	for _, k := range minima {
		m := g.minima[k]
		s.All = append(s.All, m)
		if m.Width > s.Width+geom.Tolerance {
			continue
		}
		if d := m.Level - s.Level; d > geom.Tolerance || d > -geom.Tolerance && g.p.along(m.From) < start {
			s.Minimum, start = m, g.p.along(m.From)
		}
	}
	if s.Stretch == 0 {
		s.Stretch, s.Middle = s.Level, s.Witness().Middle()
	}
	if s.From.Loop == 0 && s.To.Loop == 0 {
		s.Dead = g.dead(runs)
	}
	return s
}

// longest returns the length of stretches on a loop without what is counted
// twice, and their middle; with apart, of the longest connected part alone.
func (g *gatherer) longest(loop int32, list []span, apart bool) (float64, geom.Point) {
	if len(list) == 0 {
		return 0, geom.Point{}
	}
	parts := g.merged(loop, list)
	if apart {
		var best []span
		for from := 0; from < len(parts); {
			to := from + 1
			for to < len(parts) && parts[to].from-parts[to-1].to <= sameStrip {
				to++
			}
			if length(parts[from:to]) > length(best)+geom.Tolerance {
				best = parts[from:to]
			}
			from = to
		}
		parts = best
	}
	total := length(parts)
	half := total / 2
	for _, u := range parts {
		if w := u.to - u.from; half > w {
			half -= w
			continue
		}
		return math.Min(total, g.p.round[loop]), g.p.pointAlong(loop, u.from+half)
	}
	return total, g.p.pointAlong(loop, parts[len(parts)-1].to)
}

// merged sorts stretches of a loop, brings them to one turn and joins those that
// touch.
func (g *gatherer) merged(loop int32, list []span) []span {
	round := g.p.round[loop]
	low := math.Inf(1)
	for _, u := range list {
		low = math.Min(low, u.from)
	}
	sorted := slices.Clone(list)
	for i, u := range sorted {
		turns := math.Floor((u.from - low + geom.Tolerance) / round)
		sorted[i] = span{u.from - turns*round, u.to - turns*round}
	}
	slices.SortFunc(sorted, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	parts := sorted[:1]
	for _, u := range sorted[1:] {
		if last := &parts[len(parts)-1]; u.from <= last.to+geom.Tolerance {
			last.to = math.Max(last.to, u.to)
		} else {
			parts = append(parts, u)
		}
	}
	// What starts behind the loop's start may go on what ends at its end.
	if n := len(parts) - 1; n > 0 && parts[0].from+round <= parts[n].to+geom.Tolerance {
		parts[n].to = math.Max(parts[n].to, parts[0].to+round)
		parts = parts[1:]
	}
	return parts
}

func length(list []span) float64 {
	total := 0.0
	for _, u := range list {
		total += u.to - u.from
	}
	return total
}

// pointAlong returns the point of a loop at a length along it.
func (p *Plate) pointAlong(loop int32, s float64) geom.Point {
	i, at := p.curveAt(loop, s)
	return p.pointAt(i, at)
}

// curveAt returns the curve at a length along a loop, and the length along it.
func (p *Plate) curveAt(loop int32, s float64) (int32, float64) {
	s = math.Mod(s, p.round[loop])
	if s < 0 {
		s += p.round[loop]
	}
	starts := p.start[p.first[loop]:p.first[loop+1]]
	k, exact := slices.BinarySearch(starts, s)
	if !exact {
		k--
	}
	return p.first[loop] + int32(k), s - starts[k]
}

// dead reports whether the stone fails to widen to the limit again on one side
// of a strip of the outline with itself: of the stretches of outline between the
// strip's own, fewer than two have room for a circle of the limit's diameter
// inside them. Cutouts do not count: they are measured by themselves.
func (g *gatherer) dead(runs []int) bool {
	own := make([]span, len(runs))
	for i, k := range runs {
		own[i] = span{g.runs[k].from, g.runs[k].to}
	}
	round := g.p.round[0]
	parts := g.merged(0, own)
	roomy := 0
	for i, u := range parts {
		next := parts[(i+1)%len(parts)].from
		if i == len(parts)-1 {
			next += round
		}
		if next-u.to > geom.Tolerance && g.room(u.to, next) {
			roomy++
		}
	}
	return roomy < 2
}

// roomStep is the share of the limit between the places that room tries: a wider
// part that is roomy over less than this much of its edge is taken for narrow.
const roomStep = 0.25

// roughness is the distance in mm that room keeps from the edge it tries at, so
// that the noise of a measured edge does not make wide stone narrow.
const roughness = 0.5

// room reports whether a circle of the limit's diameter fits into the outline
// somewhere along the stretch of it between two lengths. The places tried are
// the same for all stretches, and each is tried once.
func (g *gatherer) room(from, to float64) bool {
	round := g.p.round[0]
	n := int(math.Ceil(round / (roomStep * g.limit)))
	if g.roomy == nil {
		g.roomy = make([]int8, n)
	}
	step := round / float64(n)
	for k := int(math.Ceil(from/step - 0.5)); (float64(k)+0.5)*step < to; k++ {
		slot := ((k % n) + n) % n
		if g.roomy[slot] == 0 {
			g.roomy[slot] = -1
			if g.p.fits((float64(slot)+0.5)*step, g.limit/2) {
				g.roomy[slot] = 1
			}
		}
		if g.roomy[slot] > 0 {
			return true
		}
	}
	return false
}

// fits reports whether a circle beside the outline at a length along it crosses
// no curve of the outline.
func (p *Plate) fits(s, radius float64) bool {
	i, at := p.curveAt(0, s)
	center := p.pointAt(i, at).Add(p.inward(i, at).Mul(radius + roughness))
	free := true
	p.tree.searchCircle(center, radius, func(j int32) bool {
		free = p.sites[j].loop != 0 || p.curves[j].Distance(center) >= radius
		return free
	})
	return free
}
