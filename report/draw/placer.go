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
	cells  map[cell][]obstacle
}

type cell struct{ x, y int }

type obstacle struct {
	box    geom.Box
	line   geom.Curve
	weight float64
	isLine bool
}

// cellSize of the grid in mm: about the size of a label.
const cellSize = 10

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
	return &Placer{bounds: bounds, cells: map[cell][]obstacle{}}
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
	p.visit(b, func(c cell) {
		if !o.isLine || len(p.cells[c]) < mostInCell {
			p.cells[c] = append(p.cells[c], o)
		}
	})
}

func (p *Placer) visit(b geom.Box, f func(cell)) {
	b.Min.X, b.Min.Y = max(b.Min.X, p.bounds.Min.X), max(b.Min.Y, p.bounds.Min.Y)
	b.Max.X, b.Max.Y = min(b.Max.X, p.bounds.Max.X), min(b.Max.Y, p.bounds.Max.Y)
	for x := int(math.Floor(b.Min.X / cellSize)); x <= int(math.Floor(b.Max.X/cellSize)); x++ {
		for y := int(math.Floor(b.Min.Y / cellSize)); y <= int(math.Floor(b.Max.Y/cellSize)); y++ {
			f(cell{x, y})
		}
	}
}

// Cost returns how much a label at b would hide, 0 when the place is free.
func (p *Placer) Cost(b geom.Box) float64 {
	inside := overlap(b, p.bounds)
	cost := outsideCost * (b.Width()*b.Height() - inside)
	p.visit(b, func(c cell) {
		for _, o := range p.cells[c] {
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
	p.visit(geom.EmptyBox().Extend(a).Extend(b), func(c cell) {
		for _, o := range p.cells[c] {
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
