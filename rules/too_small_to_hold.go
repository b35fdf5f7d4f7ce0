package rules

import (
	"fmt"

	"trueup/dxfio/geom"
)

// tooSmallToHold finds pieces that clamps and vacuum cups cannot hold while they
// are cut and polished. Measured is the length or width of the smallest
// rectangle around the piece, whichever falls shorter of its limit as a share of
// it; equal passes. Limits: common practice, no source.
func tooSmallToHold() Rule {
	return Rule{
		ID:         "too-small-to-hold",
		Severities: []Severity{Warn},
		What:       "Pieces too small to be held by the machines.",
		Why:        "A piece that slips under the blade or the polisher is lost, and may hurt the operator.",
		How:        "Length and width of the smallest rectangle around the piece, at any angle, against the least length and the least width that can be held.",
		Limits:     []string{"shop.hold.least_length", "shop.hold.least_width"},
		Check: func(in *Input, out *Findings) {
			least, l := &in.Shop.Hold, in.lengths()
			for i := range in.Template.Pieces {
				p := &in.Template.Pieces[i]
				box := in.setup(p).Rectangle
				short, narrow := box.Length < least.Length-geom.Tolerance, box.Width < least.Width-geom.Tolerance
				if !short && !narrow {
					continue
				}
				measured, limit, what := box.Length, least.Length, "long"
				from, to := box.Corners()[0], box.Corners()[1]
				if !short || narrow && box.Width*least.Length < box.Length*least.Width {
					measured, limit, what = box.Width, least.Width, "wide"
					from, to = box.Corners()[1], box.Corners()[2]
				}
				half := box.Center.Sub(from.Lerp(to, 0.5))
				w := geom.Witness{From: from.Add(half), To: to.Add(half)}
				out.Flag(Flag{
					Piece: p.ID, At: box.Center, Witness: &w, Measured: measured, Limit: limit, Unit: "mm",
					Message: fmt.Sprintf("Piece %s is %s %s; the machines hold nothing under %s.", p.ID, l.Under(measured, limit), what, l.Up(limit)),
					Remedy:  fmt.Sprintf("Make it part of its neighbour, cut it as %s and trim it last, or work it by hand in a jig.", l.Up(limit)),
				})
			}
		},
	}
}
