package shop

import (
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// Fold reports whether a seam is where stone folds down, as to the leg of an island:
// every edge of both mates along it is marked as mitred or bevelled. What carries
// such a seam stands upright, and the plan does not show it.
func (s Saw) Fold(t *piece.Template, seam *piece.Seam) bool {
	for k, id := range seam.Pieces {
		bevelled := false
		for _, e := range edgesOf(t, id) {
			if e.Finish != piece.SeamEdge || !onChain(seam.Chains[k], e.Curves[len(e.Curves)/2].Middle()) {
				continue
			}
			if !s.bevels(e.Profile) {
				return false
			}
			bevelled = true
		}
		if !bevelled {
			return false
		}
	}
	return true
}

func edgesOf(t *piece.Template, id string) []piece.Edge {
	for i := range t.Pieces {
		if t.Pieces[i].ID == id {
			return t.Pieces[i].Edges
		}
	}
	return nil
}

// onChain reports whether a point lies on a seam's chain, which was cut out of the
// outline that its edges were made of.
func onChain(chain []geom.Curve, p geom.Point) bool {
	return slices.ContainsFunc(chain, func(c geom.Curve) bool { return c.Distance(p) <= 2*sameLine })
}
