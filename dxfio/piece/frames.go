package piece

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// A closed line around everything is a sheet's border, and one a little inside an
// outline is a cabinet or an overhang that was drawn on the outline's layer. Read
// by nesting alone the first is a piece as large as the sheet with the tops for
// its cutouts, and the second a top of which a thin frame is left. What lies
// inside tells: no cutout is longer than largest_cutout, and none has a sink in it.
const (
	rightAngle      = 1.0    // degrees that a border's corners may be off 90
	insetShare      = 0.85   // of a rectangle's area: a line inside that takes it lies along its sides
	sheetShare      = 0.5    // of another shape's area with right angles: one inside that takes less is drawn in it
	widestSlab      = 2100.0 // mm; no slab is as wide (from memory), so that a rectangle which is holds drawings
	rimMargin       = 45.0   // mm from a sink's rim to its bowl on every side; a top has more around its sink
	leastSink       = 320.0  // mm corner to corner of a cutout that makes a top of what is around it; burners and drains are smaller
	mostInnerCurves = 64     // cutout curves inside a line that are looked at
)

// OutlineAmbiguous is the problem of an outline around another: rule outline-ambiguous.
const OutlineAmbiguous ProblemKind = "outline-ambiguous"

// nesting settles which closed lines of a role's faces are stone.
type nesting struct {
	b        *builder
	faces    []trace.Face
	children [][]int
	up       []int  // the face around that counts, -1 for none
	stone    []bool // the others are openings where they lie in stone
	none     []bool // neither: a frame, or a second line
	cutouts  *geom.Index
	curves   []geom.Curve
	entities []int32
}

// nest tells stone from openings among the faces. order has the outer ones first.
func (b *builder) nest(faces []trace.Face, order []int) *nesting {
	n := &nesting{
		b: b, faces: faces, children: make([][]int, len(faces)), up: make([]int, len(faces)),
		stone: make([]bool, len(faces)), none: make([]bool, len(faces)),
	}
	for i := range faces {
		if p := faces[i].Parent; p >= 0 {
			n.children[p] = append(n.children[p], i)
		}
	}
	court := b.courts(faces)
	for _, i := range order {
		p := faces[i].Parent
		if p >= 0 && n.none[p] {
			p = n.up[p]
		}
		n.up[i] = p
		switch {
		case n.none[i]:
			continue
		case p < 0:
			n.stone[i] = !court[i]
		case !n.stone[p]:
			n.stone[i] = true
		default:
			n.stone[i] = !b.shareLayer(b.loopIDs(faces[i].Outer), b.loopIDs(faces[p].Outer))
		}
		if p < 0 && n.stone[i] && len(n.children[i]) > 0 {
			n.settle(i)
		}
	}
	return n
}

// settle looks at what lies in an outermost outline.
func (n *nesting) settle(i int) {
	b, outer := n.b, newLine(n.faces[i].Outer.Geom(), idsOf(n.faces[i].Outer))
	corners := rightAngled(outer.loop)
	rectangle := geom.SmallestRectangle(outer.loop)
	sheet := corners == 4 && rectangle.Width > widestSlab
	largest, most, count := -1, 0.0, 0
	nested := false // there is an outline in what lies in this one
	for _, c := range n.children[i] {
		l := n.faces[c].Outer.Geom()
		long := n.tooLong(l)
		if !sheet && !long && (corners != 4 || !n.aroundCutout(l)) {
			continue
		}
		count++
		nested = nested || slices.ContainsFunc(n.children[c], func(k int) bool { return n.tooLong(n.faces[k].Outer.Geom()) })
		if a := math.Abs(l.Area()); a > most {
			largest, most = c, a
		}
	}
	if largest < 0 {
		return
	}
	inner, share := n.faces[largest].Outer, most/outer.area
	sameLayer := b.shareLayer(b.loopIDs(inner), b.loopIDs(n.faces[i].Outer))
	switch {
	case corners == 4 && (share < insetShare || count > 1 || nested), corners > 4 && (share < sheetShare || count > 1):
		if n.stone[i] = false; n.faces[i].Parent < 0 { // a frame in a frame is one
			b.outlineProblem(Frame, outer, inner, len(n.children[i]))
		}
		n.leaveOut(i)
	case !sameLayer: // stone on stone, which overlaps reports
	case share >= b.s.NestedShare:
		b.outlineProblem(Inset, outer, inner, 1)
		n.leaveOut(largest)
	default:
		b.outlineProblem(Void, outer, inner, 1)
	}
}

// leaveOut makes a face neither stone nor an opening, and its curves ones that
// were told.
func (n *nesting) leaveOut(i int) {
	n.none[i] = true
	for _, id := range n.b.loopIDs(n.faces[i].Outer) {
		n.b.uses[id] = useStray
	}
}

// tooLong reports whether a closed line is longer than any cutout.
func (n *nesting) tooLong(l geom.Loop) bool {
	return geom.SmallestRectangle(l).Length > n.b.s.LargestCutout+geom.Tolerance
}

// aroundCutout reports whether there is a cutout as large as a sink in a closed
// line, with more around it than a sink's rim: then the line is a top's.
func (n *nesting) aroundCutout(l geom.Loop) bool {
	if n.cutouts == nil {
		for _, id := range n.b.byRole[CutoutRole] {
			n.curves, n.entities = append(n.curves, n.b.d.Curves[id].Curve), append(n.entities, n.b.d.Curves[id].Entity)
		}
		n.cutouts = geom.NewIndex(n.curves)
	}
	box, looked, crossed := l.Box(), 0, false
	inside := map[int32]geom.Box{} // by entity
	n.cutouts.Search(box, func(k int) bool {
		c := n.curves[k]
		n.b.spend(locateSteps*len(l), c.A)
		from, to := l.Locate(c.A) == geom.Inside, l.Locate(c.B) == geom.Inside
		if crossed = from != to; from && to {
			e := n.entities[k]
			if _, seen := inside[e]; !seen {
				inside[e] = geom.EmptyBox()
			}
			inside[e] = inside[e].Union(c.Box())
		}
		looked++
		return !crossed && looked < mostInnerCurves
	})
	if crossed {
		return false
	}
	in, large := geom.EmptyBox(), false
	for _, b := range inside {
		in = in.Union(b)
		large = large || b.Min.Distance(b.Max) >= leastSink
	}
	return large && math.Max(math.Max(in.Min.X-box.Min.X, in.Min.Y-box.Min.Y), math.Max(box.Max.X-in.Max.X, box.Max.Y-in.Max.Y)) > rimMargin
}

// rightAngled returns the number of corners of a loop of straight lines that meet
// at right angles, 0 for any other.
func rightAngled(l geom.Loop) int {
	corners := 0
	for i, c := range l {
		deg := math.Mod(l.Corner(i), 90)
		if c.Bulge != 0 || math.Min(deg, 90-deg) > rightAngle {
			return 0
		}
		if math.Abs(l.Corner(i)-180) > rightAngle {
			corners++
		}
	}
	return corners
}

// The readings of a closed line around another on a layer of outlines.
const (
	Frame = "a frame around the drawing" // the outer line is not cut
	Inset = "a second line inside"       // the inner line is not cut
	Void  = "an opening"                 // both are cut
)

// outlineProblem reports a closed line around another that is no cutout.
func (b *builder) outlineProblem(reading string, outer *line, inner trace.Loop, count int) {
	l := inner.Geom()
	w := nearestLine(l, outer.loop)
	p := Problem{
		Kind: OutlineAmbiguous, At: w.Middle(), Witness: w, Measured: w.Length(), Loops: []geom.Loop{outer.loop, l}, Count: count, Why: reading,
	}
	if ids := idsOf(inner); len(ids) > 0 {
		id := slices.Min(ids)
		p.Layer, p.Role, p.Entity, p.Line = b.layerOf(id), b.role(b.d.Curves[id].Layer), b.d.Curves[id].Type.String(), b.lineOf(id)
	}
	if len(outer.ids) > 0 {
		p.Other = b.layerOf(slices.Min(outer.ids))
	}
	b.problems.add(p)
}
