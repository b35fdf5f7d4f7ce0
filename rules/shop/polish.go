package shop

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// polish finds the passes through the edge polisher.
//
// Straight edges that face the same way within the set angle and lie back from
// the outermost of them by no more than the deepest step are one side, finished
// or not, whatever lies between them; a side with a finished edge is a pass. The
// steps to unfinished stretches (a seam, a notch) are told as well: there the
// operator has to lift the heads off. The short edge that makes a step belongs to
// no side.
func (s *Setup) polish(p *piece.Piece, lengths dxfio.Lengths, set *Settings) {
	m := &set.Polisher
	makesStep := stepEdges(p, m)
	s.finished(p, makesStep)
	if len(s.Finished) == 0 {
		s.PolishNote = "no edge is marked finished"
		return
	}
	var flats []flat
	for i, e := range p.Edges {
		if e.Kind == piece.LineEdge && !makesStep[i] {
			flats = append(flats, flat{edge: i, line: geom.Line(e.From(), e.To()), finished: e.Finish == piece.Finished})
		}
	}
	for _, group := range facing(flats, m.ParallelDeg*math.Pi/180) {
		if !slices.ContainsFunc(group.flats, func(f flat) bool { return f.finished }) {
			continue
		}
		whole := extentsOf(p, &group)
		for _, one := range group.split(m.DeepestStep) {
			if slices.ContainsFunc(one.flats, func(f flat) bool { return f.finished }) {
				made := pass(p, &one, &whole, m)
				made.HandWork, made.TooTall = handWork(&made, whole.front-one.front(), lengths, m)
				s.Polish = append(s.Polish, made)
			}
		}
	}
	slices.SortFunc(s.Polish, func(a, b PolishPass) int { return slices.Compare(a.Edges, b.Edges) })
	if len(s.Polish) == 0 {
		s.PolishNote = "the finished edges are curves or steps: by hand or with the router"
	}
}

// stepEdges tells which edges make a step in a side: lines between two others
// that face the same way, at most the deepest step apart and longer both.
func stepEdges(p *piece.Piece, m *Polisher) []bool {
	var lines []int
	for i := range p.Edges {
		if p.Edges[i].Kind == piece.LineEdge {
			lines = append(lines, i)
		}
	}
	out := make([]bool, len(p.Edges))
	n := len(lines)
	for k, i := range lines {
		before, after := &p.Edges[lines[(k+n-1)%n]], &p.Edges[lines[(k+1)%n]]
		u, v := before.Curves[0].Tangent(0), after.Curves[0].Tangent(0)
		w := p.Edges[i].Curves[0].Tangent(0)
		back := math.Abs(u.Cross(after.From().Sub(before.To())))
		length := p.Edges[i].Length()
		out[i] = math.Abs(math.Atan2(u.Cross(v), u.Dot(v))) <= m.ParallelDeg*math.Pi/180+parallelRounding &&
			math.Abs(u.Cross(w)) > stepSlope && back <= m.DeepestStep+geom.Tolerance &&
			length < before.Length() && length < after.Length()
	}
	return out
}

// stepSlope is the sine of the angle, 30 degrees, above which an edge between two
// parallel ones steps from one to the other rather than runs along with them.
const stepSlope = 0.5

// finished adds up the finished length by profile and lists the edges that no
// line polishes.
func (s *Setup) finished(p *piece.Piece, makesStep []bool) {
	for i, e := range p.Edges {
		if e.Finish != piece.Finished {
			continue
		}
		k, ok := slices.BinarySearchFunc(s.Finished, e.Profile, func(l ProfileLength, name string) int { return strings.Compare(l.Profile, name) })
		if !ok {
			s.Finished = slices.Insert(s.Finished, k, ProfileLength{Profile: e.Profile})
		}
		s.Finished[k].Length += e.Length()
		switch {
		case e.Kind != piece.LineEdge:
			s.Curves = append(s.Curves, finishedCurve(&e))
		case makesStep[i]:
			s.Curves = append(s.Curves, FinishedCurve{Edge: e.N, Length: e.Length(), Profile: e.Profile, Why: "the edge of a step: by hand or with the router"})
		}
	}
}

func finishedCurve(e *piece.Edge) FinishedCurve {
	longest := e.Curves[0]
	for _, c := range e.Curves {
		if c.Length() > longest.Length() {
			longest = c
		}
	}
	f := FinishedCurve{Edge: e.N, Length: e.Length(), Radius: longest.Radius(), Outside: longest.Bulge > 0, Profile: e.Profile}
	f.Why = "an inside curve: by hand or with the router"
	if f.Outside {
		f.Why = "an outside curve: by hand or with the router"
	}
	return f
}

// extents are how far the whole piece reaches along and out of its sides that
// face one way.
type extents struct{ start, end, back, front float64 }

func extentsOf(p *piece.Piece, s *side) extents {
	var e extents
	e.start, e.end = p.Outline.Extent(s.along)
	e.back, e.front = p.Outline.Extent(s.out)
	return e
}

// pass describes a side with finished edges as a pass.
func pass(p *piece.Piece, one *side, whole *extents, m *Polisher) PolishPass {
	var out PolishPass
	var profiles []string
	for _, f := range one.flats {
		if e := &p.Edges[f.edge]; f.finished {
			out.Edges = append(out.Edges, e.N)
			out.Length += e.Length()
			if name := e.Profile; !slices.Contains(profiles, name) {
				profiles = append(profiles, name)
			}
		}
	}
	slices.Sort(out.Edges)
	out.Profile = strings.Join(profiles, " + ")
	path := func(f, g flat) []geom.Curve { return edgesBetween(p, f.edge, g.edge) }
	parts := one.seen(false, path, m.LeastStep)
	out.StepsLeadStart = steps(parts, m.LeastStep)
	out.StepsLeadEnd = steps(one.seen(true, path, m.LeastStep), m.LeastStep)
	for _, q := range parts {
		st := Stretch{From: q.from, To: q.to, Offset: q.start}
		if q.flat >= 0 {
			st.Edge, st.Finished = p.Edges[one.flats[q.flat].edge].N, one.flats[q.flat].finished
		}
		out.Stretches = append(out.Stretches, st)
	}
	from, to := one.extent()
	out.Extent = to - from
	out.FeedLength = m.RunIn + out.Extent + m.RunOut
	out.AheadStart, out.AheadEnd = math.Max(0, from-whole.start), math.Max(0, whole.end-to)
	out.Height = whole.front - whole.back
	return out
}

// wholeInches is how much in mm a limit in whole mm may lack of the inches it is
// named after: 96 in are 2438.4 mm.
const wholeInches = 0.5

// handWork tells why the edge line cannot polish a side, and whether that is its
// height; ahead is how far stone of the piece stands out past it.
func handWork(p *PolishPass, ahead float64, l dxfio.Lengths, m *Polisher) (why string, tall bool) {
	switch {
	case ahead > m.DeepestStep+geom.Tolerance:
		return fmt.Sprintf("the piece stands out %s past this side and cannot pass the line: by hand or with the router", l.Rough(ahead)), false
	case p.Extent < m.LeastLength-geom.Tolerance:
		return fmt.Sprintf("the side is %s long, the line feeds from %s: by hand or with the router", l.Under(p.Extent, m.LeastLength), l.Of(m.LeastLength)), false
	case p.Height > m.MaxHeight+wholeInches:
		return fmt.Sprintf("the piece is %s tall, the line takes %s: by hand or with the router", l.Of(p.Height), l.Of(m.MaxHeight)), true
	}
	return "", false
}

// edgesBetween returns the curves from the end of edge i to the start of edge j,
// indices in p.Edges, counter-clockwise.
func edgesBetween(p *piece.Piece, i, j int) []geom.Curve {
	var out []geom.Curve
	n := len(p.Edges)
	for k := (i + 1) % n; k != j; k = (k + 1) % n {
		out = append(out, p.Edges[k].Curves...)
	}
	return out
}
