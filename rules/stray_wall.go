package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// strayWall reports walls that mark no edge. Measured is the distance in mm from the
// wall, at the nearest of its ends and its middle, to the nearest edge of a piece, the
// witness leads there, of one in stone its length there; marks count within
// pieces.mark_distance. An edge that is marked otherwise needs no wall: there
// nothing is told.
func strayWall() Rule {
	return Rule{
		ID:         "stray-wall",
		Severities: []Severity{Warn},
		What:       "Walls that mark no edge.",
		Why:        "The edge counts as free: nothing tells that it goes against a wall, and it may be polished, or measured as an overhang.",
		How: "Lines of the wall role, those that hang together taken as one, of which none runs along an edge within mark_distance, or meets an outline from outside: the distance to the nearest edge, if that has no mark of its own; of those in stone how long they lie there. " +
			"Walls farther away than profile_reach show the room, unless no wall of the drawing marks anything.",
		Limits: []string{"pieces.mark_distance", "pieces.profile_reach"},
		Check: func(in *Input, out *Findings) {
			for i := range in.Template.Problems {
				if p := &in.Template.Problems[i]; p.Kind == piece.StrayWall {
					in.strayWallFlag(p, out)
				}
			}
		},
	}
}

func (in *Input) strayWallFlag(p *piece.Problem, out *Findings) {
	if p.Length > 0 {
		out.Flag(in.wallInStone(p))
		return
	}
	on, e, way := in.nearestEdge(p.At)
	if on == nil || e.Finish != piece.Unmarked {
		return
	}
	l, d := in.lengths(), way.Length()
	where := fmt.Sprintf("lies %s away, and marks count within %s (pieces.mark_distance)", l.Of(d), l.Of(p.Limit))
	f := Flag{Piece: on.ID, Other: p.Layer, At: way.Middle(), Witness: &way, Measured: d, Limit: p.Limit, Unit: "mm"}
	if d <= p.Limit+geom.Tolerance {
		w := p.Witness
		where = "is met, but the wall does not run along it"
		f.At, f.Witness, f.Measured, f.Limit, f.NoLimit = p.At, &w, p.Measured, 0, true
	}
	f.Message = fmt.Sprintf("The wall (%s of %s%s) %s marks no edge: the nearest, edge %d of piece %s, %s.", entity(p), l.Of(p.Measured), onLayer(p), in.fromTo(p), e.N, on.ID, where)
	f.Remedy = fmt.Sprintf("If that edge stands against it, draw it on edge %d of piece %s, %s; if not, put it on an ignored layer.", e.N, on.ID, in.between(e.From(), e.To()))
	out.Flag(f)
}

// wallInStone tells of a wall that marks no edge and lies in stone. Measured is how long
// it lies there, the witness its longest stretch.
func (in *Input) wallInStone(p *piece.Problem) Flag {
	l, w := in.lengths(), p.Lies
	on := ""
	for i := range in.Template.Pieces {
		if o := in.Template.Pieces[i].Outline; o.Locate(w.Middle()) == geom.Inside {
			on = in.Template.Pieces[i].ID
		}
	}
	return Flag{
		Piece: on, Other: p.Layer, At: w.Middle(), Witness: &w, Measured: p.Length, NoLimit: true, Unit: "mm",
		Message: fmt.Sprintf("The wall (%s of %s%s) %s lies in the stone of piece %s for %s and marks no edge.", entity(p), l.Of(p.Measured), onLayer(p), in.fromTo(p), on, l.Of(p.Length)),
		Remedy:  "If the stone ends there, draw its edge on the wall; if the wall stands under it, put it on a layer of supports; if it only shows the room, on an ignored layer.",
	}
}
