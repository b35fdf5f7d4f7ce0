package rules

import (
	"fmt"
)

// tooTallForPolisher finds pieces whose finished edge the edge-polishing line
// cannot reach because the piece stands too tall in it. Measured is the extent
// of the piece square to the finished side: on the line it stands on, or hangs
// from, that side. The tallest side of a piece is told. Equal passes. A side that
// is finished by hand whatever the height, being shorter than the line feeds or
// set back behind other stone, is not held against it. Limit: 96 in, common
// practice, no source.
func tooTallForPolisher() Rule {
	return Rule{
		ID:         "too-tall-for-polisher",
		Severities: []Severity{Warn},
		What:       "Pieces too tall for the edge-polishing line.",
		Why:        "The edge has to be finished by hand or on the router, which takes hours that nobody planned.",
		How: "The extent of the whole piece square to each side with a straight finished edge, since the piece stands in the line on that side. " +
			"Pieces without a finished straight edge never go there and are not looked at, nor are sides shorter than the line feeds or set back behind other stone.",
		Limits: []string{"shop.polisher.max_height", "shop.polisher.least_length", "shop.polisher.deepest_step"},
		Check: func(in *Input, out *Findings) {
			limit, l := in.Shop.Polisher.MaxHeight, in.lengths()
			for i := range in.Template.Pieces {
				p := &in.Template.Pieces[i]
				tallest := -1
				passes := in.setup(p).Polish
				for k := range passes {
					if passes[k].TooTall && (tallest < 0 || passes[k].Height > passes[tallest].Height) {
						tallest = k
					}
				}
				if tallest < 0 {
					continue
				}
				pass := &passes[tallest]
				e := p.Edges[pass.Edges[0]-1]
				dir := e.Curves[0].Tangent(0).Left()
				w := widthAcross(p.Outline, dir)
				out.Flag(Flag{
					Piece: p.ID, At: w.Middle(), Witness: &w, Measured: pass.Height, Limit: limit, Unit: "mm",
					Message: fmt.Sprintf("Piece %s stands %s tall on its finished edge %d %s; the polishing line takes %s.",
						p.ID, l.Of(pass.Height), e.N, in.between(e.From(), e.To()), l.Down(limit)),
					Remedy: fmt.Sprintf("A seam that leaves at most %s square to the edge, or the edge finished by hand or on the router.", l.Down(limit)),
				})
			}
		},
	}
}
