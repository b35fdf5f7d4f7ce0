package rules

import (
	"fmt"
	"math"
	"slices"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/rules/shop"
)

// seamStepMismatch compares the steps of the two mates of a stepped seam: each
// step of one must meet one of the other at the same place along the seam, with
// the same depth. Measured is the larger of the two differences, of a step
// without a counterpart its depth. Mates drawn with a joint between them have
// their risers apart by it, which is no difference. Limit
// rules.seam_step_differs; equal passes.
func seamStepMismatch() Rule {
	return Rule{
		ID:         "seam-step-mismatch",
		Severities: []Severity{Stop},
		What:       "Steps in a seam that differ between its two pieces.",
		Why:        "The step is set by hand at the polisher for each piece; one that differs leaves a gap or does not go together.",
		How: "The steps of the mates are paired in order when both have as many, else the nearest ones first, in pieces drawn apart after the mates are brought together. " +
			"The larger of the difference in place along the seam, less the joint as drawn, and the difference in depth counts; a step that only one mate has counts with its depth.",
		Limits: []string{"rules.seam_step_differs"},
		Check: func(in *Input, out *Findings) {
			limit := in.Settings.SeamStepDiffers
			for i := range in.Template.Seams {
				s := &in.Template.Seams[i]
				for _, m := range pairSteps(s) {
					if m.measured() > limit+asDrawn {
						out.Flag(in.stepFlag(s, m, limit))
					}
				}
			}
		},
	}
}

// seamJump is one step of a mate: where, and by how much the side moves outward
// there against the stretch before it, seen along the first mate's travel.
type seamJump struct {
	piece string
	place geom.Point // in the first mate's frame
	along float64    // mm from the start of the first mate
	depth float64    // mm; both mates of a fitting step have the same
}

// stepPair is a step with its counterpart, nil when it has none.
type stepPair struct {
	a, b  *seamJump
	joint float64 // mm that the mates are drawn apart all along, not below 0
}

// apart returns by how much the two differ along the seam and in depth. Risers
// that lie open by no more than the joint do not differ: seam-mismatch judges
// the gap between them.
func (m stepPair) apart() (along, depth float64) {
	opening := math.Copysign(1, m.a.depth) * (m.a.along - m.b.along)
	along = math.Abs(opening - math.Max(0, math.Min(opening, m.joint)))
	return along, math.Abs(m.a.depth - m.b.depth)
}

func (m stepPair) measured() float64 {
	switch {
	case m.a == nil:
		return math.Abs(m.b.depth)
	case m.b == nil:
		return math.Abs(m.a.depth)
	}
	return math.Max(m.apart())
}

// pairSteps pairs the steps of the two mates as the set-up of the seam does.
func pairSteps(s *piece.Seam) []stepPair {
	if len(s.Steps) == 0 || len(s.Chains[0]) == 0 || len(s.Chains[1]) == 0 {
		return nil
	}
	a, b := jumps(s, 0), jumps(s, 1)
	// What one side stands out the other stands back.
	ofA, ofB := asSteps(a, 1), asSteps(b, -1)
	var out []stepPair
	for _, d := range shop.CompareSteps(ofA, ofB) {
		out = append(out, stepPair{jumpOf(a, ofA, d.A), jumpOf(b, ofB, d.B), math.Max(0, s.MinGap)})
	}
	return out
}

func asSteps(list []seamJump, sign float64) []shop.Step {
	out := make([]shop.Step, len(list))
	for i, j := range list {
		out[i] = shop.Step{At: j.along, Offset: sign * j.depth}
	}
	return out
}

// jumpOf returns the step of the list that one of its steps stands for, nil for
// none.
func jumpOf(list []seamJump, steps []shop.Step, one *shop.Step) *seamJump {
	for i := range steps {
		if &steps[i] == one {
			return &list[i]
		}
	}
	return nil
}

// jumps returns the steps of mate k. The mates run against each other, so the
// last step of one meets the first of the other; outward of one is inward of
// the other and before is after, so the depths of a fitting step are equal.
func jumps(s *piece.Seam, k int) []seamJump {
	first := s.Chains[0]
	u := first[0].Tangent(0)
	move := func(p geom.Point) geom.Point { return p }
	if k == 1 && s.Apart && len(s.Moved) > 0 {
		move = motion(s.Chains[1][0], s.Moved[0])
	}
	var out []seamJump
	before := 0.0
	for _, st := range s.Steps {
		if st.Piece != s.Pieces[k] {
			continue
		}
		p := move(st.Place)
		out = append(out, seamJump{st.Piece, p, u.Dot(p.Sub(first[0].A)), st.Depth - before})
		before = st.Depth
	}
	slices.SortStableFunc(out, func(a, b seamJump) int {
		switch {
		case a.along < b.along:
			return -1
		case a.along > b.along:
			return 1
		}
		return 0
	})
	return out
}

// motion returns the rigid motion that takes one curve to the other.
func motion(from, to geom.Curve) func(geom.Point) geom.Point {
	u, v := from.B.Sub(from.A), to.B.Sub(to.A)
	turn := math.Atan2(u.Cross(v), u.Dot(v))
	return func(p geom.Point) geom.Point { return p.Sub(from.A).Rotate(turn).Add(to.A) }
}

func (in *Input) stepFlag(s *piece.Seam, m stepPair, limit float64) Flag {
	l := in.lengths()
	f := Flag{Piece: s.Pieces[0], Other: s.ID, Measured: m.measured(), Limit: limit, Unit: "mm"}
	if m.a == nil || m.b == nil {
		has, lacks := m.a, s.Pieces[1]
		if has == nil {
			has, lacks = m.b, s.Pieces[0]
		}
		f.Piece, f.At = has.piece, has.place
		f.Message = fmt.Sprintf("In seam %s piece %s has a step of %s at %s; its mate %s has none there.",
			s.ID, has.piece, l.Of(math.Abs(has.depth)), in.place(has.place), lacks)
		f.Remedy = fmt.Sprintf("The same step in piece %s, %s deep, or a seam without it.", lacks, l.Of(math.Abs(has.depth)))
		return f
	}
	along, depth := m.apart()
	f.Witness = &geom.Witness{From: m.a.place, To: m.b.place}
	f.At = f.Witness.Middle()
	past := ""
	if m.joint > asDrawn {
		past = fmt.Sprintf(" beside the joint of %s", l.Of(m.joint))
	}
	f.Message = fmt.Sprintf("The step in seam %s at %s is %s deep in %s and %s deep in %s, and its place differs by %s%s; %s may differ.",
		s.ID, in.place(f.At), l.Of(math.Abs(m.a.depth)), m.a.piece, l.Of(math.Abs(m.b.depth)), m.b.piece, l.Of(along), past, l.Of(limit))
	if depth >= along {
		f.Remedy = fmt.Sprintf("Cut the step %s deep in both pieces.", l.Of(math.Abs(m.a.depth)))
	} else {
		f.Remedy = fmt.Sprintf("Move the step of piece %s by %s along the seam.", m.b.piece, l.Of(along))
	}
	return f
}
