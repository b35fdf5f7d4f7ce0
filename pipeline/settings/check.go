package settings

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"trueup/dxfio"
	"trueup/report"
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
			fmt.Sprintf("%q is not among the materials%s; add it under [[shop.material]]", s.Pieces.DefaultMaterial, nearestMaterial(s)))
	}
	for _, f := range s.Shop.Validate(s.Pieces.Thickness) {
		d.fault("shop."+f.Key, "shop."+f.Key, f.Found)
	}
	for _, f := range s.Rules.Validate() {
		d.fault("rules."+f.Key, "rules."+f.Key, f.Found)
	}
	var wrong *report.WrongSetting
	if errors.As(s.Report.Validate(), &wrong) {
		d.fault("report."+wrong.Key, "report."+wrong.Key, wrong.Found)
	}
	if s.Closing.Join > s.Closing.Bridge {
		d.fault("closing.join", "closing.join", "above closing.bridge; joining is the tighter limit")
	}
}

// misspelt is the number of letters by which a material's name may be off and still
// be meant; with more, limestone would be suggested for soapstone.
const misspelt = 2

// nearestMaterial suggests the material that a name may have meant.
func nearestMaterial(s *Settings) string {
	meant := strings.ToLower(s.Pieces.DefaultMaterial)
	for _, m := range s.Shop.Materials {
		if editDistance(meant, strings.ToLower(m.Name)) <= misspelt {
			return fmt.Sprintf(", the nearest is %q", m.Name)
		}
	}
	return ""
}
