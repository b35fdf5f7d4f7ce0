package piece

import (
	"slices"

	"trueup/dxfio"
	"trueup/dxfio/geom"
)

// unreadIn finds which of the entities that could not be read lie in a piece: a sink
// drawn as something that only CAD can open is one. A place in a cutout counts, for what
// lies there may be the other line of it. A picture counts wherever it lies over a
// piece; what only covers the drawing counts where a line to be cut is under it.
func (b *builder) unreadIn() {
	if len(b.d.Unplaced) == 0 {
		return
	}
	bare := make([]Piece, len(b.t.Pieces))
	for i := range b.t.Pieces {
		bare[i].Outline = b.t.Pieces[i].Outline
	}
	stone := b.stoneOf(bare)
	lines := b.linesToCut()
	for _, u := range b.d.Unplaced {
		piece, at := -1, geom.Point{}
		switch u.Why {
		case dxfio.WhyCover:
			piece, at = lines.under(u.Box)
		case dxfio.WhyPicture:
			if piece, at = b.inBox(stone, u.Box); piece < 0 {
				piece, at = lines.under(u.Box)
			}
		default:
			piece, at = b.inBox(stone, u.Box)
		}
		if piece >= 0 {
			b.t.UnreadIn = append(b.t.UnreadIn, UnreadIn{Type: u.Type, Layer: b.d.Layers[u.Layer].Name, Why: u.Why, Piece: b.t.Pieces[piece].ID, At: at})
		}
	}
}

// inBox returns the piece in which the middle or a corner of a box lies, -1 for none.
func (b *builder) inBox(stone *stoneIndex, box geom.Box) (piece int, at geom.Point) {
	for _, p := range [...]geom.Point{box.Center(), box.Min, box.Max, {X: box.Min.X, Y: box.Max.Y}, {X: box.Max.X, Y: box.Min.Y}} {
		piece = -1
		stone.at(p, func(i int) bool {
			piece = i
			return false
		})
		if piece >= 0 {
			return piece, p
		}
	}
	return -1, geom.Point{}
}

// cutLines are the outlines and cutouts of all pieces.
type cutLines struct {
	b      *builder
	curves []geom.Curve
	piece  []int
	index  *geom.Index
}

func (b *builder) linesToCut() *cutLines {
	l := &cutLines{b: b}
	add := func(loop geom.Loop, piece int) {
		for _, c := range loop {
			l.curves, l.piece = append(l.curves, c), append(l.piece, piece)
		}
	}
	for i := range b.t.Pieces {
		add(b.t.Pieces[i].Outline, i)
		for _, c := range b.t.Pieces[i].Cutouts {
			add(c.Loop, i)
		}
	}
	l.index = geom.NewIndex(l.curves)
	return l
}

// under returns a piece of which a line lies under a box, -1 for none, and the place.
func (l *cutLines) under(box geom.Box) (piece int, at geom.Point) {
	corners := [...]geom.Point{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}}
	piece = -1
	l.index.Search(box, func(i int) bool {
		c := l.curves[i]
		l.b.spend(crossSteps, c.A)
		for _, p := range [...]geom.Point{c.A, c.Middle()} {
			if box.Contains(p) {
				piece, at = l.piece[i], p
				return false
			}
		}
		for k := range corners {
			if m := geom.Intersect(c, geom.Line(corners[k], corners[(k+1)%len(corners)])); len(m) > 0 {
				piece, at = l.piece[i], c.At(m[0].T)
				return false
			}
		}
		return true
	})
	return piece, at
}

// Why points are told of: nothing is made of them though they lie in stone.
const (
	whyNoHole     = "point_hole is 0, so that points mark no hole"
	whyNotOfHoles = "a point on a layer of outlines marks no hole"
)

// idlePoints reports points in stone that nothing is made of: on layers of cutouts where
// the shop's points mark no hole, and on layers of outlines. Points along an edge are where
// it was measured.
func (b *builder) idlePoints() {
	type place struct {
		layer int32
		why   string
	}
	var order []place
	first, count := map[place]geom.Point{}, map[place]int{}
	in := map[place]string{}
	var stone *stoneIndex
	for _, m := range b.d.Marks {
		k := place{m.Layer, whyNotOfHoles}
		switch role := b.role(m.Layer); {
		case role == CutoutRole && b.s.PointHole <= 0:
			k.why = whyNoHole
		case role != OutlineRole && role != SplashRole:
			continue
		}
		if stone == nil {
			stone = b.stoneOf(b.t.Pieces)
		}
		piece := -1
		stone.at(m.At, func(i int) bool {
			piece = i
			return false
		})
		if piece < 0 || k.why == whyNotOfHoles && b.alongEdge(m.At, piece) {
			continue
		}
		if count[k]++; count[k] == 1 {
			order = append(order, k)
		}
		if p := first[k]; count[k] == 1 || m.At.X < p.X || m.At.X == p.X && m.At.Y < p.Y {
			first[k], in[k] = m.At, b.t.Pieces[piece].ID
		}
	}
	slices.SortStableFunc(order, func(k, l place) int { return int(k.layer - l.layer) })
	for _, k := range order {
		b.problems.add(Problem{
			Kind: UnreadEntity, Piece: in[k], Layer: b.d.Layers[k.layer].Name, Entity: "POINT", At: first[k],
			Count: count[k], Points: count[k], Measured: float64(count[k]), Why: k.why,
		})
	}
}

// alongEdge reports whether a point lies within bridging of a piece's outline or cutouts.
func (b *builder) alongEdge(at geom.Point, piece int) bool {
	p := &b.t.Pieces[piece]
	near := func(l geom.Loop) bool {
		b.spend(len(l), at)
		return slices.ContainsFunc(l, func(c geom.Curve) bool { return c.Distance(at) <= b.ts.Bridge })
	}
	return near(p.Outline) || slices.ContainsFunc(p.Cutouts, func(c Cutout) bool { return near(c.Loop) })
}
