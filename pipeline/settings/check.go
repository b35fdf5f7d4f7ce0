package settings

import (
	"fmt"
	"slices"

	"trueup/dxfio"
	"trueup/rules"
)

// check refuses settings that are each right but do not go together.
func (d *decoder) check(s *Settings) {
	if s.Units != "" {
		if _, ok := dxfio.ParseUnit(s.Units); !ok {
			d.fault("units", "units", fmt.Sprintf("%q is not a unit; allowed: mm, cm, m, in, ft, or empty", s.Units))
		}
	}
	if !slices.Contains([]string{"drawing", "mm", "in"}, s.CleanUnit) {
		d.fault("clean_units", "clean_units", fmt.Sprintf("%q; allowed: drawing, mm, in", s.CleanUnit))
	}
	if _, ok := s.Shop.Material(s.Pieces.DefaultMaterial); !ok {
		d.fault("pieces.material", "pieces.material",
			fmt.Sprintf("%q is not among the materials; add it under [[shop.material]]", s.Pieces.DefaultMaterial))
	}
	for _, f := range s.Shop.Validate(s.Pieces.Thickness) {
		d.fault("shop."+f.Key, "shop."+f.Key, f.Found)
	}
	for id, severity := range s.Rules.Severity {
		d.ruleID("rules.severity", id)
		if !slices.Contains([]rules.Severity{rules.Stop, rules.Warn, rules.Note}, rules.Severity(severity)) {
			d.fault("rules.severity."+id, "rules.severity."+id, fmt.Sprintf("%q; allowed: stop, warn, note", severity))
		}
	}
	for _, id := range s.Rules.Off {
		d.ruleID("rules.off", id)
	}
	if err := s.Report.Validate(); err != nil {
		d.fault("report", "report", err.Error())
	}
	if s.Rules.NarrowStop > s.Rules.NarrowWarn {
		d.fault("rules.narrow_stop", "rules.narrow_stop", "above rules.narrow_warn; a stop is the tighter limit")
	}
	if s.Closing.Join > s.Closing.Bridge {
		d.fault("closing.join", "closing.join", "above closing.bridge; joining is the tighter limit")
	}
}

// ruleID refuses a rule that does not exist.
func (d *decoder) ruleID(key, id string) {
	if _, ok := rules.Find(id); ok {
		return
	}
	known := map[string]int{}
	for i, r := range rules.Catalogue() {
		known[r.ID] = i
	}
	d.fault(key, key, fmt.Sprintf("no rule %q%s", id, nearest(id, known)))
}
