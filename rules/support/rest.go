package support

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// A span may rest on lines between supports as on supports: the top of a table on
// four legs is carried along its edges from leg to leg, and the stone between spans
// from edge to edge. Both count for what they are: the score is the largest of the
// lines and the span, each over the span limit. Only tangent lines carry spans, those
// along the rim of what two supports carry between them; a line that ends head-on
// runs through the middle of what they carry, and is there already.

// rest is what one end of a span rests on.
type rest struct {
	reach
	on    *line   // nil: a support
	far   float64 // mm from the point
	least float64 // score of the line
}

// gap is the free stone along a direction through a point: what lies behind and
// ahead, at signed distances in mm.
type gap struct {
	behind, ahead reach
	from, to      float64
}

// resting adds the spans through p along d of which one end at least rests on a line.
func (m *Model) resting(ms *measure, p, d geom.Point, g gap, options []option) []option {
	if !m.rests {
		return options
	}
	back, front := ms.resting[0][:0], ms.resting[1][:0]
	for i := range m.lines {
		l := &m.lines[i]
		sa, sb := d.Cross(l.a.Sub(p)), d.Cross(l.b.Sub(p))
		if !l.tangent || (sa > 0) == (sb > 0) {
			continue
		}
		r := reach{&l.edge, 0}
		switch t := r.at(p, d); {
		case t > 0 && t <= g.to:
			front = append(front, rest{r, l, t, ms.standing(l)})
		case t <= 0 && t >= g.from:
			back = append(back, rest{r, l, -t, ms.standing(l)})
		}
	}
	back, front = nearestFirst(back), nearestFirst(front)
	if g.behind.edge.carries {
		back = append(back, rest{g.behind, nil, -g.from, 0})
	}
	if g.ahead.edge.carries {
		front = append(front, rest{g.ahead, nil, g.to, 0})
	}
	ms.resting = [2][]rest{back, front}
	return pairs(back, front, options)
}

// nearestFirst sorts rests and leaves out those that are no better than a nearer one.
func nearestFirst(rests []rest) []rest {
	slices.SortFunc(rests, func(a, b rest) int { return cmp.Compare(a.far, b.far) })
	kept, best := rests[:0], math.Inf(1)
	for _, r := range rests {
		if r.least < best {
			best = r.least
			kept = append(kept, r)
		}
	}
	return kept
}

// pairs adds the spans between rests behind and ahead, nearest first on both sides,
// but not the one from support to support.
func pairs(back, front []rest, options []option) []option {
	for _, a := range back {
		for _, b := range front {
			if a.on != nil || b.on != nil {
				options = append(options, option{kind: Span, from: a.reach, to: b.reach, on: a.on, onto: b.on, least: math.Max(a.least, b.least)})
			}
		}
	}
	return options
}

// resting adds the spans of a strip's zone i, between its lines i-1 and i, of which
// one end at least rests on a line.
func (st *strip) resting(ms *measure, i int, options []option) []option {
	side := func(end reach, nearest, step int) []rest {
		var out []rest
		best := math.Inf(1)
		for k := nearest; k >= 0 && k < len(st.lines); k += step {
			if l := st.lines[k]; l.tangent && ms.standing(l) < best {
				best = ms.standing(l)
				out = append(out, rest{reach{&l.edge, 0}, l, 0, best})
			}
		}
		if end.edge.carries {
			out = append(out, rest{end, nil, 0, 0})
		}
		return out
	}
	return pairs(side(st.behind, i-1, -1), side(st.ahead, i, 1), options)
}

// restingFloor returns a score that no span through p is under of which an end rests
// on a line: it is no shorter than the distances to the two nearest of all that spans
// may rest on.
func (m *Model) restingFloor(ms *measure, p geom.Point, n nearby) float64 {
	first, second, standing := n.carry, math.Inf(1), math.Inf(1)
	for i := range m.lines {
		l := &m.lines[i]
		if !l.tangent {
			continue
		}
		standing = math.Min(standing, ms.standing(l))
		switch d := l.nearest(p).Distance(p); {
		case d < first:
			first, second = d, first
		case d < second:
			second = d
		}
	}
	return math.Max(standing, ms.span(first+second))
}
