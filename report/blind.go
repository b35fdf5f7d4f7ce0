package report

import (
	"slices"
	"strings"

	"trueup/rules"
)

// blindStops names the rules that could have stopped the template and could not
// look at all of it, in the order of the catalogue.
func blindStops(r *Result) []string {
	var out []string
	for _, rule := range rules.Catalogue() {
		blind := slices.ContainsFunc(r.Unchecked, func(u Unchecked) bool { return u.Rule == rule.ID })
		if blind && slices.Contains(rule.Severities, rules.Stop) {
			out = append(out, rule.ID)
		}
	}
	return out
}

// mostReasons is how many reasons the line below the headline gives; the summary
// lists them further down.
const mostReasons = 3

// blindWords says which checks that could have stopped the template were not
// made, and why; those for the same reason together. Empty when all were made.
func blindWords(r *Result) string {
	type group struct {
		why   string
		rules []string
	}
	var groups []group
	for _, id := range blindStops(r) {
		for _, u := range r.Unchecked {
			if u.Rule != id {
				continue
			}
			k := slices.IndexFunc(groups, func(g group) bool { return g.why == u.Why })
			if k < 0 {
				k = len(groups)
				groups = append(groups, group{why: u.Why})
			}
			if !slices.Contains(groups[k].rules, id) {
				groups[k].rules = append(groups[k].rules, id)
			}
		}
	}
	if len(groups) == 0 {
		return ""
	}
	var parts []string
	for i, g := range groups {
		if i == mostReasons {
			parts = append(parts, "and more: see below")
			break
		}
		parts = append(parts, strings.Join(g.rules, ", ")+" ("+lineText(g.why)+")")
	}
	return "Not checked: " + strings.Join(parts, "; ")
}
