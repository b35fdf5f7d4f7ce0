package rules

// Settings are the limits of the rules and which of them are on.
type Settings struct {
	Off      []string          `toml:"off" doc:"rules that are switched off, by id"`
	Severity map[string]string `toml:"severity" doc:"severity of a rule's flags instead of its default: stop, warn or note"`

	RouterBit     float64 `toml:"router_bit_diameter" unit:"mm" min:"1" max:"100" doc:"inside corners tighter than the bit's radius cannot be cut" source:"3/4 in finger bit, common practice, no source"`
	InsideRadius  float64 `toml:"inside_radius" unit:"mm" min:"0" doc:"inside corners tighter than this start cracks" source:"3/8 in (9.5 mm), two trade pages, common practice"`
	InsideTurn    float64 `toml:"inside_turn" unit:"deg" min:"0" max:"90" doc:"an outline may bend inwards by this much without a radius: the saw cuts both sides, and little is left between them" source:"common practice, no source"`
	InsideGrace   float64 `toml:"inside_radius_grace" unit:"mm" min:"0" max:"1" doc:"a radius this much under the limit still passes, so that a nominal 3/8 in does" source:"common practice, no source"`
	NarrowStop    float64 `toml:"narrow_stop" unit:"mm" min:"0" doc:"a strip of stone narrower than this breaks" source:"2 in, common practice, no source"`
	NarrowWarn    float64 `toml:"narrow_warn" unit:"mm" min:"0" doc:"a strip of stone narrower than this wants reinforcement" source:"2-1/2 in, common practice, no source"`
	NarrowSink    Narrow  `toml:"narrow_sink" doc:"instead, beside a sink"`
	NarrowCooktop Narrow  `toml:"narrow_cooktop" doc:"instead, beside a cooktop"`
	NarrowNeck    Narrow  `toml:"narrow_neck" doc:"instead, for a neck of the outline"`
	NarrowLeast   float64 `toml:"narrow_least" unit:"mm" min:"0" doc:"a tongue or a whole piece that is narrower than this to its end breaks even where narrowness is its design" source:"1 in, common practice, no source"`
	HoleStone     float64 `toml:"hole_stone" unit:"mm" min:"0" doc:"least stone around a round hole" source:"common practice, no source"`
	SharpPoint    float64 `toml:"sharp_point" unit:"deg" min:"0" max:"120" doc:"an outside corner more acute than this, without a radius, breaks in handling" source:"common practice, no source"`
	SharpStop     float64 `toml:"sharp_point_stop" unit:"deg" min:"0" max:"120" doc:"an outside corner more acute than this is a feather that can be neither cut nor carried; 0 lets every one pass with a warning" source:"common practice, no source"`

	StrayLength float64 `toml:"stray_length" unit:"mm" min:"0" doc:"a line that bounds nothing stops from this length on where it may be an edge of a top or of a cutout; shorter ones are warned of" source:"common practice, no source"`
	FinishReach float64 `toml:"finish_reach" unit:"mm" min:"0" doc:"a finish mark that marks nothing was meant for an unfinished edge this near" source:"common practice, no source"`

	UnfinishedLeast  float64 `toml:"unfinished_least" unit:"mm" min:"0" doc:"a piece without a finished edge, beside others with one, is told when more of its edges than this is said nothing of" source:"common practice, no source"`
	DimensionDiffers float64 `toml:"dimension_differs" unit:"mm" min:"0" doc:"largest difference between what a dimension says and what it spans" source:"1/16 in (1.6 mm), width of a top, Architectural Woodwork Standards, 1st ed. 2009, 4.4.4; a text rounded to eighths of an inch is off by no more"`
	DimensionReach   float64 `toml:"dimension_reach" unit:"mm" min:"0" doc:"a dimension that ends on an edge this near to a corner, and on nothing else, was meant for the corner" source:"common practice, no source"`

	CabinetProud     float64 `toml:"cabinet_proud" unit:"mm" min:"0" doc:"a cabinet may stand out this far past the stone on it" source:"3/16 in (4.8 mm), front edge parallel to the cabinets, ANSI/AWI 1236-2022 3.3.2"`
	CabinetCarriesOn float64 `toml:"cabinet_carries_on" unit:"mm" min:"0" doc:"where a cabinet reaches this far past the stone, another top is taken to lie on it" source:"common practice, no source"`
	SinkCabinet      float64 `toml:"sink_cabinet" unit:"mm" min:"0" doc:"a sink may reach this far past the side of a cabinet" source:"1/8 in (3.2 mm), position of a cutout, Architectural Woodwork Standards, 1st ed. 2009, 4.4.3"`
	CooktopWall      float64 `toml:"cooktop_wall" unit:"mm" min:"0" doc:"least distance from a cooktop's cutout to a wall; the instructions of the appliance's maker and local codes govern" source:"common practice, no source"`
	SplashDiffers    float64 `toml:"splash_differs" unit:"mm" min:"0" doc:"largest difference between a splash and what it stands on" source:"1/8 in (3.2 mm), length of a top, Architectural Woodwork Standards, 1st ed. 2009, 4.4.4"`
	SplashShort      float64 `toml:"splash_short" unit:"mm" min:"0" doc:"a splash along the side of a top may end this far behind its front" source:"1-1/4 in, front overhang, ANSI/AWI 1236-2022 3.3.2, and a rounding; common practice"`
	SplashSide       float64 `toml:"splash_side" unit:"mm" min:"0" doc:"a wall up to this long may be the side of a top, from back to front" source:"depth of a standard worktop, 600 to 660 mm, guides; common practice"`
	SplashStands     float64 `toml:"splash_stands" unit:"mm" min:"0" doc:"a splash at least this wide may stand on its short side" source:"common practice, no source"`

	Support Support `toml:"support" doc:"how far stone may span and overhang, and the load of the bending screen"`

	SeamCutout      float64 `toml:"seam_cutout" unit:"mm" min:"0" doc:"least distance from a seam to a cutout" source:"150 mm, stone suppliers' pages, common practice"`
	SeamSink        float64 `toml:"seam_sink" unit:"mm" min:"0" doc:"a seam nearer to a sink than this is noted" source:"18 in (457 mm), ANSI/AWI 1236-2022 3.3 d"`
	Joint           float64 `toml:"joint" unit:"mm" min:"0" doc:"nominal width of a joint" source:"1/16 in (1.5 mm), Natural Stone Institute homeowner's guide (2008), section 9"`
	SeamDeviation   float64 `toml:"seam_deviation" unit:"mm" min:"0" doc:"largest less smallest gap between the mates of a seam" source:"1/32 in (0.8 mm): twice the +-1/64 in of the Natural Stone Institute homeowner's guide (2008), section 9"`
	SeamStepDiffers float64 `toml:"seam_step_differs" unit:"mm" min:"0" doc:"largest difference between the steps of two mates" source:"1/32 in (0.8 mm), as seam_deviation: Natural Stone Institute homeowner's guide (2008), section 9"`
}

// Narrow holds limits that replace the general ones; 0 keeps the general one.
type Narrow struct {
	Stop float64 `toml:"stop" unit:"mm" min:"0" doc:"stop below this; 0 takes narrow_stop"`
	Warn float64 `toml:"warn" unit:"mm" min:"0" doc:"warn below this; 0 takes narrow_warn"`
}

// Support holds the support limits.
type Support struct {
	Bearing   float64        `toml:"line_bearing" unit:"mm" min:"0" doc:"width over which a support drawn as a line carries" source:"common practice, no source"`
	Limits    []SupportLimit `toml:"limit" doc:"longest span and overhang by thickness; stone of a thickness in no row is not checked"`
	Grace     float64        `toml:"grace" unit:"mm" min:"0" max:"5" doc:"a span or overhang this much over its limit still passes, so that 36 in (914.4 mm) and 6 in (152.4 mm) do" source:"the published limits are whole inches; rounding to whole mm, common practice"`
	Share     float64        `toml:"overhang_share" unit:"share" min:"0" max:"1" doc:"largest overhang as a share of the whole width of stone" source:"one third, Dimension Stone Design Manual 8.0 (2016), ch. 17"`
	PointLoad float64        `toml:"point_load" unit:"N" min:"0" doc:"point load of the bending screen" source:"200 lbf (889.6 N), ANSI/AWI 1236-2022 3.3.4"`
	LoadSide  float64        `toml:"load_side" unit:"mm" min:"0" doc:"side of the square that the point load stands on" source:"86.4 in2, so 9.295 in (236.1 mm) a side, ANSI/AWI 1236-2022 3.3.4"`
	Strip     float64        `toml:"strip_width" unit:"mm" min:"1" doc:"widest strip of stone that the bending screen lets carry the point load" source:"depth of a standard worktop, EN 1116:2018; its use here is common practice, no source"`
	Least     float64        `toml:"strip_least" unit:"mm" min:"1" doc:"stone narrower than this is no strip that bends under a load, and the bending screen leaves it to the rules about points and narrow stone" source:"1 in, as narrow_least, common practice, no source"`
}

// SupportLimit is the longest span and cantilever of one thickness of stone.
type SupportLimit struct {
	From       float64 `toml:"from" unit:"mm" min:"0" doc:"thickness from which it holds"`
	To         float64 `toml:"to" unit:"mm" min:"0" doc:"thickness up to which it holds"`
	Span       float64 `toml:"span" unit:"mm" min:"0" doc:"longest span between supports" source:"24 in at 2 cm, 36 in at 3 cm, Dimension Stone Design Manual 8.0 (2016), ch. 17"`
	Cantilever float64 `toml:"cantilever" unit:"mm" min:"0" doc:"longest overhang" source:"6 in at 2 cm, 10 in at 3 cm, Dimension Stone Design Manual 8.0 (2016), ch. 17"`
}

// Default returns the limits a shop starts with.
func Default() Settings {
	return Settings{
		RouterBit:    19.05,
		InsideRadius: 9.5,
		InsideTurn:   45,
		InsideGrace:  0.05,
		NarrowStop:   50,
		NarrowWarn:   63.5,
		NarrowLeast:  25,
		HoleStone:    25,
		SharpPoint:   45,
		SharpStop:    15,
		StrayLength:  50,
		FinishReach:  100,

		UnfinishedLeast:  100,
		DimensionDiffers: 1.6,
		DimensionReach:   60,
		CabinetProud:     4.8,
		CabinetCarriesOn: 300,
		SinkCabinet:      3.2,
		CooktopWall:      50,
		SplashDiffers:    3.2,
		SplashShort:      40,
		SplashSide:       700,
		SplashStands:     250,

		Support: Support{
			Bearing: 80,
			// 2 cm is named 3/4 in (19.05) and 3 cm is named 1-1/4 in (31.75).
			Limits: []SupportLimit{
				{From: 19, To: 22, Span: 610, Cantilever: 152},
				{From: 29, To: 33, Span: 914, Cantilever: 254},
			},
			Grace:     0.5,
			Share:     1.0 / 3,
			PointLoad: 889.6,
			LoadSide:  236.1,
			Strip:     600,
			Least:     25,
		},
		SeamCutout:      150,
		SeamSink:        457,
		Joint:           1.5,
		SeamDeviation:   0.8,
		SeamStepDiffers: 0.8,
	}
}
