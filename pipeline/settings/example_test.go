package settings_test

import (
	"fmt"

	"trueup/pipeline/settings"
)

// A shop writes only what differs; values may carry their own units.
func ExampleParse() {
	s, err := settings.Parse("trueup.toml", []byte(`
units = "in"

[rules]
narrow_stop = "2 in"
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range s.Entries() {
		if e.Changed {
			fmt.Printf("%s = %s, built in %s\n", e.Key, e.Value, e.Default)
		}
	}
	// Output:
	// units = "in", built in ""
	// rules.narrow_stop = 50.8, built in 50
}

// Every fault is told at once, with its line and what to write instead.
func ExampleParse_faults() {
	_, err := settings.Parse("trueup.toml", []byte(`[rules]
narow_stop = 50
joint = "1,5 mm"
`))
	fmt.Println(err)
	// Output:
	// trueup.toml, line 2: rules.narow_stop: no such setting; the nearest is narrow_stop
	// trueup.toml, line 3: rules.joint: "1,5 mm" has a comma; write decimals with a point
}
