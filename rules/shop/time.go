package shop

import (
	"maps"
	"slices"
)

// Time is machine minutes, set-ups included.
type Time struct {
	Saw, Router, Polisher, Total float64
}

// JobTime adds up the machine minutes of a job's pieces. Machines may run side
// by side: Total is machine time, not the time until the job is done.
func JobTime(setups map[string]*Setup) Time {
	var t Time
	for _, id := range slices.Sorted(maps.Keys(setups)) { // in order, so that sums round alike
		s := setups[id]
		t.Saw += s.SawMinutes
		t.Router += s.RouterMinutes
		t.Polisher += s.PolishMinutes
	}
	t.Total = t.Saw + t.Router + t.Polisher
	return t
}
