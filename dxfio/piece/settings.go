package piece

// Settings say how a drawing is read as pieces.
type Settings struct {
	Roles           Roles    `toml:"roles"`
	SinkLayers      []string `toml:"sink_layers" doc:"cutouts on these layers are sinks, beside those whose names say so by a built-in word"`
	CooktopLayers   []string `toml:"cooktop_layers" doc:"cutouts on these layers are cooktops, beside those whose names say so by a built-in word"`
	NameLayers      []string `toml:"name_layers" doc:"of the ignored layers those (beside notes, texts and labels by the built-in words) whose texts may be labels: one or two words (numbers aside) name a piece that bears no text of its own layer; longer texts are notes"`
	HoleDiameter    float64  `toml:"hole_diameter" unit:"mm" min:"0" doc:"a round cutout up to this diameter is a drilled hole" source:"common practice, no source"`
	PointHole       float64  `toml:"point_hole" unit:"mm" min:"0" doc:"diameter of the hole that a POINT on a cutout layer marks" source:"tap hole 1-3/8 in (nominal 35 mm), home-repair pages"`
	LineWidth       float64  `toml:"line_width" unit:"mm" min:"0" doc:"a polyline that is to be cut may be drawn this wide; of a wider band nobody knows whether its middle or its rim is the edge" source:"common practice, no source"`
	MarkDistance    float64  `toml:"mark_distance" unit:"mm" min:"0" max:"20" doc:"a finished, wall or seam curve lies along an edge when it is this near" source:"common practice, no source"`
	MarkStretch     float64  `toml:"mark_stretch" unit:"mm" min:"0" max:"100" doc:"an edge marked over part of its length is split where both parts are longer than this" source:"common practice, no source"`
	NestedShare     float64  `toml:"nested_share" unit:"share" min:"0" max:"1" doc:"a loop inside a cutout that takes this share of its area may be the line to cut; a smaller one is a drain or a burner" source:"common practice, no source"`
	LargestCutout   float64  `toml:"largest_cutout" unit:"mm" min:"0" doc:"no cutout is longer: a closed line inside an outline that is, was not drawn as one" source:"common practice, no source"`
	ProfileReach    float64  `toml:"profile_reach" unit:"mm" min:"0" max:"1000" doc:"a text on a finished layer this near to a finished edge names the edge's profile" source:"common practice, no source"`
	SeamReach       float64  `toml:"seam_reach" unit:"mm" min:"0" max:"50" doc:"edges of two pieces that face each other this near are mates of a seam" source:"common practice, no source"`
	SeamStretch     float64  `toml:"seam_stretch" unit:"mm" min:"1" max:"1000" doc:"edges without a seam curve have to face each other over this length to be a seam" source:"common practice, no source"`
	FrontLine       float64  `toml:"front_line" unit:"mm" min:"0" max:"1000" doc:"a line on a cabinet's layer is its front, and the cabinet reaches back from it, where an edge at a wall lies no farther behind; 0: a line is only a line" source:"depth of base cabinets, 560 to 700 mm, guides; common practice"`
	DefaultMaterial string   `toml:"material" doc:"material of the tops, one of the materials listed"`
	Thickness       float64  `toml:"thickness" unit:"mm" min:"3" max:"200" doc:"thickness of the stone" source:"common practice, no source"`
}

// Default returns the settings a shop starts with.
func Default() Settings {
	return Settings{
		Roles:           defaultRoles(),
		HoleDiameter:    76,
		PointHole:       35,
		LineWidth:       2,
		MarkDistance:    1,
		MarkStretch:     5,
		NestedShare:     0.3,
		LargestCutout:   1500,
		ProfileReach:    100,
		SeamReach:       6,
		SeamStretch:     50,
		FrontLine:       700,
		DefaultMaterial: "granite",
		Thickness:       30,
	}
}
