package piece

import (
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// Some templaters draw finished edges and walls on those layers alone, and the
// outline has no line of its own there. Where no mark of the drawing lies along a
// line of the outline that is the habit, and such edges are told; where others do,
// the outline was drawn in full and marked besides, and an edge without a line is
// one that got lost. Common practice, no source.

// MarkedBesides is why an edge that only a mark shows is in doubt.
const MarkedBesides = "other marks lie along lines of the outline"

// tellLoans reports the edges that finished and wall marks gave to outlines, of
// which in are the curves, and notes them. A seam line ends a piece by what it is.
func (b *builder) tellLoans(loans []loan, in []trace.Curve) {
	var why string
	for _, l := range loans {
		b.lent = append(b.lent, l.parts...)
	}
	if b.marksLines(in) {
		why = MarkedBesides
	}
	for _, l := range loans {
		var marks []trace.Curve
		length := 0.0
		for _, c := range l.parts {
			if b.role(b.d.Curves[c.ID].Layer) != SeamRole {
				marks, length = append(marks, c), length+c.Length()
			}
		}
		if len(marks) == 0 {
			continue
		}
		longest := marks[0]
		for _, c := range marks {
			if c.Length() > longest.Length()+geom.Tolerance {
				longest = c
			}
		}
		from, to := l.from, l.to
		if to.X < from.X || to.X == from.X && to.Y < from.Y { // the order of drawing must not show
			from, to = to, from
		}
		b.problems.add(Problem{
			Kind: EdgeFromMark, Layer: b.layerOf(longest.ID), Role: b.role(b.d.Curves[longest.ID].Layer), Entity: b.d.Curves[longest.ID].Type.String(),
			Line: b.lineOf(longest.ID), At: longest.Middle(), Witness: geom.Witness{From: from, To: to}, Measured: length, Count: len(marks), Why: why,
		})
	}
}

// marksLines reports whether a finished or wall mark lies along one of the curves:
// for half of the shorter of the two, as near as ends that are one point.
func (b *builder) marksLines(in []trace.Curve) bool {
	var lines, marks []geom.Curve
	for _, c := range in {
		lines = append(lines, c.Curve)
	}
	for _, role := range [2]Role{WallRole, FinishedRole} {
		for _, id := range b.byRole[role] {
			marks = append(marks, b.d.Curves[id].Curve)
		}
	}
	return b.anyAlong(marks, lines) || b.anyAlong(lines, marks)
}

// anyAlong reports whether one of the curves has its middle half on one of others.
func (b *builder) anyAlong(list, others []geom.Curve) bool {
	if len(others) == 0 {
		return false
	}
	index := geom.NewIndex(others)
	for _, c := range list {
		if c.Length() < stepBack {
			continue
		}
		b.spend(1, c.A)
		i, q, ok := index.Nearest(c.Middle())
		if !ok || q.Distance(c.Middle()) > b.ts.Join {
			continue
		}
		if o := others[i]; o.Distance(c.At(0.25)) <= b.ts.Join && o.Distance(c.At(0.75)) <= b.ts.Join {
			return true
		}
	}
	return false
}
