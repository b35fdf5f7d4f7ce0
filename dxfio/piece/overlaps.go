package piece

import (
	"trueup/dxfio/geom"
)

// overlaps reports pieces of one kind that lie on each other. An overlap no
// wider on the average (twice its area over its perimeter) than the setting
// join is two edges drawn on one line. A piece in another one's cutout lies
// beside it.
func (b *builder) overlaps() {
	pieces := b.t.Pieces
	boxes := make([]geom.Box, len(pieces))
	for i, p := range pieces {
		boxes[i] = p.Outline.Box()
	}
	index := geom.NewBoxIndex(boxes)
	for i := range pieces {
		index.Search(boxes[i], func(j int) bool {
			b.spend(1, boxes[i].Center())
			if j > i && pieces[i].Kind == pieces[j].Kind && b.deep(boxes[i], boxes[j]) {
				b.overlap(&pieces[i], &pieces[j])
			}
			return true
		})
	}
}

// deep reports whether what two boxes have in common is wide enough for an
// overlap: no area is wider on the average than its box.
func (b *builder) deep(p, q geom.Box) bool {
	width, height := min(p.Max.X, q.Max.X)-max(p.Min.X, q.Min.X), min(p.Max.Y, q.Max.Y)-max(p.Min.Y, q.Min.Y)
	return min(width, height) > b.ts.Join
}

func (b *builder) overlap(p, q *Piece) {
	var area, largest float64
	var size geom.Rectangle
	extent := geom.EmptyBox()
	for _, r := range b.intersection(p.Outline, q.Outline) {
		for _, rest := range b.lessCutouts(r.Outer, p.Cutouts, q.Cutouts) {
			a := rest.Area()
			if 2*a > b.ts.Join*rest.Outer.Length() {
				area += a
				extent = extent.Union(rest.Box())
				if a > largest {
					largest, size = a, geom.SmallestRectangle(rest.Outer)
				}
			}
		}
	}
	if area > 0 {
		w := geom.Witness{From: extent.Min, To: extent.Max}
		b.problems.add(Problem{
			Kind: OverlappingPieces, Piece: p.ID, Other: q.ID, At: w.Middle(), Witness: w, Measured: area, Length: size.Length, Width: size.Width, Count: 1,
			Why: "two pieces are drawn over each other",
		})
	}
}

// OverlappingCutouts is the problem of two cutouts over each other: rule overlapping-cutouts.
const OverlappingCutouts ProblemKind = "overlapping-cutouts"

// cutoutsOverCutouts reports cutouts of a piece that lie on each other, however
// little. One that lies wholly in another is settled where they are placed.
func (b *builder) cutoutsOverCutouts() {
	for i := range b.t.Pieces {
		p := &b.t.Pieces[i]
		boxes := make([]geom.Box, len(p.Cutouts))
		for k, c := range p.Cutouts {
			boxes[k] = c.Loop.Box()
		}
		index := geom.NewBoxIndex(boxes)
		for k := range p.Cutouts {
			index.Search(boxes[k], func(j int) bool {
				b.spend(1, boxes[k].Center())
				if j > k {
					b.cutoutOver(p, &p.Cutouts[k], &p.Cutouts[j])
				}
				return true
			})
		}
	}
}

func (b *builder) cutoutOver(p *Piece, c, d *Cutout) {
	area, largest, extent := 0.0, 0.0, geom.EmptyBox()
	var size geom.Rectangle
	for _, r := range b.intersection(counterClockwise(c.Loop), counterClockwise(d.Loop)) {
		if a := r.Area(); 2*a > cutTolerance*r.Outer.Length() {
			area += a
			extent = extent.Union(r.Box())
			if a > largest {
				largest, size = a, geom.SmallestRectangle(r.Outer)
			}
		}
	}
	if area == 0 {
		return
	}
	w := geom.Witness{From: extent.Min, To: extent.Max}
	b.problems.add(Problem{
		Kind: OverlappingCutouts, Piece: p.ID, Other: c.ID + " " + d.ID, At: w.Middle(), Witness: w, Measured: area, Length: size.Length, Width: size.Width, Count: 1,
		Loops: []geom.Loop{c.Loop, d.Loop}, Why: "two cutouts are drawn over each other",
	})
}

// lessCutouts returns an area less the cutouts that reach into it.
func (b *builder) lessCutouts(area geom.Loop, lists ...[]Cutout) []geom.Region {
	var cuts []geom.Loop
	for _, list := range lists {
		for _, c := range list {
			if !c.OverEdge && c.Loop.Box().Overlaps(area.Box()) {
				cuts = append(cuts, counterClockwise(c.Loop))
			}
		}
	}
	if len(cuts) == 0 {
		return []geom.Region{{Outer: area}}
	}
	return b.subtract(area, cuts)
}
