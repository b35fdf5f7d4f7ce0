package geom

import (
	"cmp"
	"math"
	"slices"
)

// Span is a stretch of a curve, by fractions of its length.
type Span struct{ From, To float64 }

// spanSlack is how far in mm a point may lie past a reach and still count as
// within it: rounding of the places where a curve enters and leaves.
const spanSlack = 1e-9

// Within returns the stretches of c that lie within reach of d, in order.
//
// The points within reach of d are bounded by its two offsets and by circles
// about its ends, all lines and arcs: c enters and leaves only where it meets
// the full line or circle of one of them. Between two such places one point
// tells for all.
func Within(c, d Curve, reach float64) []Span { return appendWithin(nil, c, d, reach) }

// appendWithin is Within without memory of its own.
func appendWithin(found []Span, c, d Curve, reach float64) []Span {
	if reach < 0 || !c.Box().Grow(reach+spanSlack).Overlaps(d.Box()) {
		return found
	}
	if c.IsLine() && d.IsLine() && atMostFrom(d, c.A, reach) && atMostFrom(d, c.B, reach) {
		return append(found, Span{0, 1}) // what is within reach of a line is convex
	}
	var borders [4]Curve
	n := 0
	for _, off := range [2]float64{reach, -reach} {
		if o, ok := d.Offset(off); ok && reach > 0 {
			borders[n] = o
			n++
		}
	}
	r := math.Max(reach, spanSlack)
	for _, end := range [2]Point{d.A, d.B} {
		borders[n] = Curve{A: Point{X: end.X - r, Y: end.Y}, B: Point{X: end.X + r, Y: end.Y}, Bulge: 1}
		n++
	}
	var places [10]float64 // both ends, and two a border
	at := append(places[:0], 0, 1)
	for _, b := range borders[:n] {
		for _, p := range CommonPoints(c, b) {
			if t := c.Fraction(p); t > 0 && t < 1 {
				at = append(at, t)
			}
		}
	}
	slices.Sort(at)
	first := len(found)
	for i := range at[1:] {
		from, to := at[i], at[i+1]
		if from == to || !atMostFrom(d, c.At((from+to)/2), reach) {
			continue
		}
		if k := len(found) - 1; k >= first && found[k].To == from {
			found[k].To = to
			continue
		}
		found = append(found, Span{from, to})
	}
	return found
}

func atMostFrom(d Curve, p Point, reach float64) bool { return d.Distance(p) <= reach+spanSlack }

// Beyond returns the stretches of c farther than reach from all of the others,
// in order. Stretches no longer than Tolerance are none.
func Beyond(c Curve, others []Curve, reach float64) []Span {
	var some [16]Span
	covered := some[:0]
	for _, d := range others {
		covered = appendWithin(covered, c, d, reach)
	}
	return Rest(covered, c.Length())
}

// Rest returns what the spans leave of a curve of the given length, in order.
// Stretches no longer than Tolerance are none.
func Rest(covered []Span, length float64) []Span {
	slices.SortFunc(covered, func(a, b Span) int { return cmp.Compare(a.From, b.From) })
	var rest []Span
	at := 0.0
	add := func(to float64) {
		if (to-at)*length > Tolerance {
			rest = append(rest, Span{at, to})
		}
	}
	for _, s := range covered {
		add(s.From)
		at = math.Max(at, s.To)
	}
	add(1)
	return rest
}

// Farthest returns the greatest distance from a point of c to the nearest of the
// others, as a line from that point: the directed Hausdorff distance, within
// Tolerance. Without others it is the zero witness and false.
func Farthest(c Curve, others []Curve) (Witness, bool) {
	if len(others) == 0 {
		return Witness{}, false
	}
	nearest := func(p Point) Witness {
		best := Witness{}
		for i, d := range others {
			if w := endToCurve(p, d); i == 0 || w.Length() < best.Length() {
				best = w
			}
		}
		return best
	}
	worst := nearest(c.A)
	for _, t := range [4]float64{0.25, 0.5, 0.75, 1} {
		if w := nearest(c.At(t)); w.Length() > worst.Length() {
			worst = w
		}
	}
	// No point is farther from a curve than the curve is long past one that is near.
	low, high := worst.Length(), worst.Length()+c.Length()
	for high-low > Tolerance/2 {
		middle := (low + high) / 2
		beyond := Beyond(c, others, middle)
		if len(beyond) == 0 {
			high = middle
			continue
		}
		low = middle
		for _, s := range beyond {
			if w := nearest(c.At((s.From + s.To) / 2)); w.Length() > worst.Length() {
				worst = w
			}
		}
		low = math.Max(low, worst.Length())
	}
	return worst, true
}
