package rules

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"trueup/dxfio/audit"
	"trueup/dxfio/geom"
)

// mostDifferences bounds how many differences are told one by one: where there are
// more, the drawing as a whole went wrong.
const mostDifferences = 20

// Steps that the comparison may take. Plates of holes take 50 a curve whatever their
// number, one outline 3: these are for curves on and beside each other.
const (
	auditSteps       = 10_000_000
	auditStepsACurve = 400
	auditLook        = 1 << 14 // steps between two looks at the clock
)

// drawingNotKept reports places where what would be released is not what was drawn,
// found by package audit, which compares the two without knowing how the one became
// the other. Measured is the distance in mm from the one line to the nearest of the
// other; of differences about stone it is 1, a count, and of areas that do not
// come out the difference in mm2.
func drawingNotKept() Rule {
	return Rule{
		ID:         "drawing-not-kept",
		Severities: []Severity{Stop},
		What:       "Lines that were drawn and would not be cut, or would be cut and were not drawn.",
		Why:        "The stone would be another than the one that was measured, and nothing else says so.",
		How: "Every outline, cutout, splash and seam as drawn against the outlines and cutouts to be released, and these against the drawing, exactly, on lines and arcs: " +
			"farther apart than 0.01 mm, than the size of a listed repair that touches the line, or for a seam than the marking distance is a difference, unless a flag names the line. " +
			"Inside every closed line there has to be stone, or none, as the lines around it say, and no stone twice; every POINT that marks a hole has to be cut, " +
			"and where closed lines lie free of each other their area of stone, summed up by what lies in what, has to be that of the pieces. " +
			"One flag an entity or a released line; past 20 the last one counts the rest.",
		Limits: []string{"closing.join", "pieces.mark_distance"},
		Check: func(in *Input, out *Findings) {
			if len(in.Template.Pieces) == 0 {
				return // nothing is released
			}
			if in.Template.Drawn == nil {
				out.Unchecked("the template was not made from a drawing")
				return
			}
			found, _, err := in.Template.Differences(in.auditClock())
			if err != nil {
				out.Flag(in.notCompared(err.Error())) // nobody knows then whether the drawing is kept
				return
			}
			slices.SortStableFunc(found, func(a, b audit.Difference) int {
				return cmp.Or(cmp.Compare(b.Kind, a.Kind), -cmp.Compare(a.Length, b.Length), -cmp.Compare(a.Distance, b.Distance))
			})
			for i := range found[:min(len(found), mostDifferences)] {
				f := in.difference(&found[i])
				if more := len(found) - mostDifferences; i == mostDifferences-1 && more > 0 {
					f.Message += fmt.Sprintf(" %s more like it are not listed.", number(float64(more)))
				}
				out.Flag(f)
			}
		},
	}
}

// notCompared is the flag of a comparison that came to no end.
func (in *Input) notCompared(why string) Flag {
	first, curves := &in.Template.Pieces[0], float64(len(in.Template.Drawn.Curves))
	return Flag{
		Piece: first.ID, At: first.Outline[0].A, Measured: curves, NoLimit: true,
		Message: fmt.Sprintf("The drawing of %s curves was not compared with what would be cut to the end: %s.", number(curves), why),
		Remedy:  "Take hatches and repeated lines away and export again; if it stays, keep this drawing for whoever looks after the program.",
	}
}

var (
	errAuditEnded   = errors.New("the time for this drawing was up")
	errAuditCrowded = errors.New("too many curves on and beside each other")
)

// auditClock ends the comparison when the time is up or the steps are.
func (in *Input) auditClock() func(int) error {
	left, look := auditSteps, auditLook
	if d := in.Template.Drawn; d != nil {
		left += auditStepsACurve * len(d.Curves)
	}
	return func(steps int) error {
		left -= steps
		if look -= steps; look <= 0 {
			look = auditLook
			if in.ended() {
				return errAuditEnded
			}
		}
		if left < 0 {
			return errAuditCrowded
		}
		return nil
	}
}

// difference puts a difference in words.
func (in *Input) difference(d *audit.Difference) Flag {
	at := d.At()
	w := d.Witness
	f := Flag{At: at, Witness: &w, Measured: d.Distance, Limit: d.Limit, Unit: "mm", Stretch: d.Length}
	piece := ""
	if d.Piece >= 0 {
		f.Piece = in.Template.Pieces[d.Piece].ID
		piece = "piece " + f.Piece
	} else if p := in.pieceAround(at); p != nil {
		f.Piece = p.ID
	}
	layer := ""
	if d.Layer >= 0 {
		f.Other = in.Template.Drawn.Layers[d.Layer]
		layer = " on layer " + f.Other
	}
	place, l := in.place(at), in.lengths()
	f.Remedy = fmt.Sprintf("Cut nothing from this release: draw the lines around %s anew, each outline and cutout as one closed line, and keep this drawing for whoever looks after the program.", place)
	switch d.Kind {
	case audit.Missing:
		f.Message = fmt.Sprintf("A line%s, %s%s at %s, is drawn and would not be cut: the nearest line to be cut is %s away.",
			layer, l.Of(d.Length), ofWhat(d.Role), place, l.Fine(d.Distance))
	case audit.Added:
		what := "a seam"
		if d.Piece >= 0 {
			what = "the outline of " + piece
			if d.Cutout >= 0 {
				what = "cutout " + in.Template.Pieces[d.Piece].Cutouts[d.Cutout].ID
			}
		}
		f.Message = fmt.Sprintf("Over %s at %s %s would be cut where nothing is drawn: the nearest drawn line is %s away.", l.Of(d.Length), place, what, l.Fine(d.Distance))
	case audit.Uncut:
		f.Message = fmt.Sprintf("At %s a cutout is drawn%s, and %s would have stone there.", place, layer, piece)
	case audit.NoStone:
		f.Message = fmt.Sprintf("At %s stone is drawn%s, and no piece would have it.", place, layer)
	case audit.Swallowed:
		f.Message = fmt.Sprintf("At %s a top is drawn%s, and cutouts take all of it away: no piece is left of it.", place, layer)
		f.Remedy = "Shape the cutout so that it takes only what is to be cut away, or erase the top where it is not wanted."
	case audit.Twice:
		f.Message = fmt.Sprintf("At %s the same stone would be cut twice, once of it for %s.", place, piece)
	}
	if d.Kind == audit.Area {
		f.Measured, f.Unit = math.Abs(d.Area), "mm2"
		more := "less"
		if d.Area > 0 {
			more = "more"
		}
		f.Message = fmt.Sprintf("The pieces around %s have %s %s stone than the closed lines drawn there leave.", place, l.Area(f.Measured), more)
	} else if d.Kind != audit.Missing && d.Kind != audit.Added {
		f.Measured, f.Limit, f.NoLimit, f.Unit = float64(d.Count), 0, true, ""
	}
	if d.Witness.Length() <= geom.Tolerance {
		f.Witness = &geom.Witness{From: at, To: at}
	}
	return f
}

// ofWhat says what a drawn line belongs to.
func ofWhat(r audit.Role) string {
	switch r {
	case audit.Cutout:
		return " of a cutout"
	case audit.Seam:
		return " of a seam"
	}
	return " of an outline"
}
