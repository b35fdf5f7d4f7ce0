package rules

import (
	"fmt"
	"strings"

	"trueup/rules/support"
)

// overhang finds stone that overhangs too far. The measured value is the chord
// from the support, or from the line between two supports, through the worst
// point to the end of the stone; where no straight line from any support reaches
// a point at all it is the distance to the nearest support. An overhang equal to
// the limit passes. Limits: 152 mm at 2 cm, 254 mm at 3 cm, Dimension Stone
// Design Manual 8.0 (2016), ch. 17.
func overhang() Rule {
	return Rule{
		ID:         "overhang",
		Severities: []Severity{Stop},
		What:       "Stone that overhangs its supports too far.",
		Why:        "The top tips or breaks off at the support when somebody leans or sits on it.",
		How: "At every point of the top without support under it the best direction counts: support on one side only makes an overhang, measured from the support to the end of the stone. " +
			"It may stand on the line between two supports, whose own span is checked. Openings carry nothing, cutouts end the stone. " +
			"A top longer than a span and wider than an overhang may be, under which no support is drawn while others have some, is a stop too, unless its name says that it stands or lies elsewhere (waterfall, panel, leg, splash, sill, shelf, hearth). " +
			"Other tops without drawn support and thicknesses without limits are not checked; splash pieces are not looked at. Screening, not a structural design.",
		Limits: []string{"rules.support.limit", "rules.support.grace"},
		Check: func(in *Input, out *Findings) {
			in.eachBare(func(c *carriedPiece) { out.Flag(in.bareFlag(c)) })
			in.eachCarried(out, func(c *carriedPiece) {
				r := c.past()
				for i := range r.Places {
					switch p := &r.Places[i]; p.Kind {
					case support.Cantilever:
						out.Flag(in.overhangFlag(c, p))
					case support.Unhelped:
						out.Flag(in.unhelpedFlag(c, p))
					}
				}
				if !r.Sure {
					out.Blind(c.ID, intricate)
				}
			})
		},
	}
}

func (in *Input) overhangFlag(c *carriedPiece, p *support.Place) Flag {
	w, l := p.Line, in.lengths()
	from := "its support"
	if p.Stands != nil {
		from = "the line between its supports"
	}
	edge := in.edgeText(p)
	where := edge
	if p.Ends.Length() == 0 {
		where = "at " + in.place(p.Line.To)
	}
	return Flag{
		Piece: c.ID, At: p.At, Anchor: &p.Middle, Witness: &w, Stretch: p.Stretch,
		Measured: p.Length(), Limit: c.limits.Cantilever, Unit: "mm",
		Message: fmt.Sprintf("Piece %s overhangs %s by up to %s %s; %s mm stone may overhang %s.",
			c.ID, from, l.Of(p.Length()), where, number(c.Thickness), in.bearable(c.limits.Cantilever)),
		Remedy: fmt.Sprintf("%s, or %s less overhang.", in.brackets(c, p, in.bearable(c.limits.Cantilever)), l.Up(p.Length()-c.limits.Cantilever)),
	}
}

func (in *Input) unhelpedFlag(c *carriedPiece, p *support.Place) Flag {
	w, l := p.Line, in.lengths()
	return Flag{
		// The distance is held against nothing: beside the limit of an overhang it
		// would read as if the stone were within it.
		Piece: c.ID, At: p.At, Anchor: &p.Middle, Witness: &w, Stretch: p.Stretch,
		Measured: p.Length(), NoLimit: true, Unit: "mm",
		Message: fmt.Sprintf("No support carries piece %s at %s from any side; the nearest ends %s away.", c.ID, in.place(p.At), l.Of(p.Length())),
		Remedy:  fmt.Sprintf("A support under %s, or within %s of the edges around it.", in.place(p.At), in.bearable(c.limits.Cantilever)),
	}
}

// edgeText says along which edge the place's stone hangs: all around, around its
// worst point, from end to end of what wraps around corners, or between the ends
// of a straight one.
func (in *Input) edgeText(p *support.Place) string {
	least, most := p.Extent(p.Line.To.Sub(p.Line.From).Unit().Left())
	apart := p.Ends.Length()
	switch {
	case p.Stretch == 0 || p.Stretch < (most-least)/2:
		return "around " + in.place(p.Line.To)
	case apart == 0:
		return "all around"
	case p.Stretch > bentEdge*apart:
		return fmt.Sprintf("from %s around %s to %s", in.place(p.Ends.From), in.place(p.Line.To), in.place(p.Ends.To))
	}
	return in.between(p.Ends.From, p.Ends.To)
}

// brackets tells how to carry the edge of a place so that no stone is farther than
// within from support. An edge with ends wants a bracket at either: beside one set in
// from the corner the corner itself hangs too far.
func (in *Input) brackets(c *carriedPiece, p *support.Place, within string) string {
	edge, ends := in.edgeText(p), ""
	if strings.HasPrefix(edge, "between") || strings.HasPrefix(edge, "from") {
		ends = ", one at either end,"
	}
	return fmt.Sprintf("Brackets at most %s apart%s that reach within %s of the edge %s", in.bearable(c.limits.Span), ends, within, edge)
}

// bentEdge is the length of an edge over the distance of its ends from which it
// is told by a place between them too: a quarter of a circle has 1.11, two sides
// of a square 1.41.
const bentEdge = 1.25
