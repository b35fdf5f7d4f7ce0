package rules

import (
	"fmt"

	"trueup/dxfio/piece"
)

// wideLine reports polylines that are to be cut and have a width: a band, of which the
// middle line was read. A hole drawn as a filled ring is half as wide again. Measured is
// the largest width on the layer in mm.
func wideLine() Rule {
	return Rule{
		ID:         "wide-line",
		Severities: []Severity{Stop},
		What:       "Lines to be cut that are drawn as a band.",
		Why:        "The middle of the band is cut; its rim, which may be what was meant, lies half its width away. A tap hole drawn as a filled ring would come out too small.",
		How:        "The widths that polylines of outlines and cutouts carry; one flag a layer, with the largest.",
		Limits:     []string{"pieces.line_width"},
		Check: fromProblems(piece.WideLine, func(in *Input, p *piece.Problem, f *Flag) {
			f.Measured, f.Limit, f.NoLimit, f.Unit = p.Measured, p.Limit, false, "mm"
			f.Message = fmt.Sprintf("%s on layer %s %s up to %s wide, the first at %s; the middle of the width is cut.", drawnEntities(p.Count), p.Layer, isAre(p.Count), in.lengths().Of(p.Measured), in.place(p.At))
			f.Remedy = fmt.Sprintf("Set the width to 0 in CAD and see that the lines are where the edges should be. Accepting cuts the middle lines; where a shop always draws so, pieces.line_width in the settings may be %s.", in.lengths().Of(p.Measured))
		}),
	}
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}
