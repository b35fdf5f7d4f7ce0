package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// edgeContradiction reports stretches of edge that are marked finished and as standing
// against a wall. One of the two is wrong, and nobody in the shop can tell which: an
// edge against a wall is not polished, and is often cut to be scribed. Until it is
// settled the edge counts as finished. Measured is the length of the stretch in mm along
// the edge, the witness joins its ends. Stretches up to pieces.mark_stretch, such as a
// mark that runs a little past its corner, count for neither. Limit: common practice, no
// source.
func edgeContradiction() Rule {
	return Rule{
		ID:         "edge-contradiction",
		Severities: []Severity{Stop},
		What:       "Edges marked both as finished and as against a wall.",
		Why:        "An edge that shows is left raw, or hours go into one that nobody will see.",
		How:        "The length over which a line of a finished layer and one of a wall layer both lie along an edge, within pieces.mark_distance. Stretches up to pieces.mark_stretch do not count.",
		Limits:     []string{"pieces.mark_distance", "pieces.mark_stretch"},
		Check:      fromProblems(piece.EdgeContradiction, edgeContradictionFlag),
	}
}

func edgeContradictionFlag(in *Input, p *piece.Problem, f *Flag) {
	w := p.Witness
	f.Witness, f.Measured, f.Limit, f.Unit, f.Stretch = &w, p.Measured, p.Limit, "mm", p.Measured
	edge := "An edge"
	if _, e, _ := in.nearestEdge(p.At); e != nil {
		edge = fmt.Sprintf("Edge %d", e.N)
	}
	where := in.between(w.From, w.To)
	if w.Length() <= geom.Tolerance {
		where = "around " + in.place(p.At)
	}
	f.Message = fmt.Sprintf("%s of piece %s is marked finished (layer %s) and against a wall (layer %s) over %s, %s.",
		edge, p.Piece, p.Layer, p.Other, in.lengths().Of(p.Measured), where)
	f.Remedy = "If the edge shows, delete the wall's line there or draw it where the wall is; if it stands against the wall, delete the finish mark."
}
