package piece

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// closedLines are the closed lines of a role as they were drawn, found by their curves.
type closedLines struct {
	b     *builder
	lines []drawnLine
	of    map[int32]int // line by the number of a curve of the drawing
}

func (b *builder) closedLines(in []trace.Curve) *closedLines {
	l := &closedLines{b: b, lines: drawnLines(in), of: map[int32]int{}}
	for i := range l.lines {
		if !l.lines[i].closed {
			continue
		}
		for _, c := range l.lines[i].curves {
			l.of[c.ID] = i
		}
	}
	return l
}

// over returns the closed lines of faces that hang together, each as an opening, where two
// of them lie over each other and neither goes around all of them, or where each face is a
// closed line of its own and their layers differ: a sink and a cooktop that have a side in
// common stay two, with nothing left between them. Two bowls of one sink, and lines drawn
// across one, give none.
func (l *closedLines) over(members []int, faces []trace.Face) []opening {
	var lines []int
	for _, k := range members {
		for _, c := range faces[k].Outer {
			if i, closed := l.of[c.ID]; closed && !slices.Contains(lines, i) {
				lines = append(lines, i)
			}
		}
	}
	if len(lines) < 2 {
		return nil
	}
	slices.Sort(lines)
	whole := geom.EmptyBox()
	for _, k := range members {
		for _, c := range faces[k].Outer {
			whole = whole.Union(c.Box())
		}
	}
	loops, boxes := make([]geom.Loop, len(lines)), make([]geom.Box, len(lines))
	for k, i := range lines {
		loops[k], boxes[k] = counterClockwise(trace.Loop(l.lines[i].curves).Geom()), l.lines[i].box
		if boxes[k].Min.Distance(whole.Min) <= l.b.ts.Join && boxes[k].Max.Distance(whole.Max) <= l.b.ts.Join {
			return nil // around all of them: linesInOne tells what lies in it
		}
	}
	index := geom.NewBoxIndex(boxes)
	layer := func(i int) int32 { return l.b.d.Curves[l.lines[i].curves[0].ID].Layer }
	found := len(lines) == len(members) && slices.ContainsFunc(lines, func(i int) bool { return layer(i) != layer(lines[0]) })
	for k := range loops {
		index.Search(boxes[k], func(j int) bool {
			l.b.spend(1, boxes[k].Center())
			found = found || j > k && l.b.overEachOther(loops[k], loops[j])
			return !found
		})
	}
	if !found {
		return nil
	}
	var openings []opening
	for k, i := range lines {
		openings = append(openings, opening{cutout: Cutout{Loop: clockwise(loops[k])}, ids: l.b.loopIDs(l.lines[i].curves)})
	}
	return openings
}

// overEachOther reports whether two closed lines share an area that is no seam's width.
func (b *builder) overEachOther(c, d geom.Loop) bool {
	for _, r := range b.intersection(c, d) {
		if 2*r.Area() > math.Max(cutTolerance, b.ts.Join)*r.Outer.Length() {
			return true
		}
	}
	return false
}
