package rules

import (
	"fmt"

	"trueup/rules/support"
)

// overhangShare finds overhangs that are too large a part of the whole stone
// behind them. Where no direction keeps both the longest overhang and the share,
// the overhang of the point's best direction is compared with the whole width of
// the top along the same line, from edge to edge: a sink in it does not make the
// front strip an overhang of its own. A share equal to the limit passes,
// and one that is over by no more than rounded coordinates make of it (shareGrace). Limit: one third, Dimension Stone Design Manual 8.0 (2016),
// ch. 17, which asks it beside the longest overhang: both apply.
func overhangShare() Rule {
	return Rule{
		ID:         "overhang-share",
		Severities: []Severity{Stop},
		What:       "Overhangs that are too large a part of the top's width.",
		Why:        "Too little stone lies on the supports to hold the part that hangs.",
		How: "As overhang; the overhang is compared with the whole width of the top along its line, from edge to edge, cutouts included. " +
			"Points that span between supports, or between lines from support to support, have no share. Screening, not a structural design.",
		Limits: []string{"rules.support.overhang_share"},
		Check: func(in *Input, out *Findings) {
			limit := in.Settings.Support.Share
			if limit <= 0 {
				out.Unchecked("the settings have no overhang share")
				return
			}
			in.eachCarried(out, func(c *carriedPiece) {
				r := c.shared()
				for i := range r.Places {
					if f, ok := in.shareFlag(c, &r.Places[i], limit); ok {
						out.Flag(f)
					}
				}
				if !r.Sure {
					out.Blind(c.ID, intricate)
				}
			})
		},
	}
}

func (in *Input) shareFlag(c *carriedPiece, p *support.Place, limit float64) (Flag, bool) {
	if p.Kind != support.Cantilever {
		return Flag{}, false
	}
	// The direction that keeps both best shows the share; where it keeps the share and
	// only the overhang is too long along it, the point's best direction counts.
	best, through := p.Chord, p.Through
	if best.Length() <= limit*(1+shareGrace)*through.Length() {
		best = c.model.Best(c.limits, p.At)
		through = c.model.Through(best.Line)
	}
	if best.Kind != support.Cantilever || through.Length() == 0 {
		return Flag{}, false
	}
	share := best.Length() / through.Length()
	if share <= limit*(1+shareGrace) {
		return Flag{}, false
	}
	w, l := best.Line, in.lengths()
	most := through.Length() * limit
	return Flag{
		Piece: c.ID, At: p.At, Anchor: &p.Middle, Witness: &w, Stretch: p.Stretch,
		Measured: share, Limit: limit, Unit: "share",
		Message: fmt.Sprintf("Piece %s overhangs by %s of its %s: %.1f %% of its width hangs, at most %.1f %% may.",
			c.ID, l.Of(best.Length()), l.Of(through.Length()), share*100, limit*100),
		Remedy: fmt.Sprintf("%s, or %s less overhang with the same support.", in.brackets(c, p, l.Down(most)), l.Up((best.Length()-most)/(1-limit))),
	}, true
}

// shareGrace is the part of the share by which it may be over and still pass: on a
// top of a metre it is what coordinates written to a hundredth of a millimetre
// can make of a third.
const shareGrace = 1e-4
