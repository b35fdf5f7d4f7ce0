package settings

import (
	"fmt"
	"slices"

	"trueup/dxfio"
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
	for _, f := range s.Rules.Validate() {
		d.fault("rules."+f.Key, "rules."+f.Key, f.Found)
	}
	if err := s.Report.Validate(); err != nil {
		d.fault("report", "report", err.Error())
	}
	if s.Closing.Join > s.Closing.Bridge {
		d.fault("closing.join", "closing.join", "above closing.bridge; joining is the tighter limit")
	}
}
