package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// seamUnsupported finds seams that nothing carries somewhere. Measured is the
// length of the stretch along the seam without support under it or within
// support.SeamReach beside it; the limit is 0. The end of a seam may run out
// over the front of the cabinets by support.SeamLip, not over an opening. No
// seam over a dishwasher: Dimension Stone Design Manual 8.0 (2016), drawing
// 17-D-1; support along every seam: common practice, no source.
func seamUnsupported() Rule {
	return Rule{
		ID:         "seam-unsupported",
		Severities: []Severity{Stop},
		What:       "Seams over an opening or over a gap between supports.",
		Why:        "The two edges move against each other, and the joint opens or chips.",
		How: "Along the whole seam there must be support under it or within 3 mm beside it. The end of a seam may run out over the front of the cabinets by up to 50 mm, but not over an opening; " +
			"gaps under 10 mm between cabinets do not count, whether the seam crosses one or runs along it. Seams whose pieces have no drawn support are not checked, nor those that are mitred on both sides, where stone folds down.",
		Limits: []string{"rules.support.line_bearing"},
		Check: func(in *Input, out *Findings) {
			if !in.Template.HasSupport {
				out.Unchecked(noSupportLayer)
				return
			}
			for i := range in.Template.Seams {
				in.checkSeamSupport(&in.Template.Seams[i], out)
			}
		},
	}
}

func (in *Input) checkSeamSupport(s *piece.Seam, out *Findings) {
	if in.Shop.Saw.Fold(in.Template, s) {
		out.Unchecked(fmt.Sprintf("seam %s is mitred on both sides, as where stone folds down: the plan does not show what carries it there", s.ID))
		return
	}
	stretches, known := in.site().UnsupportedSeam(in.Template, s, func(id string) bool {
		p := in.pieceByID(id)
		return p != nil && in.carried(p).model.Carried()
	})
	if !known {
		out.Unchecked(fmt.Sprintf("no support is drawn under the pieces of seam %s", s.ID))
		return
	}
	for _, st := range stretches {
		w := st.Line
		where := "without support under it"
		if st.Over {
			where = "over an opening"
		}
		out.Flag(Flag{
			Piece: st.Piece, Other: s.ID, Witness: &w, At: w.Middle(), Stretch: st.Length,
			Measured: st.Length, Limit: 0, Unit: "mm",
			Message: fmt.Sprintf("Seam %s between %s and %s lies %s over %s, %s.",
				s.ID, s.Pieces[0], s.Pieces[1], where, in.lengths().Of(st.Length), in.between(w.From, w.To)),
			Remedy: fmt.Sprintf("A support under the seam from %s to %s, or the seam over the nearest cabinet.", in.place(w.From), in.place(w.To)),
		})
	}
}
