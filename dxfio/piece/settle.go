package piece

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// settle notes what closing made of the curves of a role: repairs, problems,
// and the use of every curve that went in.
func (b *builder) settle(in []trace.Curve, res *trace.Result, role Role) {
	b.repairs(res.Repairs)
	b.coarse(res.Coarse, role)
	for _, f := range res.Faces {
		for _, l := range append([]trace.Loop{f.Outer}, f.Holes...) {
			for _, c := range l {
				b.set(c.ID, useOf(role))
			}
		}
	}
	b.openChains(res.Open)
	for _, o := range res.Open {
		for _, c := range o.Curves {
			b.set(c.ID, useOpen)
		}
	}
	for _, c := range res.Crossings { // of two lines each other: overlaps has them
		if b.layerOf(c.B) < b.layerOf(c.A) { // the order of drawing must not name the flaw
			c.A, c.B = c.B, c.A
		}
		p := Problem{Kind: SelfCrossing, Layer: b.layerOf(c.A), At: c.At, Line: b.lineOf(c.A), Count: 1, Witness: geom.Witness{From: c.At, To: c.At}}
		switch {
		case c.Self:
			p.Why = "crosses itself"
			b.problems.add(p)
			b.set(c.A, useOpen)
			b.set(c.B, useOpen)
		}
	}
	b.tails(res.Strays)
	b.strays(res.Strays, "bounds nothing")
	b.missing(in, res)
}

// tails reports the stretches of a line that bound nothing where the rest of it
// bounds a piece or a cutout: an overshoot longer than bridging trims, or an edge
// that two pieces were meant to share. A line borrowed from another role may run
// on as it likes.
func (b *builder) tails(list []trace.Curve) {
	for _, c := range list {
		if c.ID < 0 || c.Kind != trace.Boundary || c.Length() <= geom.Tolerance {
			continue
		}
		drawn := b.d.Curves[c.ID]
		role := b.role(drawn.Layer)
		if role != OutlineRole && role != SplashRole && role != CutoutRole || b.uses[c.ID] != useOf(role) {
			continue
		}
		if c.Length() <= b.ts.Bridge { // as good as an overshoot that was trimmed
			b.t.Repairs = append(b.t.Repairs, Repair{Kind: trace.OvershootTrimmed, At: c.Middle(), Size: c.Length(), Layer: b.layerOf(c.ID)})
			continue
		}
		b.named = append(b.named, c.Curve)
		b.problems.add(Problem{
			Kind: StrayCurve, Layer: b.layerOf(c.ID), Role: role, Entity: drawn.Type.String(), Line: int64(drawn.Line), At: c.Middle(),
			Witness: geom.Witness{From: c.A, To: c.B}, Measured: c.Length(), Count: 1, Part: true, Why: "runs on past what it bounds",
		})
	}
}

func (b *builder) repairs(list []trace.Repair) {
	for _, r := range list {
		b.t.Repairs = append(b.t.Repairs, Repair{Kind: r.Kind, At: r.At, Size: r.Size, Layer: b.layerOf(r.ID), Radius: r.Radius})
	}
}

// CoarseCrosses is why sides stayed straight that bulge no more than chords may.
const CoarseCrosses = "their arc would cross a line beside them"

// coarse reports the runs of sides that may have been meant as an arc.
func (b *builder) coarse(list []trace.Coarse, role Role) {
	for _, c := range list {
		why := "sides on one circle"
		if c.Crosses {
			why = CoarseCrosses
		}
		b.problems.add(Problem{
			Kind: CoarseCurve, Layer: b.layerOf(c.ID), Role: role, Line: b.lineOf(c.ID), At: c.At, Witness: geom.Witness{From: c.From, To: c.To},
			Measured: c.Side, Limit: b.ts.FacetSagitta, Count: c.Sides, Radius: c.Radius, Bulge: c.Sagitta, Why: why,
		})
	}
}

func (b *builder) lineOf(id int32) int64 {
	if id < 0 {
		return 0
	}
	return int64(b.d.Curves[id].Line)
}

// missing settles the curves that came out of closing nowhere: chords that
// became an arc share the use of that arc, members of a chain that crosses
// itself are open, what lies along a curve that stayed is a repair, and anything
// else is reported as a stray rather than lost.
func (b *builder) missing(in []trace.Curve, res *trace.Result) {
	var lost []trace.Curve
	for _, c := range in {
		if c.ID >= 0 && b.uses[c.ID] == unused {
			lost = append(lost, c)
		}
	}
	if len(lost) == 0 {
		return
	}
	var kept []geom.Curve
	var ids []int32
	keep := func(list []trace.Curve) {
		for _, c := range list {
			kept, ids = append(kept, c.Curve), append(ids, c.ID)
		}
	}
	for _, f := range res.Faces {
		keep(f.Outer)
	}
	for _, o := range res.Open {
		keep(o.Curves)
	}
	keep(res.Strays)
	index := geom.NewIndex(kept)
	merged := map[int32]bool{}
	for _, r := range res.Repairs {
		if r.Kind == trace.DuplicateRemoved {
			merged[r.ID] = true
		}
	}
	arcs := make(map[int32]int32, len(res.Chords))
	for _, c := range res.Chords {
		arcs[c.ID] = c.Arc
	}
	reach := max(b.ts.Join, b.ts.FacetTolerance) + geom.Tolerance
	var unknown []trace.Curve
	for _, c := range lost {
		i, q, ok := index.Nearest(c.Middle())
		arc, chord := arcs[c.ID]
		switch near := ok && q.Distance(c.Middle()) <= reach; {
		case chord && b.uses[arc] != unused && !merged[c.ID]:
			b.set(c.ID, b.uses[arc])
		case merged[c.ID], near && ids[i] < 0, c.Length() <= b.ts.Bridge:
			b.set(c.ID, useRepaired)
		case near:
			b.set(c.ID, b.uses[ids[i]])
		default:
			unknown = append(unknown, c)
		}
	}
	b.crossed(unknown, res.Crossings)
}

// crossed marks the curves that hang together with one that takes part in a
// self-crossing as open; the rest are strays.
func (b *builder) crossed(list []trace.Curve, crossings []trace.Crossing) {
	if len(list) == 0 {
		return
	}
	var ends []geom.Curve
	for _, c := range list {
		ends = append(ends, c.Curve)
	}
	index := geom.NewIndex(ends)
	reached := make([]bool, len(list))
	var queue []geom.Curve
	for _, k := range crossings {
		if !k.Self {
			continue
		}
		for _, id := range [2]int32{k.A, k.B} {
			if id >= 0 {
				queue = append(queue, b.d.Curves[id].Curve)
			}
		}
	}
	for len(queue) > 0 {
		c := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		index.Search(c.Box().Grow(b.ts.Bridge), func(i int) bool {
			b.spend(1, c.A)
			if !reached[i] && geom.Nearest(c, list[i].Curve).Length() <= b.ts.Bridge {
				reached[i] = true
				queue = append(queue, list[i].Curve)
			}
			return true
		})
	}
	var rest []trace.Curve
	for i, c := range list {
		if reached[i] {
			b.set(c.ID, useOpen)
		} else {
			rest = append(rest, c)
		}
	}
	b.strays(rest, "was left out when the outlines were closed")
}

// strays reports curves that are good for nothing, an entity at a time.
func (b *builder) strays(list []trace.Curve, why string) {
	var ids []int32
	for _, c := range list {
		if c.ID >= 0 && (b.uses[c.ID] == unused || b.uses[c.ID] == useStray) {
			ids = append(ids, c.ID)
		}
	}
	b.strayIDs(ids, why)
}

func (b *builder) strayIDs(ids []int32, why string) {
	slices.Sort(ids)
	ids = slices.Compact(ids)
	for len(ids) > 0 {
		first := b.d.Curves[ids[0]]
		n, length := 0, 0.0
		for n < len(ids) && b.d.Curves[ids[n]].Entity == first.Entity && (n == 0 || !b.marksAnother(ids[n-1], ids[n])) {
			b.set(ids[n], useStray)
			length += b.d.Curves[ids[n]].Length()
			n++
		}
		p := Problem{
			Kind: StrayCurve, Layer: b.layerOf(ids[0]), Role: b.role(first.Layer), Entity: first.Type.String(), Line: int64(first.Line), At: first.Middle(),
			Witness: geom.Witness{From: first.A, To: b.d.Curves[ids[n-1]].B}, Measured: length, Count: n, Why: why,
		}
		switch p.Role {
		case OutlineRole, SplashRole:
			p.Rival = b.rival(ids[:n])
		case SeamRole:
			p.Kind, p.Limit = StraySeam, b.ts.Bridge
		case FinishedRole:
			p.Kind, p.Limit, p.At = StrayFinish, b.s.MarkDistance, b.d.Curves[ids[n/2]].Middle()
		}
		b.problems.add(p)
		ids = ids[n:]
	}
}

// marksAnother reports whether the second of two curves of one entity is a mark
// of its own: on a finished layer each side of a line drawn around a top is meant
// for another edge, and a rounding drawn with chords for one.
func (b *builder) marksAnother(before, after int32) bool {
	c, d := b.d.Curves[before], b.d.Curves[after]
	if b.role(c.Layer) != FinishedRole {
		return false
	}
	u, v := c.Tangent(1), d.Tangent(0)
	return math.Abs(math.Atan2(u.Cross(v), u.Dot(v))) > b.ts.FacetTurn*math.Pi/180
}
