package shop

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
)

// flat is a straight edge that may be part of a side.
type flat struct {
	edge     int // index in the chain of edges
	line     geom.Curve
	finished bool
}

// side is a row of parallel flats that face the same way, counter-clockwise:
// what a straight-edge machine sees as one side of a piece, whose parts may lie
// a step forward or back from each other.
type side struct {
	along, out geom.Point // unit directions of travel and out of the stone
	flats      []flat
}

func (s *side) x(p geom.Point) float64 { return p.Dot(s.along) }
func (s *side) y(p geom.Point) float64 { return p.Dot(s.out) }

// extent returns where the side starts and ends along its direction.
func (s *side) extent() (from, to float64) {
	return s.x(s.flats[0].line.A), s.x(s.flats[len(s.flats)-1].line.B)
}

// front returns how far out the side's outermost part lies.
func (s *side) front() float64 {
	most := math.Inf(-1)
	for _, f := range s.flats {
		most = math.Max(most, math.Max(s.y(f.line.A), s.y(f.line.B)))
	}
	return most
}

// parallelRounding in radians is added to the set angle, so that edges that
// differ by exactly that angle are parallel.
const parallelRounding = 1e-9

// facing sorts flats into groups that face the same way within parallel
// radians of the longest of the group.
func facing(flats []flat, parallel float64) []side {
	byLength := make([]int, len(flats))
	for i := range byLength {
		byLength[i] = i
	}
	slices.SortStableFunc(byLength, func(a, b int) int { return cmp.Compare(flats[b].line.Length(), flats[a].line.Length()) })
	// Bins of the set angle keep this from comparing every flat with every group.
	turns := max(3, int(2*math.Pi/(parallel+2*parallelRounding)))
	width := 2 * math.Pi / float64(turns)
	bins := map[int][]int{} // groups by the bin of their direction
	var out []side
	for _, i := range byLength {
		u := flats[i].line.Tangent(0)
		bin := int((math.Atan2(u.Y, u.X) + math.Pi) / width)
		found := -1
		for _, b := range [3]int{bin - 1, bin, bin + 1} {
			for _, g := range bins[(b+turns)%turns] {
				v := out[g].along
				if math.Abs(math.Atan2(v.Cross(u), v.Dot(u))) <= parallel+parallelRounding && (found < 0 || g < found) {
					found = g
				}
			}
		}
		if found < 0 {
			found = len(out)
			out = append(out, side{along: u, out: u.Left().Mul(-1)})
			bins[bin%turns] = append(bins[bin%turns], found)
		}
		out[found].flats = append(out[found].flats, flats[i])
	}
	return out
}

// split divides flats that face the same way into sides: from the outermost
// inward each goes to the first side from whose outermost flat it lies back no
// more than deepest and beside whose flats it lies. A flat behind another one
// belongs to a side of its own.
func (s side) split(deepest float64) []side {
	rest := slices.Clone(s.flats)
	slices.SortStableFunc(rest, func(a, b flat) int { return cmp.Compare(s.y(b.line.Middle()), s.y(a.line.Middle())) })
	var out []side
	var first []float64 // how far out each side's outermost flat lies, descending
	open := 0           // the sides before it lie too far out for what is still to come
	for _, f := range rest {
		y := s.y(f.line.Middle())
		for open < len(out) && first[open]-y > deepest+geom.Tolerance {
			open++
		}
		k, at, free := open, 0, false
		for ; k < len(out) && !free; k++ {
			at, free = out[k].place(f)
		}
		if !free {
			out = append(out, side{along: s.along, out: s.out, flats: []flat{f}})
			first = append(first, y)
			continue
		}
		out[k-1].flats = slices.Insert(out[k-1].flats, at, f)
	}
	return out
}

// beside is the length in mm by which two flats may overlap along their side and
// still lie beside each other: a step drawn a hair out of square.
const beside = 1.0

// place returns where in the row the flat belongs, and whether it lies beside
// all others.
func (s *side) place(f flat) (at int, free bool) {
	from, to := s.x(f.line.A), s.x(f.line.B)
	at, _ = slices.BinarySearchFunc(s.flats, from, func(g flat, x float64) int { return cmp.Compare(s.x(g.line.A), x) })
	free = at == 0 || s.x(s.flats[at-1].line.B) <= from+beside
	free = free && (at == len(s.flats) || s.x(s.flats[at].line.A) >= to-beside)
	return at, free
}

// part is a straight part of a side as seen from its leading end.
type part struct {
	flat       int     // index in side.flats, -1 for an interruption
	from, to   float64 // along, from the start of the leading part
	start, end float64 // offset there against the line of the leading part
}

// between returns the curves of the chain from the end of one flat to the start
// of the next, in the chain's direction.
type between func(f, g flat) []geom.Curve

// seen returns the parts of the side from its start, or from its end when
// fromEnd is set. Offsets are measured square to the leading part at the place
// where each part begins.
func (s *side) seen(fromEnd bool, gap between, least float64) []part {
	n := len(s.flats)
	lead := s.flats[0].line
	if fromEnd {
		lead = s.flats[n-1].line.Reverse()
	}
	u := lead.Tangent(0)
	out := u.Left().Mul(-1)
	if fromEnd {
		out = u.Left()
	}
	at := func(p geom.Point) (x, y float64) { return p.Sub(lead.A).Dot(u), p.Sub(lead.A).Dot(out) }
	var parts []part
	for k := range n {
		i := k
		line := s.flats[i].line
		if fromEnd {
			i = n - 1 - k
			line = s.flats[i].line.Reverse()
		}
		p := part{flat: i}
		p.from, p.start = at(line.A)
		p.to, p.end = at(line.B)
		if k > 0 {
			last := parts[len(parts)-1]
			a, b := last.flat, i
			if fromEnd {
				a, b = b, a
			}
			if q, ok := interruption(last, p, geom.Loop(gap(s.flats[a], s.flats[b])), out, out.Dot(lead.A), least); ok {
				parts = append(parts, q)
			}
		}
		parts = append(parts, p)
	}
	return parts
}

// interruption returns the part between two flats where the boundary leaves
// both of them: a notch, a bite or a bow, told by its farthest offset. What only
// leads from one to the other, straight, sloped or rounded, is a step.
func interruption(p, q part, path geom.Loop, out geom.Point, zero, least float64) (part, bool) {
	if len(path) == 0 || q.from-p.to < least {
		return part{}, false
	}
	in, most := path.Extent(out)
	in, most = in-zero, most-zero
	over, under := most-math.Max(p.end, q.start), math.Min(p.end, q.start)-in
	off := most
	if under > over {
		off = in
	}
	return part{flat: -1, from: p.to, to: q.from, start: off, end: off}, math.Max(over, under) >= least
}

// steps returns the steps between parts of at least the given size, each told
// where the part before it ends.
func steps(parts []part, least float64) []Step {
	var out []Step
	for i := 1; i < len(parts); i++ {
		if before := parts[i-1]; math.Abs(parts[i].start-before.end) >= least {
			out = append(out, Step{At: before.to, Offset: parts[i].start})
		}
	}
	return out
}
