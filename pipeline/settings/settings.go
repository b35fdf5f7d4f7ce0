// Package settings reads a shop's trueup.toml into every package's own settings.
//
// In goes TOML text; out come checked Settings, or errors that name file, line,
// key, what was found and what is allowed. Each package declares its settings
// as a struct with tags (toml, unit, min, max, doc, source); this package walks
// those by reflection, so that the file, the reference table, the editor schema
// and the report's list of limits come from one place.
package settings

import (
	"trueup/dxfio"
	"trueup/dxfio/piece"
	"trueup/dxfio/trace"
	"trueup/pipeline/watch"
	"trueup/report"
	"trueup/rules"
	"trueup/rules/shop"
)

// Settings are all that a shop can set.
type Settings struct {
	// Units is the unit of drawings whose header names none; empty: the more
	// plausible of millimetre and inch is assumed, and a stop flag says so.
	Units     string          `toml:"units" doc:"unit of drawings whose header names none: mm, cm, m, in or ft; empty: assumed from the sizes, with the flag units-unknown"`
	CleanUnit string          `toml:"clean_units" doc:"unit of clean.dxf and marked.dxf: drawing (as the template), mm or in"`
	JobTime   float64         `toml:"job_time" unit:"s" min:"1" max:"86400" doc:"a template that takes longer than this fails" source:"common practice, no source"`
	Reading   dxfio.Limits    `toml:"reading" doc:"limits that keep a bad file from harming the others"`
	Closing   trace.Settings  `toml:"closing" doc:"tolerances of closing outlines"`
	Pieces    piece.Settings  `toml:"pieces" doc:"how a drawing is read as pieces"`
	Rules     rules.Settings  `toml:"rules" doc:"limits of the rules"`
	Shop      shop.Settings   `toml:"shop" doc:"machines, slabs, materials and people"`
	Report    report.Settings `toml:"report" doc:"how reports look"`
	Watch     watch.Settings  `toml:"watch" doc:"the service"`
}

// Default returns the embedded settings that a shop starts with.
func Default() Settings {
	return Settings{
		CleanUnit: "drawing",
		JobTime:   60,
		Reading:   dxfio.DefaultLimits(),
		Closing:   trace.Default(),
		Pieces:    piece.Default(),
		Rules:     rules.Default(),
		Shop:      shop.Default(),
		Report:    report.Default(),
		Watch:     watch.Default(),
	}
}
