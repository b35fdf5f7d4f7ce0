package dxfio

import (
	"fmt"
	"testing"
)

// The tolerance is a length on the stone: 0.01 mm whatever the unit.
func TestFitFollowsTheUnit(t *testing.T) {
	ellipse := func(unit string, a float64) string {
		return section("HEADER", "9 $INSUNITS 70 "+unit) + section("ENTITIES", fmt.Sprintf("0 ELLIPSE 8 TOP 10 0 20 0 11 %v 21 0 40 0.5", a)) + pairs("0 EOF")
	}
	inch, mm, metre := mustRead(t, ellipse("1", 20)), mustRead(t, ellipse("4", 508)), mustRead(t, ellipse("6", 0.508))
	if len(inch.Curves) != len(mm.Curves) || len(metre.Curves) != len(mm.Curves) {
		t.Errorf("%d arcs in inches, %d in millimetres, %d in metres", len(inch.Curves), len(mm.Curves), len(metre.Curves))
	}
	if unknown := mustRead(t, ellipse("0", 20)); len(unknown.Curves) != len(inch.Curves) {
		t.Errorf("%d arcs without a unit, want the inch's %d", len(unknown.Curves), len(inch.Curves))
	}
}
