package shop

import "trueup/dxfio/geom"

// Material is a stone with what its use needs.
type Material struct {
	Name         string  `toml:"name" doc:"as in pieces.material"`
	Density      float64 `toml:"density" unit:"kg/m3" min:"500" max:"5000" doc:"mass of a cubic metre"`
	Flexural     float64 `toml:"flexural" unit:"MPa" min:"0" doc:"flexural strength; 0: not known, the bending screen does not look"`
	SafetyFactor float64 `toml:"safety_factor" unit:"" min:"0" doc:"stress of the flexural strength over this factor is allowed"`
	Source       string  `toml:"source" doc:"where the three figures come from; a shop that enters its supplier's figures says so here"`
}

// Feed is how fast the machines run in one stone of one range of thickness.
type Feed struct {
	Name     string  `toml:"name" doc:"name of the row"`
	Material string  `toml:"material" doc:"name of the material; empty: any"`
	From     float64 `toml:"from" unit:"mm" min:"0" doc:"thickness from which it holds"`
	To       float64 `toml:"to" unit:"mm" min:"0" doc:"thickness up to which it holds"`
	Saw      float64 `toml:"saw" unit:"mm/min" min:"1" max:"20000" doc:"feed of the saw through the whole thickness" source:"common practice, no source"`
	Router   float64 `toml:"router" unit:"mm/min" min:"1" max:"20000" doc:"feed of the router through the whole thickness" source:"common practice, no source"`
	Polish   float64 `toml:"polish" unit:"mm/min" min:"0" max:"20000" doc:"feed of the edge polisher; 0: polisher.feed" source:"common practice, no source"`
}

// thinTo is the thickness in mm up to which the feeds of one-pass cutting in
// 3 cm stone hold: the upper end of what is sold as 3 cm.
const thinTo = 33

// anyThickness is above any stone a shop cuts, in mm.
const anyThickness = 200

func defaultMaterials() []Material {
	return []Material{
		{"granite", 2700, 8.27, 3, "flexural ASTM C615 minimum; factor: stone associations' table; density common practice, no source"},
		{"marble", 2590, 6.89, 5, "density and flexural ASTM C503 minimum; factor: stone associations' table"},
		{"limestone", 2560, 0, 8, "density ASTM C568 high-density minimum, which has no flexural strength; factor: stone associations' table"},
		{"quartzite", 2560, 0, 6, "density ASTM C616 quartzite minimum, which has no flexural strength; factor from memory"},
		{"engineered quartz", 2400, 31, 3, "density: middle of EN 14617-1 group means 2320-2480; flexural: least of EN 14617-2 values 31-97; factor common practice, no source"},
		{"porcelain", 2400, 35, 3, "flexural ISO 13006 group BIa mean modulus of rupture; density from memory; factor common practice, no source"},
	}
}

// defaultFeeds are the middles of the ranges in use; no published source. Above
// 3 cm the cut takes two passes, so that the feed through the whole thickness
// halves.
func defaultFeeds() []Feed {
	thin := []Feed{
		{Name: "granite", Material: "granite", Saw: 2000, Router: 225},
		{Name: "marble", Material: "marble", Saw: 3000, Router: 225},
		{Name: "limestone", Material: "limestone", Saw: 3000, Router: 225},
		{Name: "quartzite", Material: "quartzite", Saw: 1000, Router: 150, Polish: 762},
		{Name: "engineered quartz", Material: "engineered quartz", Saw: 2250, Router: 325},
		{Name: "porcelain", Material: "porcelain", Saw: 1250, Router: 175},
		{Name: "any stone", Saw: 1000, Router: 150},
	}
	var all []Feed
	for _, f := range thin {
		thick := f
		f.To = thinTo
		thick.Name += ", thick"
		thick.From, thick.To, thick.Saw, thick.Router = thinTo, anyThickness, f.Saw/2, f.Router/2
		all = append(all, f, thick)
	}
	return all
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

// materialName returns the name that stands for a piece's material: its own, or
// that of the first material when it names none.
func (s *Settings) materialName(name string) string {
	if name == "" && len(s.Materials) > 0 {
		return s.Materials[0].Name
	}
	return name
}

// feed returns the feeds for a material and thickness: of the rows that name the
// material and hold the thickness the one with the narrowest range, so that a row
// added for one thickness counts beside a general one; of equally narrow ones the
// last. Rows for any material count when none names it. Polish is never 0.
func (s *Settings) feed(material string, thickness float64) (Feed, bool) {
	for _, name := range [2]string{material, ""} {
		best, found := Feed{}, false
		for _, f := range s.Feeds {
			if f.Material == name && thickness >= f.From-geom.Tolerance && thickness <= f.To+geom.Tolerance &&
				(!found || f.To-f.From <= best.To-best.From) {
				best, found = f, true
			}
		}
		if !found {
			continue
		}
		if best.Polish == 0 {
			best.Polish = s.Polisher.Feed
		}
		return best, best.Saw > 0 && best.Router > 0 && best.Polish > 0
	}
	return Feed{}, false
}
