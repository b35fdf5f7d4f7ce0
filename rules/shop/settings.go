package shop

// Settings are the shop's machines, slabs and people.
type Settings struct {
	Materials []Material `toml:"material" doc:"the stones the shop cuts, each with what its weight and strength are reckoned from; the first one is taken where a piece names none" source:"ASTM minimums, EN 14617 test values and ISO 13006, safety factors of the stone associations; each row says which under source"`
	Feeds     []Feed     `toml:"feed" doc:"machine feeds by material and thickness; of the rows that fit the one with the narrowest range is taken, of equally narrow ones the last"`
	Slabs     []Slab     `toml:"slab" doc:"the slabs the shop buys; a shop with other sizes changes the slab named usual and adds its others"`
	Saw       Saw        `toml:"saw" doc:"the bridge saw"`
	Router    Router     `toml:"router" doc:"the router on the same machine"`
	Polisher  Polisher   `toml:"polisher" doc:"the edge-polishing line"`
	Hold      Hold       `toml:"hold" doc:"what clamps and vacuum cups can hold"`
	Lift      Lift       `toml:"lift" doc:"lifting by people, with the multipliers of the revised NIOSH lifting equation, and by gear; what is too heavy is only looked at where the shop names its crew or its gear"`
	Access    Access     `toml:"access" doc:"the way into the house; without corridor widths access is not checked"`
}

// Saw is the bridge saw.
type Saw struct {
	Blade          float64  `toml:"blade_diameter" unit:"mm" min:"50" max:"2000" doc:"diameter of the blade" source:"common practice, no source"`
	Flange         float64  `toml:"flange_diameter" unit:"mm" min:"0" max:"500" doc:"diameter of the flange that holds the blade: the blade cuts no deeper than down to it" source:"common practice, no source"`
	Kerf           float64  `toml:"kerf" unit:"mm" min:"0.5" max:"20" doc:"width of the cut" source:"common practice, no source"`
	Overcut        float64  `toml:"overcut" unit:"mm" min:"0" max:"50" doc:"depth that the blade cuts into the table below the stone" source:"common practice, no source"`
	PlungeRoom     float64  `toml:"plunge_allowance" unit:"mm" min:"0" max:"500" doc:"room along the cut beyond the blade's own chord that plunging between two corners needs" source:"common practice, no source"`
	Shortest       float64  `toml:"shortest_cut" unit:"mm" min:"0" max:"1000" doc:"straights with less than this to saw are left to the router" source:"common practice, no source"`
	Setup          float64  `toml:"setup" unit:"min" min:"0" max:"60" doc:"set-up of each cut: turning, moving, plunging" source:"common practice, no source"`
	BevelFeedShare float64  `toml:"bevel_feed_share" unit:"share" min:"0.05" max:"1" doc:"feed of a mitre or bevel as a share of the straight one" source:"about half, common practice, no source"`
	BevelWords     []string `toml:"bevel_words" doc:"an edge profile (from the finished layer or a text beside the edge) with one of these words is sawn with a tilted blade"`
}

// Router is the router.
type Router struct {
	Setup float64 `toml:"setup" unit:"min" min:"0" max:"60" doc:"set-up of each run of the router: moving, plunging" source:"common practice, no source"`
	Hole  float64 `toml:"hole" unit:"min" min:"0" max:"60" doc:"drilling one round hole" source:"common practice, no source"`
}

// Polisher is the edge-polishing line.
type Polisher struct {
	Feed        float64 `toml:"feed" unit:"mm/min" min:"1" max:"20000" doc:"feed where the material's own feed is 0" source:"60 in/min, common practice, no source"`
	FastestFeed float64 `toml:"fastest_feed" unit:"mm/min" min:"1" max:"20000" doc:"upper end of the line's feed" source:"72 in/min, common practice, no source"`
	MaxHeight   float64 `toml:"max_height" unit:"mm" min:"1" doc:"tallest piece, measured square to the edge being polished" source:"96 in, common practice, no source"`
	LeastLength float64 `toml:"least_length" unit:"mm" min:"0" doc:"shortest side that the line can feed" source:"12 in, common practice, no source"`
	DeepestStep float64 `toml:"deepest_step" unit:"mm" min:"0" doc:"edges that lie back from each other by more than this are not polished in one pass, and stone that stands out past an edge by more keeps it off the line" source:"12 in, common practice, no source"`
	LeastStep   float64 `toml:"least_step" unit:"mm" min:"0.01" max:"10" doc:"steps smaller than this are not set" source:"common practice, no source"`
	ParallelDeg float64 `toml:"parallel" unit:"deg" min:"0" max:"5" doc:"edges that differ in direction by no more than this are parallel" source:"common practice, no source"`
	RunIn       float64 `toml:"run_in" unit:"mm" min:"0" doc:"feed before the edge meets the first head" source:"common practice, no source"`
	RunOut      float64 `toml:"run_out" unit:"mm" min:"0" doc:"feed after the edge has left the last head" source:"common practice, no source"`
	Setup       float64 `toml:"setup" unit:"min" min:"0" max:"120" doc:"set-up of each pass" source:"common practice, no source"`
	SameSetup   float64 `toml:"same_setup" unit:"mm" min:"0" max:"20" doc:"steps that differ by no more than this share one set-up" source:"1/32 in, common practice, no source"`
}

// Hold is the least piece that can be held.
type Hold struct {
	Length float64 `toml:"least_length" unit:"mm" min:"0" doc:"a piece shorter than this is hard to hold" source:"common practice, no source"`
	Width  float64 `toml:"least_width" unit:"mm" min:"0" doc:"a piece narrower than this is hard to hold" source:"common practice, no source"`
}

// Default returns the machines a shop starts with.
func Default() Settings {
	return Settings{
		Materials: defaultMaterials(),
		Feeds:     defaultFeeds(),
		Slabs:     []Slab{{Name: "usual", Length: 3048, Width: 1372, Margin: 12.7}},
		Saw: Saw{
			Blade: 400, Flange: 120, Kerf: 4, Overcut: 2, PlungeRoom: 10, Shortest: 50, Setup: 0.3,
			BevelFeedShare: 0.5, BevelWords: []string{"mitre", "miter", "bevel"},
		},
		Router: Router{Setup: 0.2, Hole: 1},
		Polisher: Polisher{
			Feed: 1524, FastestFeed: 1829, MaxHeight: 2438, LeastLength: 305, DeepestStep: 305, LeastStep: 0.5,
			ParallelDeg: 0.1, RunIn: 150, RunOut: 150, Setup: 1, SameSetup: 0.8,
		},
		Hold: Hold{Length: 200, Width: 75},
		Lift: Lift{
			Load: 23, Horizontal: 250, Vertical: 750, Travel: 250, Frequency: 1, Coupling: 1,
			RailWidth: 100, RailLength: 500,
		},
		Access: Access{Clearance: 100},
	}
}
