package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// seamMismatch finds seams whose mates do not meet evenly. Measured is the
// largest less the smallest gap along the seam, so the nominal joint, however
// wide it was drawn, is taken off; the witness is the largest gap. When one line
// divides a piece the mates are the same and nothing is measured. Limit:
// 1/32 in (0.8 mm), twice the +-1/64 in on the joint of the Natural Stone
// Institute's homeowner's guide (2008), section 9; equal passes.
func seamMismatch() Rule {
	return Rule{
		ID:         "seam-mismatch",
		Severities: []Severity{Stop},
		What:       "Seams whose two edges do not fit each other.",
		Why:        "The joint gapes or the pieces bind, and an edge has to be cut again on site.",
		How: "The gap between the two mating edges is measured along the whole seam, in pieces drawn apart after the mates are brought together. " +
			"The largest less the smallest gap counts, so the joint as drawn is taken off.",
		Limits: []string{"rules.seam_deviation", "rules.joint"},
		Check: func(in *Input, out *Findings) {
			limit := in.Settings.SeamDeviation
			for i := range in.Template.Seams {
				s := &in.Template.Seams[i]
				if d := s.MaxGap - s.MinGap; d > limit+asDrawn {
					out.Flag(in.mismatchFlag(s, d, limit))
				}
			}
		},
	}
}

func (in *Input) mismatchFlag(s *piece.Seam, d, limit float64) Flag {
	w, l := s.MaxAt, in.lengths()
	return Flag{
		Piece: s.Pieces[0], Other: s.ID, Witness: &w, At: w.Middle(), Stretch: s.Length,
		Measured: d, Limit: limit, Unit: "mm",
		Message: fmt.Sprintf("The mates of seam %s (%s and %s) fit to %s: the gap goes from %s at %s to %s at %s; %s may differ.",
			s.ID, s.Pieces[0], s.Pieces[1], l.Fine(d), l.Fine(s.MinGap), in.place(s.MinAt.Middle()), l.Fine(s.MaxGap), in.place(w.Middle()), l.Of(limit)),
		Remedy: fmt.Sprintf("Measure both edges again and draw them as mates, a joint of %s all along within %s.", l.Of(in.Settings.Joint), l.Down(limit)),
	}
}
