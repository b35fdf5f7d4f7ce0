package rules

import (
	"fmt"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// unfinishedCorner finds rounded and clipped corners without a mark between two
// finished edges. Measured is the length of the corner along the edge in mm, the
// witness leads from its one end to the other; there is no limit. Arcs count
// whatever they measure and whichever way they bow, a straight line only as the
// clip of an outside corner. Up to finishSpeck a corner is eased along with the
// edges beside it and needs no mark.
func unfinishedCorner() Rule {
	return Rule{
		ID:         "unfinished-corner",
		Severities: []Severity{Warn},
		What:       "Rounded or clipped corners without a mark between two finished edges.",
		Why:        "The polisher finishes what is marked: both edges shine and the corner between them stays raw.",
		How: "Arcs, and clips up to 75 mm, that nothing marks, from the end of one finished edge to the start of the next, with their length along the edge. " +
			"One flag a corner. Corners up to 5 mm long are eased with their neighbours and do not count.",
		Check: func(in *Input, out *Findings) {
			for i := range in.Template.Pieces {
				in.checkFinishedCorners(&in.Template.Pieces[i], out)
			}
		},
	}
}

// longestClip is the length in mm up to which a straight line across an outside
// corner clips it and is no side of the top: 3 in, common practice, no source.
const longestClip = 75

func (in *Input) checkFinishedCorners(p *piece.Piece, out *Findings) {
	n := len(p.Edges)
	for i := range n {
		if p.Edges[i].Finish != piece.Finished {
			continue
		}
		var corner geom.Loop
		k := i + 1
		for ; k < i+n && isRawCorner(p, k%n); k++ {
			corner = append(corner, p.Edges[k%n].Curves...)
		}
		if len(corner) == 0 || p.Edges[k%n].Finish != piece.Finished || corner.Length() <= finishSpeck {
			continue
		}
		what := in.lengths().Of(corner.Length()) + " long"
		if e := &p.Edges[(i+1)%n]; k == i+2 && len(e.Curves) == 1 && !e.Curves[0].IsLine() {
			what = fmt.Sprintf("radius %s, %s", in.lengths().Radius(e.Curves[0].Radius()), what)
		}
		w := geom.Witness{From: corner[0].A, To: corner[len(corner)-1].B}
		at := corner[len(corner)/2].Middle()
		if len(corner)%2 == 0 {
			at = corner[len(corner)/2].A
		}
		out.Flag(Flag{
			Piece: p.ID, At: at, Witness: &w, Stretch: corner.Length(), Measured: corner.Length(), NoLimit: true, Unit: "mm",
			Message: fmt.Sprintf("The corner of piece %s at %s (%s) is not marked as finished, though the edges on both sides of it are: it stays unpolished.", p.ID, in.place(at), what),
			Remedy:  "Mark the corner too, or accept that it stays raw.",
		})
	}
}

// straight is the corner in degrees from which two edges run on into each other
// or bend inward: less than 180 by what a tangent is drawn askew.
const straight = 179

// isRawCorner reports whether an edge is an unmarked arc, or an unmarked clip of
// an outside corner.
func isRawCorner(p *piece.Piece, i int) bool {
	e, next := &p.Edges[i], &p.Edges[(i+1)%len(p.Edges)]
	if e.Finish != piece.Unmarked {
		return false
	}
	arcs := true
	for _, c := range e.Curves {
		arcs = arcs && !c.IsLine()
	}
	return arcs || e.Length() <= longestClip && e.CornerDeg < straight && next.CornerDeg < straight
}
