package draw

import (
	"math"

	"trueup/dxfio/geom"
)

// Placer keeps labels from overlapping: it remembers what is taken and chooses,
// of several places for a label, the first that is free, otherwise the one that
// hides least. The work for a label does not grow with the number of others.
type Placer struct {
	bounds geom.Box
	wide   int          // cells in a row
	cells  [][]obstacle // row by row from the lower corner of the bounds
}

type obstacle struct {
	box    geom.Box
	line   geom.Curve
	weight float64
	isLine bool
}

// cellSize of the grid in mm: about the size of a label.
const cellSize = 10

// mostCells bounds the cells of a side: beyond the largest sheet of paper the
// last cell holds the rest.
const mostCells = 1000

// mostInCell is how many obstacles of a cell are kept before lines are dropped:
// among so many no place is free, and one more line makes it no worse.
const mostInCell = 64

// Costs of a place, in mm2 of label hidden and alike.
const (
	outsideCost = 50 // for each mm2 outside the drawing
	labelCost   = 10 // for each mm2 of another label
	lineCost    = 2  // for each mm of line crossed, times the line's weight
)

// NewPlacer returns a placer for labels inside the bounds.
func NewPlacer(bounds geom.Box) *Placer {
	cells := func(length float64) int { return int(min(max(length, 0)/cellSize, mostCells)) + 1 }
	wide := cells(bounds.Width())
	return &Placer{bounds: bounds, wide: wide, cells: make([][]obstacle, wide*cells(bounds.Height()))}
}

// Take marks a box as taken by a label.
func (p *Placer) Take(b geom.Box) {
	p.add(b, obstacle{box: b, weight: labelCost})
}

// AvoidArea marks a box that labels should keep off when they can.
func (p *Placer) AvoidArea(b geom.Box, weight float64) {
	p.add(b, obstacle{box: b, weight: weight})
}

// Avoid marks curves that labels should not cross; weight 1 is an ordinary
// line. Arcs count by their chords.
func (p *Placer) Avoid(curves []geom.Curve, weight float64) {
	for _, c := range curves {
		parts := 1
		if c.Bulge != 0 {
			parts = 8
		}
		for i := range parts {
			l := geom.Line(c.At(float64(i)/float64(parts)), c.At(float64(i+1)/float64(parts)))
			p.addLine(l, weight)
		}
	}
}

// addLine spreads a line over the cells it meets by short stretches.
func (p *Placer) addLine(l geom.Curve, weight float64) {
	a, b, ok := clip(l.A, l.B, p.bounds)
	if !ok {
		return
	}
	n := int(math.Ceil(a.Distance(b)/cellSize)) + 1
	for i := range n {
		part := geom.Line(a.Lerp(b, float64(i)/float64(n)), a.Lerp(b, float64(i+1)/float64(n)))
		p.add(part.Box(), obstacle{line: part, isLine: true, weight: weight})
	}
}

func (p *Placer) add(b geom.Box, o obstacle) {
	p.visit(b, func(c *[]obstacle) {
		if !o.isLine || len(*c) < mostInCell {
			*c = append(*c, o)
		}
	})
}

// visit calls f with each cell that the box meets.
func (p *Placer) visit(b geom.Box, f func(*[]obstacle)) {
	low, high := p.bounds.Min, p.bounds.Max
	if b.Max.X < low.X || b.Min.X > high.X || b.Max.Y < low.Y || b.Min.Y > high.Y {
		return
	}
	rows := len(p.cells) / p.wide
	at := func(v float64, n int) int { return min(max(int(v/cellSize), 0), n-1) }
	x0, x1 := at(b.Min.X-low.X, p.wide), at(b.Max.X-low.X, p.wide)
	y0, y1 := at(b.Min.Y-low.Y, rows), at(b.Max.Y-low.Y, rows)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			f(&p.cells[y*p.wide+x])
		}
	}
}

// Cost returns how much a label at b would hide, 0 when the place is free.
func (p *Placer) Cost(b geom.Box) float64 {
	inside := overlap(b, p.bounds)
	cost := outsideCost * (b.Width()*b.Height() - inside)
	p.visit(b, func(c *[]obstacle) {
		for i := range *c {
			o := &(*c)[i]
			if !o.isLine {
				// A box in several cells counts in each: more is only worse.
				cost += o.weight * overlap(b, o.box)
			} else if u, v, ok := clip(o.line.A, o.line.B, b); ok {
				cost += lineCost * o.weight * (u.Distance(v) + 0.1)
			}
		}
	})
	if cost < 1e-9 { // what rounding leaves of an area
		return 0
	}
	return cost
}

// Place takes the best of the places for a label and returns its number; -1, and
// nothing taken, when each would cost more than the limit. Earlier ones win ties.
func (p *Placer) Place(places []geom.Box, limit float64) (best int) {
	cost := math.Inf(1)
	best = -1
	for i, b := range places {
		if c := p.Cost(b); c < cost {
			best, cost = i, c
		}
		if cost == 0 {
			break
		}
	}
	if best < 0 || cost > limit {
		return -1
	}
	p.Take(places[best])
	return best
}

func overlap(a, b geom.Box) float64 {
	w := min(a.Max.X, b.Max.X) - max(a.Min.X, b.Min.X)
	h := min(a.Max.Y, b.Max.Y) - max(a.Min.Y, b.Min.Y)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h
}

// Crossed returns how many millimetres of the line from a to b lie in labels.
func (p *Placer) Crossed(a, b geom.Point) float64 {
	var sum float64
	seen := map[geom.Box]bool{}
	p.visit(geom.EmptyBox().Extend(a).Extend(b), func(c *[]obstacle) {
		for _, o := range *c {
			if o.isLine || o.weight < labelCost || seen[o.box] {
				continue
			}
			seen[o.box] = true
			if u, v, ok := clip(a, b, o.box); ok {
				sum += u.Distance(v)
			}
		}
	})
	return sum
}
