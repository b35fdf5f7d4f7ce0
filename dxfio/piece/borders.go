package piece

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// SeamAssumed is the problem of two pieces whose common border is drawn as one line
// on an outline layer: rule seam-assumed.
const SeamAssumed ProblemKind = "seam-assumed"

// parting is a stretch of a drawn line that bounds a face on both sides.
type parting struct {
	curve geom.Curve
	id    int32
}

// sharedBorders notes the lines that part one face from another and that are drawn
// once: no second line of the outlines lies there, as where two tops drawn closed
// stand against each other, and no mark says that it is a seam or an edge.
func (b *builder) sharedBorders(faces []trace.Face, chords []trace.Chord, role Role) {
	shared := b.betweenFaces(faces, role)
	if len(shared) == 0 {
		return
	}
	raw := b.curvesOf(role)
	drawn := rawLines{b: b, ids: b.byRole[role], curves: raw, index: geom.NewIndex(raw), arcs: map[int32]int32{}, closed: map[int32]bool{}}
	for _, c := range chords {
		drawn.arcs[c.ID] = c.Arc
	}
	marks := b.newChainIndex(slices.Concat(b.curvesOf(SeamRole), b.curvesOf(FinishedRole), b.curvesOf(WallRole)))
	for _, s := range shared {
		if drawn.once(s) && marks.uncovered(s.curve, b.s.MarkDistance) > math.Min(b.s.MarkStretch, s.curve.Length()/2) {
			b.borders = append(b.borders, s)
		}
	}
}

// betweenFaces returns the curves of a role that run around two faces, in the order
// of the faces.
func (b *builder) betweenFaces(faces []trace.Face, role Role) []parting {
	rim := make([]int32, len(b.d.Curves)) // of each curve the number of a face and one
	twice := map[int32]bool{}
	for i, f := range faces {
		for _, c := range f.Outer {
			if c.ID < 0 || b.role(b.d.Curves[c.ID].Layer) != role {
				continue
			}
			if k := rim[c.ID]; k > 0 && int(k) != i+1 {
				twice[c.ID] = true
			}
			rim[c.ID] = int32(i + 1)
		}
	}
	if len(twice) == 0 {
		return nil
	}
	byID := map[int32][]stretchOf{}
	for i, f := range faces {
		for _, c := range f.Outer {
			if twice[c.ID] {
				byID[c.ID] = append(byID[c.ID], stretchOf{curve: c.Curve, face: i})
			}
		}
	}
	var shared []parting
	for _, id := range slices.Sorted(maps.Keys(byID)) {
		for _, c := range b.inCommon(byID[id]) {
			shared = append(shared, parting{c, id})
		}
	}
	return shared
}

// stretchOf is a stretch of one drawn curve around a face.
type stretchOf struct {
	curve    geom.Curve
	face     int
	from, to float64 // by length along the longest stretch, mm
	back     bool    // runs against that one
}

// first returns the part of a length where the longest stretch comes to it.
func (s *stretchOf) first(length float64) geom.Curve {
	share := math.Min(1, length/(s.to-s.from))
	if s.back {
		return s.curve.Part(1-share, 1)
	}
	return s.curve.Part(0, share)
}

// inCommon returns what stretches of one curve share that run around different faces.
func (b *builder) inCommon(list []stretchOf) []geom.Curve {
	base := slices.MaxFunc(list, func(s, t stretchOf) int { return cmp.Compare(s.curve.Length(), t.curve.Length()) }).curve
	for i := range list {
		s := &list[i]
		u, v := base.Fraction(s.curve.A)*base.Length(), base.Fraction(s.curve.B)*base.Length()
		s.from, s.to, s.back = math.Min(u, v), math.Max(u, v), v < u
	}
	slices.SortFunc(list, func(s, t stretchOf) int {
		return cmp.Or(cmp.Compare(s.from, t.from), cmp.Compare(s.to, t.to), cmp.Compare(s.face, t.face))
	})
	var shared []geom.Curve
	var last stretchOf // of those before the one that reaches farthest
	for i, s := range list {
		if i > 0 && s.face != last.face {
			if l := math.Min(s.to, last.to) - s.from; l > b.ts.Join {
				shared = append(shared, s.first(l))
			}
		}
		if i == 0 || s.to > last.to {
			last = s
		}
	}
	return shared
}

// rawLines are the curves of a role as they were drawn.
type rawLines struct {
	b      *builder
	ids    []int32
	curves []geom.Curve
	index  *geom.Index
	arcs   map[int32]int32 // arcs that stand for chords
	closed map[int32]bool  // entities looked at
}

// once reports whether just one line is drawn where a border runs. Copies of one
// line that leads from edge to edge are one line still: they part the top, and do
// not make two outlines of it. Where outlines begin and end at the copy's ends it
// is the side of another top.
func (r *rawLines) once(s parting) bool {
	at := s.curve.Middle()
	own, once := r.b.d.Curves[s.id], true
	reach := math.Max(r.b.ts.Join, r.b.ts.FacetTolerance) + geom.Tolerance
	r.index.Search(geom.Box{Min: at, Max: at}.Grow(reach), func(i int) bool {
		r.b.spend(1, at)
		id, c := r.ids[i], r.curves[i]
		if arc, chord := r.arcs[id]; id == s.id || chord && arc == s.id {
			return true
		}
		q, t := geom.NearestPoint(c, at)
		if q.Distance(at) > reach || math.Abs(c.Tangent(t).Cross(s.curve.Tangent(0.5))) > sameWay {
			return true
		}
		if r.copies(own.Curve, c) && !r.closes(own.Entity) && !r.closes(r.b.d.Curves[id].Entity) && !(r.met(c.A, c) && r.met(c.B, c)) {
			return true
		}
		once = false
		return false
	})
	return once
}

// copies reports whether two curves are one that was drawn twice.
func (r *rawLines) copies(c, d geom.Curve) bool {
	join := r.b.ts.Join
	return math.Min(math.Max(c.A.Distance(d.A), c.B.Distance(d.B)), math.Max(c.A.Distance(d.B), c.B.Distance(d.A))) <= join
}

// closes reports whether an entity is closed by itself.
func (r *rawLines) closes(entity int32) bool {
	is, known := r.closed[entity]
	if !known {
		is = len(r.b.closedEntity(entity)) > 0
		r.closed[entity] = is
	}
	return is
}

// met reports whether a line other than copies of c ends at a point.
func (r *rawLines) met(p geom.Point, c geom.Curve) (met bool) {
	join := r.b.ts.Join
	r.index.Search(geom.Box{Min: p, Max: p}.Grow(join), func(i int) bool {
		r.b.spend(1, p)
		d := r.curves[i]
		met = math.Min(d.A.Distance(p), d.B.Distance(p)) <= join && !r.copies(c, d)
		return !met
	})
	return met
}

// assumedSeams reports the borders drawn once that have stone of two pieces beside
// them, one problem for two pieces. Whoever drew the line may have meant a seam, and
// as well a fold, a middle line or the edge of something else.
func (b *builder) assumedSeams() {
	if len(b.borders) == 0 {
		return
	}
	stone := b.stoneOf(b.t.Pieces)
	sides := map[[2]int][]parting{}
	for _, s := range b.borders {
		if pair, ok := b.besides(s.curve, stone); ok {
			sides[pair] = append(sides[pair], s)
		}
	}
	for _, pair := range slices.SortedFunc(maps.Keys(sides), comparePairs) {
		b.assumedSeam(&b.t.Pieces[pair[0]], &b.t.Pieces[pair[1]], sides[pair])
	}
}

// borderPlaces is at how many places of a border somebody looks for stone on both sides:
// a cutout may have taken the middle.
const borderPlaces = 32

// besides returns the two pieces whose stone lies on both sides of a border.
func (b *builder) besides(c geom.Curve, stone *stoneIndex) (pair [2]int, ok bool) {
	for k := range borderPlaces {
		t := (float64(k) + 0.5) / borderPlaces
		at, aside := c.At(t), c.Tangent(t).Left().Mul(b.ts.Join)
		left, right := -1, -1
		stone.at(at.Add(aside), func(i int) bool { left = i; return false })
		stone.at(at.Sub(aside), func(i int) bool { right = i; return false })
		if left >= 0 && right >= 0 && left != right {
			return [2]int{min(left, right), max(left, right)}, true
		}
	}
	return pair, false
}

func (b *builder) assumedSeam(p, q *Piece, list []parting) {
	var middle geom.Point
	length, ends := 0.0, map[geom.Point]int{}
	for _, s := range list {
		l := s.curve.Length()
		middle, length = middle.Add(s.curve.Middle().Mul(l)), length+l
		ends[s.curve.A]++
		ends[s.curve.B]++
	}
	if length <= b.ts.Bridge { // what bridging would have closed parts nothing
		return
	}
	middle = middle.Mul(1 / length)
	nearest := slices.MinFunc(list, func(s, t parting) int {
		return cmp.Or(cmp.Compare(s.curve.Distance(middle), t.curve.Distance(middle)), cmp.Compare(s.id, t.id))
	})
	at, _ := geom.NearestPoint(nearest.curve, middle)
	maps.DeleteFunc(ends, func(_ geom.Point, n int) bool { return n%2 == 0 })
	w := geom.Witness{From: nearest.curve.A, To: nearest.curve.B}
	if len(ends) == 2 { // one line, of whatever parts
		free := slices.Collect(maps.Keys(ends))
		w = geom.Witness{From: free[0], To: free[1]}
	}
	if w.To.X < w.From.X || w.To.X == w.From.X && w.To.Y < w.From.Y {
		w = w.Reverse()
	}
	b.problems.add(Problem{
		Kind: SeamAssumed, Piece: p.ID, Other: q.ID, Layer: b.layerOf(nearest.id), Entity: b.d.Curves[nearest.id].Type.String(), Line: b.lineOf(nearest.id),
		At: at, Witness: w, Measured: length, Length: length, Count: len(list), Why: "one line bounds two pieces",
	})
}
