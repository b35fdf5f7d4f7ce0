package rules

import (
	"fmt"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// cutoutOverEdge tells which cutouts run over the edge of their piece, so that
// nobody finds out at the saw that a sink has slipped. Measured is the width in mm
// of the mouth that the cutout has in the edge, the widest when there are several;
// the witness leads across it; there is no limit. A sink or a cooktop over an edge
// that is marked as a wall is a stop: there is no room for it in the wall. A sink
// over an edge that is not finished, in a piece that has finished ones, is a
// warning: its apron would show at the back, or the front has lost its mark. A
// cooktop over another edge is warned of, since only few have no stone before them;
// an apron sink and any other notch is a note. Common practice, no source.
func cutoutOverEdge() Rule {
	return Rule{
		ID:         "cutout-over-edge",
		Severities: []Severity{Stop, Warn, Note},
		What:       "Cutouts that run over the edge of their piece.",
		Why:        "An apron sink is meant to; any other sink has slipped in the drawing, and its rail is gone when that is seen.",
		How: "The width of the mouth that a cutout over the edge has in the outline. Over an edge marked as a wall a sink or cooktop is a stop; over another edge a cooktop is a warning, and so is a sink where the piece has finished edges and this one is none; everything else is a note. " +
			"A tap hole that runs into the edge is hole-spacing's.",
		Check: func(in *Input, out *Findings) {
			for i := range in.Template.Pieces {
				p := &in.Template.Pieces[i]
				for k := range p.Cutouts {
					if c := &p.Cutouts[k]; c.OverEdge && c.Kind != piece.Hole {
						if f, ok := in.overEdgeFlag(p, c); ok {
							out.Flag(f)
						}
					}
				}
			}
		},
	}
}

func (in *Input) overEdgeFlag(p *piece.Piece, c *piece.Cutout) (Flag, bool) {
	mouths := mouthsOf(p, c)
	if len(mouths) == 0 {
		return Flag{}, false
	}
	widest, wall, finished := mouths[0], false, false
	for _, m := range mouths {
		if m.across.Length() > widest.across.Length() {
			widest = m
		}
		wall, finished = wall || m.wall, finished || m.finished
	}
	name, w := cutoutName(c.Kind), widest.across
	f := Flag{Severity: Note, Piece: p.ID, Other: c.ID, Witness: &w, Measured: w.Length(), NoLimit: true, Unit: "mm"}
	f.Message = fmt.Sprintf("The %s %s runs over the edge of piece %s %s: the edge is open there for %s.", name, c.ID, p.ID, in.between(w.From, w.To), in.lengths().Of(w.Length()))
	f.Remedy = fmt.Sprintf("Right for a %s that is open to that side; else move it back into the stone.", name)
	if c.Kind == piece.Sink {
		f.Remedy = "Right for an apron sink; else move it back into the stone."
	}
	switch {
	case wall && (c.Kind == piece.Sink || c.Kind == piece.Cooktop):
		f.Severity = Stop
		f.Message = fmt.Sprintf("The %s %s runs over the edge of piece %s %s, which is marked as a wall.", name, c.ID, p.ID, in.between(w.From, w.To))
		f.Remedy = fmt.Sprintf("Move the %s off the wall, or take the wall's mark away if that edge is free.", name)
	case c.Kind == piece.Cooktop:
		f.Severity = Warn
	case c.Kind == piece.Sink && !finished && slices.ContainsFunc(p.Edges, func(e piece.Edge) bool { return e.Finish == piece.Finished }):
		f.Severity = Warn
		f.Message = fmt.Sprintf("The sink %s runs over the edge of piece %s %s, which is not marked as finished, though the piece has edges that are: the edge is open there for %s.",
			c.ID, p.ID, in.between(w.From, w.To), in.lengths().Of(w.Length()))
		f.Remedy = "Mark the edge beside the sink as finished if its apron shows there; else move the sink to the front, or back into the stone."
	}
	return f, true
}

// mouth is where the outline of a piece gives way to a cutout over its edge.
type mouth struct {
	across   geom.Witness // from the end of the edge before to the start of the one after
	wall     bool         // one of these two edges is marked as a wall
	finished bool         // one of them is finished
}

// mouthsOf returns the mouths of a cutout over the edge in the order of the
// outline. Where a seam divides a cutout there is none.
func mouthsOf(p *piece.Piece, c *piece.Cutout) []mouth {
	n := len(p.Edges)
	along := make([]bool, n)
	for i, e := range p.Edges {
		along[i] = onLoop(c.Loop, e.Curves[len(e.Curves)/2].Middle())
	}
	var found []mouth
	for i := range n {
		first := (i + 1) % n
		if along[i] || !along[first] {
			continue
		}
		after := first
		for along[after] {
			after = (after + 1) % n
		}
		a, b := &p.Edges[i], &p.Edges[after]
		if a.Finish == piece.SeamEdge && b.Finish == piece.SeamEdge {
			continue // divided between two pieces
		}
		found = append(found, mouth{geom.Witness{From: a.To(), To: b.From()}, a.Finish == piece.Wall || b.Finish == piece.Wall, a.Finish == piece.Finished || b.Finish == piece.Finished})
	}
	return found
}

func onLoop(l geom.Loop, q geom.Point) bool {
	for _, c := range l {
		if c.Distance(q) <= onEdge {
			return true
		}
	}
	return false
}
