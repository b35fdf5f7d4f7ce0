package piece

import (
	"math"
	"slices"
	"strings"

	"trueup/dxfio/geom"
)

// Two seam sides drawn apart are congruent when their curves differ by less
// than seam_reach in length and by less than this in direction and turn.
const congruentDeg = 2

// side is a chain of edges marked as seam that no drawn neighbour faces.
type side struct {
	piece int
	chain []geom.Curve
	label string
	taken bool
}

// apartSeams finds the mates among pieces drawn apart. Sides with the same label
// (a text on a seam layer within profile_reach) are mates; other sides are when
// each is the only one congruent with the other. Where that leaves a doubt, a
// problem says so and nothing is guessed.
func (b *builder) apartSeams(known []Seam) []Seam {
	sides := b.freeSides(known)
	b.label(sides)
	var seams []Seam
	join := func(i, k int) {
		sides[i].taken, sides[k].taken = true, true
		seams = append(seams, b.apartSeam(&sides[i], &sides[k]))
	}
	for i := range sides {
		if mates := b.labelled(sides, i); sides[i].label != "" && !sides[i].taken && len(mates) == 1 {
			join(i, mates[0])
		}
	}
	for i := range sides {
		if sides[i].taken || sides[i].label != "" {
			continue
		}
		mates := b.congruentWith(sides, i)
		if len(mates) == 1 && len(b.congruentWith(sides, mates[0])) == 1 {
			join(i, mates[0])
		}
	}
	for i := range sides {
		if !sides[i].taken {
			b.unmatched(sides, i)
		}
	}
	return seams
}

// freeSides returns the sides marked as seam that belong to no known seam.
func (b *builder) freeSides(known []Seam) []side {
	of := map[string][]geom.Curve{} // seam curves by piece
	for _, s := range known {
		for k, chain := range s.Chains {
			of[s.Pieces[k]] = append(of[s.Pieces[k]], chain...)
		}
	}
	var sides []side
	for i := range b.t.Pieces {
		p := &b.t.Pieces[i]
		free := make([]bool, len(p.Edges))
		for k, e := range p.Edges {
			free[k] = e.Finish == SeamEdge && !b.onSeam(of[p.ID], pointAlong(e.Curves, e.Length()/2))
		}
		start := 0
		for k := range p.Edges {
			if !free[k] {
				start = k + 1
				break
			}
		}
		var chain []geom.Curve
		for k := range p.Edges {
			if at := (start + k) % len(p.Edges); free[at] {
				chain = append(chain, p.Edges[at].Curves...)
			} else if len(chain) > 0 {
				sides, chain = append(sides, side{piece: i, chain: chain}), nil
			}
		}
		if len(chain) > 0 {
			sides = append(sides, side{piece: i, chain: chain})
		}
	}
	return sides
}

func (b *builder) onSeam(seams []geom.Curve, p geom.Point) bool {
	b.spend(len(seams), p)
	return slices.ContainsFunc(seams, func(c geom.Curve) bool { return c.Distance(p) <= sameEdge })
}

// label gives each text on a seam layer to the nearest side.
func (b *builder) label(sides []side) {
	for _, t := range b.d.Texts {
		name := strings.ToUpper(nameFrom(t.Value))
		if name == "" || b.role(t.Layer) != SeamRole {
			continue
		}
		best, least := -1, b.s.ProfileReach
		for i := range sides {
			b.spend(len(sides[i].chain), t.At)
			for _, c := range sides[i].chain {
				if d := c.Distance(t.At); d <= least {
					best, least = i, d
				}
			}
		}
		if best >= 0 && (sides[best].label == "" || name < sides[best].label) {
			sides[best].label = name
		}
	}
}

// labelled returns the other sides with the label of side i.
func (b *builder) labelled(sides []side, i int) []int {
	var out []int
	for k := range sides {
		b.spend(1, sides[k].chain[0].A)
		if k != i && sides[k].label == sides[i].label && sides[k].piece != sides[i].piece {
			out = append(out, k)
		}
	}
	return out
}

// congruentWith returns the free sides of other pieces that fit side i.
func (b *builder) congruentWith(sides []side, i int) []int {
	var out []int
	for k := range sides {
		b.spend(len(sides[i].chain), sides[k].chain[0].A)
		if k == i || sides[k].taken || sides[k].label != "" || sides[k].piece == sides[i].piece {
			continue
		}
		if b.t.Pieces[sides[k].piece].Kind == b.t.Pieces[sides[i].piece].Kind &&
			congruent(sides[i].chain, reversed(sides[k].chain), b.s.SeamReach) {
			out = append(out, k)
		}
	}
	return out
}

func reversed(chain []geom.Curve) []geom.Curve { return geom.Loop(chain).Reverse() }

// congruent reports whether two chains differ by a rigid motion, within reach in
// lengths and congruentDeg in angles.
func congruent(a, c []geom.Curve, reach float64) bool {
	if len(a) != len(c) {
		return false
	}
	for i := range a {
		if math.Abs(a[i].Length()-c[i].Length()) > reach || degrees(a[i].Sweep()-c[i].Sweep()) > congruentDeg {
			return false
		}
		if i > 0 && degrees(turn(a[i-1], a[i])-turn(c[i-1], c[i])) > congruentDeg {
			return false
		}
	}
	return true
}

func degrees(radians float64) float64 { return math.Abs(radians) * 180 / math.Pi }

// turn returns the angle by which the direction changes from c to d.
func turn(c, d geom.Curve) float64 {
	u, v := c.Tangent(1), d.Tangent(0)
	return math.Atan2(u.Cross(v), u.Dot(v))
}

// unmatched reports a side without a certain mate.
func (b *builder) unmatched(sides []side, i int) {
	s := &sides[i]
	mates := b.congruentWith(sides, i)
	if s.label != "" {
		mates = b.labelled(sides, i)
	}
	p := Problem{
		Kind: SeamAmbiguous, Piece: b.t.Pieces[s.piece].ID, At: pointAlong(s.chain, chainLength(s.chain)/2),
		Witness:  geom.Witness{From: s.chain[0].A, To: s.chain[len(s.chain)-1].B},
		Measured: float64(len(mates)), Count: len(mates), Why: "no side of another piece fits this seam",
	}
	if len(mates) > 0 {
		p.Other = b.t.Pieces[sides[mates[0]].piece].ID
		p.Why = "the sides of several pieces fit this seam; label both mates on the seam layer"
	}
	b.problems.add(p)
}

// mostPushes bounds the pushes by which two mates are brought to touch; two or
// three suffice.
const mostPushes = 10

// apartSeam makes the seam of two mates drawn apart.
func (b *builder) apartSeam(x, y *side) Seam {
	if y.piece < x.piece {
		x, y = y, x
	}
	s := Seam{
		Pieces: [2]string{b.t.Pieces[x.piece].ID, b.t.Pieces[y.piece].ID}, Chains: [2][]geom.Curve{x.chain, y.chain},
		Apart: true, Length: chainLength(x.chain), Moved: laidTo(x.chain, y.chain),
	}
	b.measure(&s)
	// Mates are pushed together until they touch; the nearest places change a
	// little on the way.
	left := x.chain[len(x.chain)-1].B.Sub(x.chain[0].A).Unit().Left()
	for k := 0; k < mostPushes && math.Abs(s.MinGap) > geom.Tolerance; k++ {
		s.Moved = geom.Loop(s.Moved).Translate(left.Mul(s.MinGap))
		b.measure(&s)
	}
	return s
}

// laidTo returns the chain c moved to its mate a by the rigid motion that brings
// corresponding points, ends and middles of the curves, together with the least
// squares of distances; chains that do not correspond are laid together by
// their middles and chords.
func laidTo(a, c []geom.Curve) []geom.Curve {
	to, from := keyPoints(a), keyPoints(reversed(c))
	if len(to) != len(from) {
		to = []geom.Point{a[0].A, a[len(a)-1].B}
		from = []geom.Point{c[len(c)-1].B, c[0].A}
	}
	var mid, aim geom.Point
	for i := range to {
		mid, aim = mid.Add(from[i]), aim.Add(to[i])
	}
	mid, aim = mid.Mul(1/float64(len(to))), aim.Mul(1/float64(len(to)))
	var dot, cross float64
	for i := range to {
		p, q := from[i].Sub(mid), to[i].Sub(aim)
		dot, cross = dot+p.Dot(q), cross+p.Cross(q)
	}
	angle := math.Atan2(cross, dot)
	return geom.Loop(c).Translate(mid.Mul(-1)).Rotate(angle).Translate(aim)
}

func keyPoints(chain []geom.Curve) []geom.Point {
	points := []geom.Point{chain[0].A}
	for _, c := range chain {
		points = append(points, c.Middle(), c.B)
	}
	return points
}
