package shop

// Settings are the shop's machines, slabs and people.
type Settings struct {
	Materials []Material `toml:"material" doc:"the stones the shop cuts"`
}

// Material is a stone with what its use needs.
type Material struct {
	Name         string  `toml:"name" doc:"as in pieces.material"`
	Density      float64 `toml:"density" unit:"kg/m3" min:"500" max:"5000" doc:"density"`
	Flexural     float64 `toml:"flexural" unit:"MPa" min:"0" doc:"flexural strength; 0: not known, the bending screen does not look"`
	SafetyFactor float64 `toml:"safety_factor" unit:"" min:"0" doc:"flexural strength over this is allowed"`
	Source       string  `toml:"source" doc:"where the figures come from"`
}

// Default returns the machines a shop starts with.
func Default() Settings {
	return Settings{Materials: []Material{
		{"granite", 2700, 8.27, 3, "flexural ASTM C615 minimum; factor: stone associations' table; density common practice, no source"},
	}}
}

// Material returns the material of that name.
func (s *Settings) Material(name string) (Material, bool) {
	for _, m := range s.Materials {
		if m.Name == name {
			return m, true
		}
	}
	return Material{}, false
}
