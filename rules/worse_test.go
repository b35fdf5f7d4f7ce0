package rules

import (
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

// The cases are by hand from the rule's own words: half a millimetre, one percent.
func TestWorse(t *testing.T) {
	for _, c := range []struct {
		name                 string
		accepted, now, limit float64
		noLimit              bool
		unit                 string
		want                 bool
	}{
		{"a rail as it was", 45, 45, 50, false, "mm", false},
		{"a rail thinner by rounding", 45, 44.5, 50, false, "mm", false},
		{"a rail thinner", 45, 44.4, 50, false, "mm", true},
		{"a rail thicker", 45, 48, 50, false, "mm", false},
		{"an overhang longer by rounding", 401.8, 402.3, 254, false, "mm", false},
		{"an overhang longer", 401.8, 402.4, 254, false, "mm", true},
		{"an overhang shorter", 401.8, 380, 254, false, "mm", false},
		{"a square corner", 0, 0, 9.5, false, "mm", false},
		{"a share a little larger", 0.40, 0.4039, 1.0 / 3, false, "share", false},
		{"a share larger", 0.40, 0.4041, 1.0 / 3, false, "share", true},
		{"a seam that nothing carries", 600, 601, 0, false, "mm", true},
		{"a plain figure that is the same", 120, 120.4, 0, true, "mm", false},
		{"a plain figure that is more", 120, 121, 0, true, "mm", true},
		{"a plain figure that is less", 120, 119, 0, true, "mm", true},
		{"a count", 3, 4, 0, false, "", true},
		{"nothing measured", 0, 0, 0, false, "", false},
		{"accepted on the other side of the limit", 52, 45, 50, false, "mm", true},
	} {
		if got := Worse(c.accepted, c.now, c.limit, c.noLimit, c.unit); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// The distance to the nearest support of stone that nothing carries is no overhang:
// beside the limit of one, 192 mm of 254 would read as passed, and a longer way as
// better. Leg of an L from 0,600 to 600,2000, supports out of its sight.
func TestUncarriedStoneHasNoLimit(t *testing.T) {
	l := geom.Polygon(xy(0, 0), xy(2400, 0), xy(2400, 600), xy(600, 600), xy(600, 2000), xy(0, 2000))
	found := runRule(ptr(overhang()), supportInput(carriedTop(l, box(1400, 0, 2400, 600))))
	uncarried := 0
	for _, f := range found.flags {
		if strings.HasPrefix(f.Message, "No support carries") {
			uncarried++
			if !f.NoLimit || f.Limit != 0 || f.Measured <= 0 {
				t.Errorf("measured %g, limit %g, held against none: %v", f.Measured, f.Limit, f.NoLimit)
			}
		}
	}
	if uncarried == 0 {
		t.Errorf("every place of the leg is carried: %+v", found.flags)
	}
}
