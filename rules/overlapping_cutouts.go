package rules

import (
	"fmt"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// overlappingCutouts reports two cutouts of a piece that share an area. Measured is
// that area in mm2, the witness the diagonal of its extent. What narrow-section and
// hole-spacing would say of the stone between them, that there is none, is left to
// this rule.
func overlappingCutouts() Rule {
	return Rule{
		ID:         "overlapping-cutouts",
		Severities: []Severity{Stop},
		What:       "Two cutouts of a piece that lie over each other.",
		Why:        "They are cut as one hole that neither a sink nor a cooktop fits: one of them has slipped, or is not to be cut.",
		How: "The common area of two cutouts of one piece, exact on arcs, also of round holes. Cutouts that share a side do not overlap; one that lies wholly in another is cutout-ambiguous or stray. " +
			"One drawn twice a hair apart is doubled-line.",
		Check: fromProblems(piece.OverlappingCutouts, func(in *Input, p *piece.Problem, f *Flag) {
			w, l := p.Witness, in.lengths()
			f.Witness, f.Measured, f.Unit = &w, p.Measured, "mm2"
			a, b := in.cutoutOf(p.Piece, p.Loops[0]), in.cutoutOf(p.Piece, p.Loops[1])
			if a == nil || b == nil {
				f.Message = fmt.Sprintf("Two cutouts of piece %s lie over each other by %s around %s.", p.Piece, in.overlapSize(p), in.place(p.At))
				f.Remedy = "Move one of the two, or delete the one that is not cut."
				return
			}
			between := math.Max(in.Settings.limitsFor(a.Kind).Warn, in.Settings.limitsFor(b.Kind).Warn)
			if a.Kind == piece.Hole || b.Kind == piece.Hole {
				between = in.Settings.HoleStone
			}
			f.Message = fmt.Sprintf("The %s %s and the %s %s lie over each other by %s around %s.", cutoutName(a.Kind), a.ID, cutoutName(b.Kind), b.ID, in.overlapSize(p), in.place(p.At))
			f.Remedy = fmt.Sprintf("Move one of the two until %s of stone are left between them, or delete the one that is not cut.", l.Up(between))
		}),
	}
}

// cutoutOf returns the cutout of a piece that has a loop, nil when there is none.
func (in *Input) cutoutOf(id string, l geom.Loop) *piece.Cutout {
	for i := range in.Template.Pieces {
		p := &in.Template.Pieces[i]
		for k := range p.Cutouts {
			if p.ID == id && slices.Equal(p.Cutouts[k].Loop, l) {
				return &p.Cutouts[k]
			}
		}
	}
	return nil
}

// overEachOther reports whether two cutouts of a piece were found to overlap.
func (in *Input) overEachOther(p *piece.Piece, c, d *piece.Cutout) bool {
	for i := range in.Template.Problems {
		q := &in.Template.Problems[i]
		if q.Kind == piece.OverlappingCutouts && q.Piece == p.ID && (q.Other == c.ID+" "+d.ID || q.Other == d.ID+" "+c.ID) {
			return true
		}
	}
	return false
}
