package rules

import (
	"fmt"
	"math"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/shop"
)

// tooBigForSlab finds pieces that no slab of their material and thickness holds.
// Every rotation is tried exactly, arcs counted; on a veined slab the long side
// of the piece lies along or across it. Measured is the length or width of the
// smallest rectangle around the piece, whichever is more above the usable slab's;
// a piece of just the usable size passes. The piece's own outline counts, without
// the saw's kerf. Slab sizes and margin: common practice, no source.
func tooBigForSlab() Rule {
	return Rule{
		ID:         "too-big-for-slab",
		Severities: []Severity{Stop},
		What:       "Pieces that fit no slab.",
		Why:        "The piece cannot be cut in one: it needs a seam or a larger slab, and both are cheaper before the order.",
		How: "The piece is turned every way over the usable slab, its length and width less the margin, arcs counted exactly; on a veined slab only with its long side along or across. " +
			"Measured is the side of the piece's smallest rectangle that is most above the slab's. Slabs of another material or thickness do not count; without one of the piece's own kind it is not checked.",
		Limits: []string{"shop.slab"},
		Check: func(in *Input, out *Findings) {
			for i := range in.Template.Pieces {
				p := &in.Template.Pieces[i]
				fit := in.setup(p).Slab
				switch {
				case fit.Why != "":
					out.Unchecked(fmt.Sprintf("piece %s: %s", p.ID, fit.Why))
				case !fit.OK:
					out.Flag(in.slabFlag(p, in.setup(p).Rectangle, &fit))
				}
			}
		},
	}
}

func (in *Input) slabFlag(p *piece.Piece, box geom.Rectangle, fit *shop.SlabFit) Flag {
	angle, measured, limit := box.AngleDeg, box.Length, math.Max(fit.HasLength, fit.HasWidth)
	if short := math.Min(fit.HasLength, fit.HasWidth); box.Width-short > measured-limit {
		angle, measured, limit = angle+90, box.Width, short
	}
	w := widthAcross(p.Outline, geom.Point{X: 1}.Rotate(angle*math.Pi/180))
	l := in.lengths()
	return Flag{
		Piece: p.ID, At: w.Middle(), Witness: &w, Measured: measured, Limit: limit, Unit: "mm",
		Message: fmt.Sprintf("Piece %s, %s, fits no slab however it is turned; the nearest, %q, has %s usable.",
			p.ID, l.Size(box.Length, box.Width), fit.Slab, l.Size(fit.HasLength, fit.HasWidth)),
		Remedy: fmt.Sprintf("A seam, or a slab at least %s larger both ways.", l.Up(fit.More)),
	}
}

// widthAcross returns the line across a loop in the unit direction dir, as long as
// the loop's extent, through the middle of its extent the other way.
func widthAcross(l geom.Loop, dir geom.Point) geom.Witness {
	least, most := l.Extent(dir)
	a, b := l.Extent(dir.Left())
	mid := dir.Left().Mul((a + b) / 2)
	return geom.Witness{From: dir.Mul(least).Add(mid), To: dir.Mul(most).Add(mid)}
}
