package trace

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// crossings reports the conflicts: every place where a chain crosses itself,
// and every pair of chains that overlap, at the first place where they cross.
func (w *work) crossings(c *chains, found conflicts, l *layer) []Crossing {
	var out []Crossing
	pairAt := map[[2]int32]Crossing{}
	selfSeen := map[int32]bool{}
	l.split.sortCrossed()
	for _, x := range l.split.crossed {
		w.spend(len(c.owners[x.a])*len(c.owners[x.b]), x.a)
		a, b := w.segs[x.a].ID, w.segs[x.b].ID
		at := Crossing{At: x.at, A: min(a, b), B: max(a, b)}
		for _, o := range c.owners[x.a] {
			for _, q := range c.owners[x.b] {
				pair := [2]int32{min(o.chain, q.chain), max(o.chain, q.chain)}
				if o.chain == q.chain && found.self[o.chain] {
					at.Self = true
					selfSeen[o.chain] = true
				} else if _, ok := pairAt[pair]; !ok && found.overlap[pair] > 0 {
					pairAt[pair] = at
				}
			}
		}
		if at.Self {
			out = append(out, at)
		}
	}
	ids := c.firstIDs()
	for pair, area := range found.overlap {
		x, ok := pairAt[pair]
		if !ok { // they cross only along common edges or at corners
			x = Crossing{At: found.at[pair], A: min(ids[pair[0]], ids[pair[1]]), B: max(ids[pair[0]], ids[pair[1]])}
		}
		x.Area = area
		out = append(out, x)
	}
	for chain := range found.self {
		if !selfSeen[chain] { // it crosses itself at its own corners
			out = append(out, Crossing{At: c.repeated(chain, l), A: ids[chain], B: ids[chain], Self: true})
		}
	}
	return out
}

func (s *splitter) sortCrossed() {
	slices.SortFunc(s.crossed, func(a, b crossed) int { return comparePoints(a.at, b.at) })
}

// firstIDs returns the lowest ID of every chain.
func (c *chains) firstIDs() map[int32]int32 {
	ids := map[int32]int32{}
	for seg, owners := range c.owners { // those that no chain runs along have none
		for _, o := range owners {
			id := c.w.segs[seg].ID
			if old, ok := ids[o.chain]; !ok || id >= 0 && id < old {
				ids[o.chain] = id
			}
		}
	}
	return ids
}

// places returns for every chain the mean of its corners.
func (c *chains) places() []geom.Point {
	at, count := make([]geom.Point, c.count), make([]float64, c.count)
	for seg, owners := range c.owners {
		for _, o := range owners {
			at[o.chain] = at[o.chain].Add(c.w.segs[seg].A).Add(c.w.segs[seg].B)
			count[o.chain] += 2
		}
	}
	for i := range at {
		at[i] = at[i].Mul(1 / math.Max(count[i], 1))
	}
	return at
}

// repeated returns the first place that a chain passes more than once.
func (c *chains) repeated(chain int32, l *layer) geom.Point {
	times := map[int32]int{}
	var at []geom.Point
	c.w.spend(len(l.edges), -1)
	for i := range l.edges {
		e := &l.edges[i]
		if l.dead[i] || !slices.ContainsFunc(c.of(l.plan, int32(i)), func(o owner) bool { return o.chain == chain }) {
			continue
		}
		for _, n := range e.node {
			if times[n]++; times[n] == 3 {
				at = append(at, c.w.nodes.pos[n])
			}
		}
	}
	if len(at) == 0 {
		return geom.Point{}
	}
	return slices.MinFunc(at, comparePoints)
}

// layers sorts the curves into sets without overlap: chains that overlap come
// into different ones, everything else into the first, dividers into all. Curves
// of chains that cross themselves are left out.
func (c *chains) layers(live []int32, found conflicts) [][]int32 {
	color := c.colors(found)
	count := 1
	for _, k := range color {
		count = max(count, k+1)
	}
	out := make([][]int32, count)
	for _, i := range live {
		owners := c.owners[i]
		switch {
		case c.w.segs[i].Kind == Divider:
			for k := range out {
				out[k] = append(out[k], i)
			}
		case len(owners) == 0:
			out[0] = append(out[0], i)
		default:
			in := map[int]bool{}
			for _, o := range owners {
				if k := color[o.chain]; !found.self[o.chain] && !in[k] {
					in[k] = true
					out[k] = append(out[k], i)
				}
			}
		}
	}
	return out
}

// colors gives overlapping chains different numbers, the greedy way, the largest
// first: it shares its layer with the curves of no chain.
func (c *chains) colors(found conflicts) map[int32]int {
	rivals := map[int32][]int32{}
	var order []int32
	for pair := range found.overlap {
		for k := range pair {
			if rivals[pair[k]] == nil {
				order = append(order, pair[k])
			}
			rivals[pair[k]] = append(rivals[pair[k]], pair[1-k])
		}
	}
	at := c.places()
	slices.SortFunc(order, func(a, b int32) int {
		return cmp.Or(compareMeasured(found.area[b], found.area[a]), c.w.comparePlaces(at[a], at[b]), cmp.Compare(a, b))
	})
	color := map[int32]int{}
	for _, a := range order {
		taken := map[int]bool{}
		for _, b := range rivals[a] {
			if k, ok := color[b]; ok {
				taken[k] = true
			}
		}
		k := 0
		for taken[k] {
			k++
		}
		color[a] = k
	}
	return color
}
