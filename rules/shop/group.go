package shop

import (
	"maps"
	"math"
	"slices"
)

// Group is the passes that share one set-up of the polisher: the operator sets
// once and feeds all of them.
type Group struct {
	Thickness float64
	Material  string
	Profile   string
	Steps     []Step // as set, from the leading end
	Members   []GroupMember
}

// GroupMember is one pass of a group.
type GroupMember struct {
	Piece string
	Pass  int // index in Setup.Polish
	// EndLeads is true when the side's end (counter-clockwise) has to lead for the
	// steps to stand as set.
	EndLeads bool
}

// Groups puts the passes that the edge line can polish into groups of the same
// thickness, material, profile and steps; two steps are the same when place and
// offset differ by no more than polisher.same_setup. A pass may be fed from
// either end. In order of piece and pass; each pass is in one group.
func Groups(setups map[string]*Setup, s *Settings) []Group {
	var out []Group
	for _, id := range slices.Sorted(maps.Keys(setups)) {
		set := setups[id]
		for i := range set.Polish {
			if p := &set.Polish[i]; p.HandWork == "" {
				out = join(out, set, p, GroupMember{Piece: id, Pass: i}, s.Polisher.SameSetup)
			}
		}
	}
	return out
}

func join(groups []Group, set *Setup, p *PolishPass, m GroupMember, same float64) []Group {
	for k := range groups {
		g := &groups[k]
		if g.Thickness != set.Thickness || g.Material != set.Material || g.Profile != p.Profile {
			continue
		}
		m.EndLeads = !sameSteps(g.Steps, p.StepsLeadStart, same)
		if !m.EndLeads || sameSteps(g.Steps, p.StepsLeadEnd, same) {
			g.Members = append(g.Members, m)
			return groups
		}
	}
	m.EndLeads = false
	return append(groups, Group{set.Thickness, set.Material, p.Profile, p.StepsLeadStart, []GroupMember{m}})
}

func sameSteps(a, b []Step, same float64) bool {
	return slices.EqualFunc(a, b, func(s, t Step) bool {
		return math.Abs(s.At-t.At) <= same && math.Abs(s.Offset-t.Offset) <= same
	})
}
