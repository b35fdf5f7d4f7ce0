package rules

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// holeSpacing measures the least stone between a round hole and the outline, a
// cutout, or a later hole of its piece: the distance from the hole's centre to
// exact lines and arcs, less its radius (less both radii between holes). A gap
// equal to the limit passes; loops that touch or cross measure 0. Each pair is
// flagged once. Stretches of outline that are a seam are left to
// seam-near-cutout; a cutout behind another one, seen from the hole, is not near.
func holeSpacing() Rule {
	return Rule{
		ID:         "hole-spacing",
		Severities: []Severity{Warn},
		What:       "Round holes with too little stone around them.",
		Why:        "A thin bridge breaks out while the hole is drilled, or cracks when the tap is tightened.",
		How: "The least stone between a round hole and the edge, a cutout, or another hole, exact on lines and arcs; 0 where they touch. " +
			"One flag a pair. Distances to a seam belong to seam-near-cutout.",
		Limits: []string{"rules.hole_stone", "pieces.hole_diameter"},
		Check: func(in *Input, out *Findings) {
			for i := range in.Template.Pieces {
				if p := &in.Template.Pieces[i]; hasHole(p) {
					in.checkHoles(p, out)
				}
			}
		},
	}
}

func hasHole(p *piece.Piece) bool {
	for _, c := range p.Cutouts {
		if c.Kind == piece.Hole {
			return true
		}
	}
	return false
}

// neighbourhood is every curve that a hole of a piece may be near to.
type neighbourhood struct {
	curves []geom.Curve
	owner  []int // cutout, -1 for the outline
	index  *geom.Index
}

func around(p *piece.Piece) neighbourhood {
	n := neighbourhood{}
	tags := outlineTags(p)
	for i, c := range p.Outline {
		if tags == nil || tags[i] != seamed {
			n.curves, n.owner = append(n.curves, c), append(n.owner, -1)
		}
	}
	for k, c := range p.Cutouts {
		if !c.OverEdge {
			for _, d := range c.Loop {
				n.curves, n.owner = append(n.curves, d), append(n.owner, k)
			}
		}
	}
	n.index = geom.NewIndex(n.curves)
	return n
}

func (in *Input) checkHoles(p *piece.Piece, out *Findings) {
	n := around(p)
	limit := in.Settings.HoleStone
	for k := range p.Cutouts {
		if p.Cutouts[k].Kind != piece.Hole {
			continue
		}
		center, radius, ok := p.Cutouts[k].Loop.Round(roundHole)
		if !ok {
			out.Unchecked(fmt.Sprintf("hole %s is not round", p.Cutouts[k].ID))
			continue
		}
		near := map[int]geom.Witness{} // by owner
		n.index.Search(geom.Box{Min: center, Max: center}.Grow(radius+limit), func(i int) bool {
			o := n.owner[i]
			if o == k || o >= 0 && o < k && p.Cutouts[o].Kind == piece.Hole {
				return true
			}
			w := fromHole(center, radius, n.curves[i])
			if best, seen := near[o]; w.Length() < limit-asDrawn && (!seen || w.Shorter(best)) {
				near[o] = w
			}
			return true
		})
		for o := -1; o < len(p.Cutouts); o++ {
			if w, ok := near[o]; ok && n.clear(w, k, o) && (o < 0 || !in.overEachOther(p, &p.Cutouts[k], &p.Cutouts[o])) {
				in.holeFlag(p, k, o, w, out)
			}
		}
	}
}

// roundHole is how far in mm the arcs of a hole may stray from one circle.
const roundHole = 0.2

// fromHole returns the shortest line from a hole to a curve, a point where they
// meet.
func fromHole(center geom.Point, radius float64, c geom.Curve) geom.Witness {
	q, _ := geom.NearestPoint(c, center)
	d := q.Sub(center)
	if d.Norm() <= radius {
		return geom.Witness{From: q, To: q}
	}
	return geom.Witness{From: center.Add(d.Unit().Mul(radius)), To: q}
}

// clear reports whether nothing else lies across the line from hole k to owner o.
func (n *neighbourhood) clear(w geom.Witness, k, o int) bool {
	if w.Length() <= geom.Tolerance {
		return true
	}
	line := geom.Line(w.From, w.To)
	free := true
	n.index.Search(line.Box(), func(i int) bool {
		if n.owner[i] != k && n.owner[i] != o && len(geom.Intersect(line, n.curves[i])) > 0 {
			free = false
		}
		return free
	})
	return free
}

func (in *Input) holeFlag(p *piece.Piece, k, o int, w geom.Witness, out *Findings) {
	hole, limit := &p.Cutouts[k], in.Settings.HoleStone
	to, other := "the edge", hole.ID
	if o >= 0 {
		c := &p.Cutouts[o]
		to, other = fmt.Sprintf("the %s %s", cutoutName(c.Kind), c.ID), hole.ID+" "+c.ID
	}
	d := w.Length()
	l := in.lengths()
	f := Flag{Piece: p.ID, Other: other, Witness: &w, At: w.Middle(), Measured: d, Limit: limit, Unit: "mm"}
	f.Message = fmt.Sprintf("Only %s of stone between the hole %s and %s; %s are wanted.", l.Under(d, limit), hole.ID, to, l.Up(limit))
	if d == 0 {
		// They overlap: as far as the hole reaches over comes on top.
		center, radius, _ := hole.Loop.Round(roundHole)
		over := math.Max(0, radius-center.Distance(w.From))
		f.Message = fmt.Sprintf("The hole %s runs into %s; %s of stone are wanted.", hole.ID, to, l.Up(limit))
		f.Remedy = fmt.Sprintf("Move the hole %s away from %s.", l.Up(limit+over), to)
		out.Flag(f)
		return
	}
	f.Remedy = fmt.Sprintf("Move the hole %s away from %s.", l.Up(limit-d), to)
	if smaller := hole.Diameter - 2*(limit-d); smaller >= leastHole && hole.Diameter > 0 {
		f.Remedy = fmt.Sprintf("Move the hole %s away from %s, or drill it %s wide.", l.Up(limit-d), to, l.Down(smaller))
	}
	out.Flag(f)
}

// leastHole is the smallest diameter in mm that is worth naming: a tap of less
// does not exist (common practice, no source).
const leastHole = 25
