package rules

import (
	"fmt"
	"strings"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// fromProblems makes the check of a rule that reports what building the
// template found: a flag for each problem of one kind, filled in by word.
func fromProblems(kind piece.ProblemKind, word func(in *Input, p *piece.Problem, f *Flag)) func(*Input, *Findings) {
	return func(in *Input, out *Findings) {
		for i := range in.Template.Problems {
			p := &in.Template.Problems[i]
			if p.Kind != kind {
				continue
			}
			f := Flag{Piece: p.Piece, Other: p.Other, At: p.At, NoLimit: p.Limit == 0}
			if f.Other == "" {
				f.Other = p.Layer
			}
			word(in, p, &f)
			out.Flag(f)
		}
	}
}

// onLayer says where in the file something was drawn.
func onLayer(p *piece.Problem) string {
	if p.Layer == "" {
		return ""
	}
	return " on layer " + p.Layer
}

// listOf joins words as a sentence does: "a", "a and b", "a, b and c".
func listOf(words []string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
}

// fromTo says where a curve runs, or where it lies when it comes back to its
// start.
func (in *Input) fromTo(p *piece.Problem) string {
	if p.Witness.Length() <= geom.Tolerance {
		return "at " + in.place(p.At)
	}
	return fmt.Sprintf("from %s to %s", in.place(p.Witness.From), in.place(p.Witness.To))
}

// counted returns "1 curve" or "3 curves".
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return number(float64(n)) + " " + what + "s"
}

// drawnEntities counts entities as they were drawn: a polyline is one.
func drawnEntities(n int) string {
	if n == 1 {
		return "1 entity"
	}
	return number(float64(n)) + " entities"
}
