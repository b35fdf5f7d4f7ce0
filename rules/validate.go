package rules

import (
	"fmt"
	"maps"
	"slices"

	"trueup/rules/shop"
)

// Validate returns what the tags of the settings cannot check: rules that do not
// exist, severities that are none, a warning limit below its stop limit. Keys
// are relative to the rules' own section.
func (s *Settings) Validate() []shop.Fault {
	var faults []shop.Fault
	add := func(key, found string) { faults = append(faults, shop.Fault{Key: key, Found: found}) }
	for _, id := range s.Off {
		if _, ok := Find(id); !ok {
			add("off", fmt.Sprintf("%q is the name of no rule; `trueup rules` lists them", id))
		}
	}
	for _, id := range slices.Sorted(maps.Keys(s.Severity)) {
		if _, ok := Find(id); !ok {
			add("severity", fmt.Sprintf("%q is the name of no rule; `trueup rules` lists them", id))
		} else if rank(Severity(s.Severity[id])) == notASeverity {
			add("severity", fmt.Sprintf("%q for %s is none of stop, warn, note", s.Severity[id], id))
		}
	}
	if s.NarrowWarn > 0 && s.NarrowWarn < s.NarrowStop {
		add("narrow_warn", fmt.Sprintf("%g mm is less than narrow_stop (%g mm); 0 switches the warning off", s.NarrowWarn, s.NarrowStop))
	}
	if s.SharpPoint > 0 && s.SharpPoint < s.SharpStop {
		add("sharp_point", fmt.Sprintf("%g deg is less than sharp_point_stop (%g deg); 0 switches the warning off", s.SharpPoint, s.SharpStop))
	}
	if s.Support.Strip < s.Support.Least {
		add("support.strip_width", fmt.Sprintf("%g mm is less than support.strip_least (%g mm): no strip would be looked at", s.Support.Strip, s.Support.Least))
	}
	return faults
}
