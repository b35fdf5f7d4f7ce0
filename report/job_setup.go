package report

import (
	"fmt"
	"strings"

	"trueup/dxfio/piece"
	"trueup/rules/shop"
)

// JobSetup is the set-up figures of a whole template.
type JobSetup struct {
	SawMinutes    float64       `json:"saw_minutes"`
	RouterMinutes float64       `json:"router_minutes"`
	PolishMinutes float64       `json:"polish_minutes"`
	Minutes       float64       `json:"minutes"` // machine time in all, not the time until the job is done
	Slabs         []SlabBound   `json:"slabs"`
	PolishGroups  []PolishGroup `json:"polish_groups"`
	SeamSides     []SeamSide    `json:"seam_sides"`
}

// SlabBound is the least number of slabs of one material and thickness: a bound,
// never a nesting.
type SlabBound struct {
	Material  string   `json:"material"`
	Thickness float64  `json:"thickness_mm"`
	Least     int      `json:"least"`
	TooBig    []string `json:"too_big"` // pieces that fit no slab, not counted
	Why       string   `json:"why"`
}

// PolishGroup is the passes that share one set-up of the polisher.
type PolishGroup struct {
	Material  string         `json:"material"`
	Thickness float64        `json:"thickness_mm"`
	Profile   string         `json:"profile"`
	Steps     []Step         `json:"steps"` // as set, from the leading end
	Passes    []PolishMember `json:"passes"`
}

// PolishMember is one pass of a group.
type PolishMember struct {
	Piece    string `json:"piece"`
	Edges    []int  `json:"edges"`
	EndLeads bool   `json:"end_leads"` // the side's end, counter-clockwise, goes in first
}

// SeamSide is one mate's side of a seam: its steps from either end and what the
// router has to finish of it.
type SeamSide struct {
	Seam           string  `json:"seam"`
	Piece          string  `json:"piece"`
	Length         float64 `json:"length_mm"`
	Router         float64 `json:"router_mm"`
	StepsLeadStart []Step  `json:"steps_lead_start"`
	StepsLeadEnd   []Step  `json:"steps_lead_end"`
}

// jobSetup works out the figures of the whole template; nil without pieces or
// without the shop's machines.
func (b *builder) jobSetup(t *piece.Template) *JobSetup {
	if b.in.Shop == nil || t == nil || len(t.Pieces) == 0 {
		return nil
	}
	number := func(v float64) float64 { return b.number("job set-up", v) }
	steps := func(in []shop.Step) []Step {
		out := []Step{}
		for _, s := range in {
			out = append(out, Step{number(s.At), number(s.Offset)})
		}
		return out
	}
	time := shop.JobTime(b.in.Setups)
	job := &JobSetup{number(time.Saw), number(time.Router), number(time.Polisher), number(time.Total),
		[]SlabBound{}, []PolishGroup{}, []SeamSide{}}
	for _, c := range shop.SlabBound(t, b.in.Shop, b.in.Setups) {
		job.Slabs = append(job.Slabs, SlabBound{c.Material, number(c.Thickness), c.Least, append([]string{}, c.TooBig...), c.Why})
	}
	for _, g := range shop.Groups(b.in.Setups, b.in.Shop) {
		group := PolishGroup{g.Material, number(g.Thickness), g.Profile, steps(g.Steps), []PolishMember{}}
		for _, m := range g.Members {
			edges := append([]int{}, b.in.Setups[m.Piece].Polish[m.Pass].Edges...)
			group.Passes = append(group.Passes, PolishMember{m.Piece, edges, m.EndLeads})
		}
		job.PolishGroups = append(job.PolishGroups, group)
	}
	for i := range t.Seams {
		seam := shop.SeamSetUp(&t.Seams[i], b.in.Setups)
		for _, side := range seam.Sides {
			job.SeamSides = append(job.SeamSides, SeamSide{seam.Seam, side.Piece, number(side.Length), number(side.RouterLeft),
				steps(side.StepsLeadStart), steps(side.StepsLeadEnd)})
		}
	}
	return job
}

// jobRows writes the figures of the whole template above those of the pieces.
func (t *setupTable) jobRows(b *book) {
	job := b.in.Result.JobSetup
	if job == nil {
		return
	}
	const all = "whole job"
	for _, m := range []struct {
		name    string
		minutes float64
	}{{"saw", job.SawMinutes}, {"router", job.RouterMinutes}, {"edge polisher", job.PolishMinutes}, {"all machines", job.Minutes}} {
		t.row(all, m.name, nil, nil, nil, m.minutes, nil)
	}
	for _, s := range job.Slabs {
		said := fmt.Sprintf("at least %d: %s", s.Least, s.Why)
		if len(s.TooBig) > 0 {
			said += "; too big for any: " + strings.Join(s.TooBig, ", ")
		}
		t.row(all, "slabs", fmt.Sprintf("%s, %g mm", s.Material, s.Thickness), said, nil, nil, nil)
	}
	for i, g := range job.PolishGroups {
		if len(g.Passes) < 2 {
			continue
		}
		parts := make([]string, len(g.Passes))
		for j, m := range g.Passes {
			end := "start"
			if m.EndLeads {
				end = "end"
			}
			parts[j] = fmt.Sprintf("%s %s (%s leads)", m.Piece, joinInts(m.Edges), end)
		}
		t.row(all, "edge polisher, set once", fmt.Sprintf("group %d", i+1), strings.Join(parts, ", "), nil, nil, nil)
	}
	for _, s := range job.SeamSides {
		t.row(s.Piece, "seam, left for the router", s.Seam, nil, s.Router, nil, nil)
		for _, lead := range []lead{{"start leads", s.StepsLeadStart}, {"end leads", s.StepsLeadEnd}} {
			for _, step := range lead.steps {
				t.row(s.Piece, "seam, step", s.Seam, lead.name, nil, nil, &step)
			}
		}
	}
}
