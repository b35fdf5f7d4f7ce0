package piece

import "strings"

// Role says what the curves of a layer stand for.
type Role string

// The roles of a layer. NoRole is a layer that no pattern names.
const (
	NoRole       Role = ""
	OutlineRole  Role = "outline"
	CutoutRole   Role = "cutout"
	SeamRole     Role = "seam"
	SupportRole  Role = "support"
	OpeningRole  Role = "opening"
	FinishedRole Role = "finished"
	WallRole     Role = "wall"
	SplashRole   Role = "splash"
	IgnoreRole   Role = "ignore"
)

// Roles lists the patterns of layer names for each role: case-insensitive, *
// for any run of characters, ? for one. Of several patterns that match, the one
// with the most literal characters wins, of equals the one listed first below.
type Roles struct {
	Ignore   []string `toml:"ignore" doc:"layers never looked at"`
	Opening  []string `toml:"opening" doc:"areas without support inside a support: dishwasher, range, knee space"`
	Support  []string `toml:"support" doc:"what carries the top: cabinet, wall ledge, bracket; closed areas or lines"`
	Seam     []string `toml:"seam" doc:"where pieces meet"`
	Splash   []string `toml:"splash" doc:"outlines of backsplash pieces"`
	Finished []string `toml:"finished" doc:"marks along edges to polish"`
	Wall     []string `toml:"wall" doc:"walls, and edges that stand against one"`
	Cutout   []string `toml:"cutout" doc:"openings through the stone"`
	Outline  []string `toml:"outline" doc:"outlines of the tops"`
}

// Settings say how a drawing is read as pieces.
type Settings struct {
	Roles           Roles    `toml:"roles"`
	SinkLayers      []string `toml:"sink_layers" doc:"cutouts on these layers are sinks"`
	CooktopLayers   []string `toml:"cooktop_layers" doc:"cutouts on these layers are cooktops"`
	HoleDiameter    float64  `toml:"hole_diameter" unit:"mm" min:"0" doc:"a round cutout up to this diameter is a drilled hole" source:"common practice, no source"`
	PointHole       float64  `toml:"point_hole" unit:"mm" min:"0" doc:"diameter of the hole that a POINT on a cutout layer marks" source:"tap hole 1-3/8 in (nominal 35 mm), home-repair pages"`
	MarkDistance    float64  `toml:"mark_distance" unit:"mm" min:"0" max:"20" doc:"a finished, wall or seam curve lies along an edge when it is this near" source:"common practice, no source"`
	SeamReach       float64  `toml:"seam_reach" unit:"mm" min:"0" max:"50" doc:"edges of two pieces that face each other this near are mates of a seam" source:"common practice, no source"`
	DefaultMaterial string   `toml:"material" doc:"material of the tops, one of the materials listed"`
	Thickness       float64  `toml:"thickness" unit:"mm" min:"3" max:"200" doc:"thickness of the stone" source:"common practice, no source"`
}

// Default returns the settings a shop starts with.
func Default() Settings {
	return Settings{
		Roles: Roles{
			Ignore:   []string{"ignore*", "note*", "dim*", "text*", "anno*", "title*", "border*", "defpoints", "construction*", "*label*"},
			Opening:  []string{"opening*", "dishwasher*", "dw", "range*", "knee*", "appliance*", "*opening*"},
			Support:  []string{"support*", "cabinet*", "carcass*", "bracket*", "ledger*", "ledge*", "corbel*", "base*", "leg", "legs", "panel*"},
			Seam:     []string{"seam*", "joint*", "*seam*"},
			Splash:   []string{"splash*", "backsplash*", "upstand*", "*splash*"},
			Finished: []string{"finish*", "polish*", "*finished*", "*polish*", "front*"},
			Wall:     []string{"wall*", "*wall*"},
			Cutout:   []string{"cutout*", "cut-out*", "*cutout*", "sink*", "basin*", "bowl*", "*sink*", "cooktop*", "hob*", "*cooktop*", "hole*", "tap*", "faucet*", "*hole*", "outlet*", "socket*"},
			Outline:  []string{"outline*", "counter*", "countertop*", "worktop*", "benchtop*", "top", "tops", "top-*", "top_*", "piece*", "perimeter*", "template*", "island*", "vanity*", "*outline*", "*counter*"},
		},
		SinkLayers:      []string{"*sink*", "*basin*", "*bowl*"},
		CooktopLayers:   []string{"*cooktop*", "*hob*"},
		HoleDiameter:    76,
		PointHole:       35,
		MarkDistance:    1,
		SeamReach:       6,
		DefaultMaterial: "granite",
		Thickness:       30,
	}
}

// Of returns the role of a layer and the pattern that gave it.
func (r Roles) Of(layer string) (Role, string) {
	best, role, pattern := -1, NoRole, ""
	for _, e := range []struct {
		role     Role
		patterns []string
	}{
		{IgnoreRole, r.Ignore}, {OpeningRole, r.Opening}, {SupportRole, r.Support}, {SeamRole, r.Seam},
		{SplashRole, r.Splash}, {FinishedRole, r.Finished}, {WallRole, r.Wall}, {CutoutRole, r.Cutout},
		{OutlineRole, r.Outline},
	} {
		for _, p := range e.patterns {
			if literal := len(p) - strings.Count(p, "*") - strings.Count(p, "?"); literal > best && matches(p, layer) {
				best, role, pattern = literal, e.role, p
			}
		}
	}
	return role, pattern
}

// Cutting reports whether the curves of a layer shape stone: outline, cutout or
// splash. Filled areas (hatches, solids) count as boundaries there.
func (r Roles) Cutting(layer string) bool {
	role, _ := r.Of(layer)
	return role == OutlineRole || role == CutoutRole || role == SplashRole
}

// Matches reports whether any of the patterns matches the layer name.
func Matches(patterns []string, layer string) bool {
	for _, p := range patterns {
		if matches(p, layer) {
			return true
		}
	}
	return false
}

// matches compares without regard to case; it backs up only to the last star,
// so its time is at most the product of the lengths.
func matches(pattern, name string) bool {
	p, s := []rune(strings.ToUpper(pattern)), []rune(strings.ToUpper(name))
	i, j, star, mark := 0, 0, -1, 0
	for j < len(s) {
		switch {
		case i < len(p) && p[i] == '*':
			star, mark = i, j
			i++
		case i < len(p) && (p[i] == '?' || p[i] == s[j]):
			i++
			j++
		case star >= 0:
			mark++
			i, j = star+1, mark
		default:
			return false
		}
	}
	for i < len(p) && p[i] == '*' {
		i++
	}
	return i == len(p)
}
