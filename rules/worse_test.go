package rules

import "testing"

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
