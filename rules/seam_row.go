package rules

import (
	"cmp"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// seamRow is a seam line that divides nothing: one curve, or dashes in a row, as
// some programs write a dashed line.
type seamRow struct {
	piece.Problem
	dashes int
	gap    geom.Witness // the widest between two dashes
}

// dashGap is the widest gap in mm between two dashes of one seam, inRow how far a
// dash may lie off the line of another, or overlap it: far below what separates
// two seams.
const (
	dashGap = 100.0
	inRow   = 1.0
)

// seamRows returns the stray seams, straight ones in a row as one, whatever their
// order and direction. Each line is compared with each: past a number on a layer
// problems are only counted, so there are few.
func seamRows(problems []piece.Problem) []seamRow {
	var rows []seamRow
	var straight []*piece.Problem
	for i := range problems {
		switch p := &problems[i]; {
		case p.Kind != piece.StraySeam:
		case p.Count <= 1 && math.Abs(p.Witness.Length()-p.Measured) <= geom.Tolerance && p.Measured > 0:
			straight = append(straight, p)
		default:
			rows = append(rows, seamRow{Problem: *p, dashes: 1})
		}
	}
	// The longest tells the direction best.
	slices.SortStableFunc(straight, func(p, q *piece.Problem) int { return cmp.Compare(q.Measured, p.Measured) })
	for len(straight) > 0 {
		base := straight[0]
		u := base.Witness.To.Sub(base.Witness.From).Unit()
		lies := func(at geom.Point) bool { return math.Abs(u.Cross(at.Sub(base.Witness.From))) <= inRow }
		var line, rest []*piece.Problem
		for _, p := range straight {
			if p.Layer == base.Layer && lies(p.Witness.From) && lies(p.Witness.To) {
				line = append(line, p)
			} else {
				rest = append(rest, p)
			}
		}
		rows, straight = append(rows, alongLine(line, u)...), rest
	}
	return rows
}

// alongLine joins lines on one line along u to rows. What overlaps is a row of its
// own: two seams, or one drawn as two lines.
func alongLine(line []*piece.Problem, u geom.Point) []seamRow {
	var rows []seamRow
	var list []seamRow
	for _, p := range line {
		r := seamRow{Problem: *p, dashes: 1}
		if u.Dot(p.Witness.To.Sub(p.Witness.From)) < 0 {
			r.Witness.From, r.Witness.To = r.Witness.To, r.Witness.From
		}
		list = append(list, r)
	}
	slices.SortStableFunc(list, func(a, b seamRow) int { return cmp.Compare(u.Dot(a.Witness.From), u.Dot(b.Witness.From)) })
	for _, r := range list {
		n := len(rows) - 1
		if n < 0 {
			rows = append(rows, r)
			continue
		}
		last := &rows[n]
		beyond := u.Dot(r.Witness.From.Sub(last.Witness.To))
		if beyond < -inRow || beyond > dashGap {
			rows = append(rows, r)
			continue
		}
		last.gap = longer(last.gap, geom.Witness{From: last.Witness.To, To: r.Witness.From})
		last.Witness.To, last.dashes = r.Witness.To, last.dashes+1
		last.At, last.Measured = last.Witness.Middle(), last.Witness.Length()
	}
	return rows
}

func longer(a, b geom.Witness) geom.Witness {
	if b.Length() > a.Length() {
		return b
	}
	return a
}
