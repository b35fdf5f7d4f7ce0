package rules

import (
	"fmt"
	"math"
	"strings"

	"trueup/dxfio/geom"
	"trueup/rules/support"
)

// unsupportedSpan finds stone that spans too far between supports. The search is
// that of package support; the measured value is the chord between the supports
// on both sides of the worst point, exact at that point and at most
// support.Slack shorter than the worst there is. A span equal to the limit
// passes. Limits: 610 mm at 2 cm, 914 mm at 3 cm, Dimension Stone Design Manual
// 8.0 (2016), ch. 17.
func unsupportedSpan() Rule {
	return Rule{
		ID:         "unsupported-span",
		Severities: []Severity{Stop},
		What:       "Stone that spans too far between supports.",
		Why:        "The top cracks when somebody stands or leans on it.",
		How: "At every point of the top without support under it the best direction counts: there the distance between the supports on both sides is the span. " +
			"Openings carry nothing, cutouts interrupt, lines carry over their bearing width. Front strips before an opening count from the line between the supports beside it. Between two such lines, as on a table with four legs, the top spans, and the lines count as spans themselves. " +
			"Tops without drawn support and thicknesses without limits are not checked; splash pieces are not looked at. Screening, not a structural design.",
		Limits: []string{"rules.support.limit", "rules.support.grace"},
		Check: func(in *Input, out *Findings) {
			in.eachCarried(out, func(c *carriedPiece) {
				r := c.past()
				for i := range r.Places {
					if p := &r.Places[i]; p.Kind == support.Span {
						out.Flag(in.spanFlag(c, p))
					}
				}
				if !r.Sure {
					out.Blind(c.ID, intricate)
				}
			})
		},
	}
}

func (in *Input) spanFlag(c *carriedPiece, p *support.Place) Flag {
	w, l := p.Line, in.lengths()
	return Flag{
		Piece: c.ID, At: p.At, Anchor: &p.Middle, Witness: &w, Stretch: p.Stretch,
		Measured: p.Length(), Limit: c.limits.Span, Unit: "mm",
		Message: fmt.Sprintf("Piece %s spans %s without support %s; %s mm stone may span %s.",
			c.ID, l.Of(p.Length()), in.between(w.From, w.To), number(c.Thickness), in.bearable(c.limits.Span)),
		Remedy: in.spanRemedy(c, p),
	}
}

// spanRemedy names the lines across the place on which further supports leave no
// span over the limit.
func (in *Input) spanRemedy(c *carriedPiece, p *support.Place) string {
	lines := in.supportLines(c, p)
	texts := make([]string, len(lines))
	for i, l := range lines {
		texts[i] = fmt.Sprintf("from %s to %s", in.place(l.From), in.place(l.To))
	}
	what := "A support"
	if len(lines) > 1 {
		what = fmt.Sprintf("%d supports", len(lines))
	}
	return fmt.Sprintf("%s under the span, %s, so that no span is longer than %s.", what, strings.Join(texts, " and "), in.bearable(c.limits.Span))
}

// supportLines returns the lines that divide a span into equal parts within the
// limit, each across all of the place's stone.
func (in *Input) supportLines(c *carriedPiece, p *support.Place) []geom.Witness {
	d := p.Line.To.Sub(p.Line.From).Unit()
	n := d.Left()
	parts := int(math.Ceil(p.Length() / (c.limits.Span + in.Settings.Support.Grace)))
	least, most := p.Extent(n)
	base := p.Line.From.Sub(n.Mul(n.Dot(p.Line.From)))
	lines := make([]geom.Witness, 0, parts)
	for i := 1; i < parts; i++ {
		q := base.Add(d.Mul(p.Length() * float64(i) / float64(parts)))
		lines = append(lines, geom.Witness{From: q.Add(n.Mul(least)), To: q.Add(n.Mul(most))})
	}
	return lines
}
