package report

import (
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// offset is a distance by which a cutout is set out: square to an edge, from its
// line to the nearest side of the cutout, or to the centre of a round one.
type offset struct {
	edge     int
	distance float64    // mm
	from, to geom.Point // on the edge's line and on the cutout, local mm
	beside   bool       // the foot lies beyond the edge's ends, on its line
}

// leastAcross is the sine of the least angle between the two edges a cutout is
// set out from: 45 degrees.
const leastAcross = math.Sqrt2 / 2

// offsets returns the distances to the nearest straight edge and to the nearest
// one across it; fewer when the piece has no such edges, none for a cutout over
// the edge, which the edges themselves measure. Of a cutout that a seam divides
// the part in this piece is set out, from the edges that do not bound it.
func offsets(t *piece.Template, p *piece.Piece, c *piece.Cutout) []offset {
	if part := partOf(t, p, c); part != nil {
		index := geom.NewIndex(c.Loop)
		bounds := func(e piece.Edge) bool {
			return slices.ContainsFunc(e.Curves, func(k geom.Curve) bool { return runsAlong(index, k) })
		}
		return offsetsFrom(p, part.asCutout(c), bounds, onCutout)
	}
	if c.OverEdge {
		return nil
	}
	return offsetsFrom(p, c, func(piece.Edge) bool { return false }, 0)
}

// offsetsFrom sets a cutout out from the edges that skip does not name and that
// lie at least so far from it, mm.
func offsetsFrom(p *piece.Piece, c *piece.Cutout, skip func(piece.Edge) bool, least float64) []offset {
	type candidate struct {
		offset
		along geom.Point
	}
	var all []candidate
	center := c.Loop.Centroid()
	for _, e := range p.Edges {
		if e.Kind != piece.LineEdge || skip(e) {
			continue
		}
		along := e.To().Sub(e.From()).Unit()
		in := along.Left() // the outline runs counter-clockwise
		reach := center.Dot(in)
		if c.Diameter == 0 {
			reach, _ = c.Loop.Extent(in)
		}
		distance := reach - e.From().Dot(in)
		if distance < least {
			continue
		}
		to := center.Add(in.Mul(reach - center.Dot(in)))
		from := to.Sub(in.Mul(distance))
		t := from.Sub(e.From()).Dot(along)
		all = append(all, candidate{offset{e.N, distance, from, to, t < 0 || t > e.Length()}, along})
	}
	slices.SortStableFunc(all, func(a, b candidate) int {
		switch {
		case a.beside != b.beside && a.beside:
			return 1
		case a.beside != b.beside:
			return -1
		case a.distance < b.distance:
			return -1
		case a.distance > b.distance:
			return 1
		}
		return 0
	})
	var out []offset
	for _, a := range all {
		if len(out) == 0 || math.Abs(all[0].along.Cross(a.along)) >= leastAcross {
			out = append(out, a.offset)
		}
		if len(out) == 2 {
			break
		}
	}
	return out
}
