package piece

import (
	"cmp"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// mostPaired bounds the free ends among which gaps are found by comparing each
// with each; a drawing with more is no template, and every chain is then
// reported with its own two ends.
const mostPaired = 600

// freeEnd is an end of an open chain.
type freeEnd struct {
	at    geom.Point
	chain int
}

// openChains reports the gaps of chains that do not close. The shortest gap
// between two free ends is one gap, then the shortest among those left, so that
// an outline with two gaps gives both.
func (b *builder) openChains(open []trace.OpenChain) {
	var ends []freeEnd
	for i, o := range open {
		ends = append(ends, freeEnd{o.From, i}, freeEnd{o.To, i})
	}
	if len(ends) > mostPaired {
		for _, o := range open {
			b.openProblem(o, geom.Witness{From: o.From, To: o.To})
		}
		return
	}
	type pair struct {
		i, j int
		d    float64
	}
	var pairs []pair
	for i := range ends {
		for j := i + 1; j < len(ends); j++ {
			pairs = append(pairs, pair{i, j, ends[i].at.Distance(ends[j].at)})
		}
	}
	slices.SortStableFunc(pairs, func(p, q pair) int { return cmp.Compare(p.d, q.d) })
	done := make([]bool, len(ends))
	for _, p := range pairs {
		if !done[p.i] && !done[p.j] {
			done[p.i], done[p.j] = true, true
			from, to := ends[p.i], ends[p.j]
			b.openProblem(open[from.chain], geom.Witness{From: from.at, To: to.at})
		}
	}
}

func (b *builder) openProblem(o trace.OpenChain, gap geom.Witness) {
	p := Problem{Kind: OpenOutline, At: gap.Middle(), Witness: gap, Measured: gap.Length(), Limit: b.ts.Bridge, Count: 1}
	for _, c := range o.Curves {
		if c.ID >= 0 {
			p.Layer, p.Line, p.Entity = b.layerOf(c.ID), b.lineOf(c.ID), b.d.Curves[c.ID].Type.String()
			break
		}
	}
	b.problems.add(p)
}
