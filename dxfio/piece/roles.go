package piece

import (
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

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
// for any run of characters, ? for one; space, underscore, hyphen and dot are
// the same. A pattern without * and ? wins over those with one, so that a
// layer's full name always settles its role; otherwise the role that stands
// first below wins. The order follows how layers are named: the words for a top
// (counter, island, outline) go with every other word, so outline is last and
// SPLASH OUTLINE is a splash; SINK CABINET is a support, KITCHEN SINK a cutout.
type Roles struct {
	Ignore   []string `toml:"ignore" doc:"layers never looked at"`
	Opening  []string `toml:"opening" doc:"areas without support inside a support: dishwasher, range, knee space"`
	Support  []string `toml:"support" doc:"what carries the top: cabinet, wall ledge, bracket; closed areas or lines"`
	Seam     []string `toml:"seam" doc:"where pieces meet"`
	Cutout   []string `toml:"cutout" doc:"openings through the stone"`
	Finished []string `toml:"finished" doc:"marks along edges to polish"`
	Splash   []string `toml:"splash" doc:"outlines of backsplash pieces"`
	Wall     []string `toml:"wall" doc:"walls, and edges that stand against one"`
	Outline  []string `toml:"outline" doc:"outlines of the tops"`
}

// flagLayers are the layers of a marked drawing on which the flags stand. A marked
// drawing that is mended and dropped again is a template like any other.
const flagLayers = "flag-*"

func defaultRoles() Roles {
	return Roles{
		Ignore: []string{"ignore*", flagLayers, "*note", "*notes*", "note*", "dim", "dims", "dim *", "dimension*", "* dim*", "text*", "* text", "anno*", "title*", "border*", "defpoints",
			"construction*", "*label*", "viewport*", "top view*", "*hood*", "wall cabinet*", "wall unit*", "upper*", "*unfinished*", "*unpolished*"},
		Opening: []string{"opening*", "*dishwasher*", "dw", "dw *", "range", "ranges", "range opening*", "appliance*", "knee", "knee space*", "knee hole*", "kneespace*", "kneehole*",
			"*cabinet*opening*", "*support*opening*"},
		Support: []string{"*support*", "*cleat*", "*cabinet*", "carcass*", "*bracket*", "*ledge*", "*corbel*", "base", "bases", "base *", "* base", "* bases", "leg", "legs", "*panel*",
			"pony wall*", "half wall*", "knee wall*"},
		Seam: []string{"*seam*", "joint*", "* joint*"},
		Cutout: []string{"*cutout*", "*cut out*", "*sink*", "*basin*", "*bowl*", "*cooktop*", "*stovetop*", "hob", "hobs", "hob *", "* hob", "*hole*", "tap", "taps", "tap *",
			"*faucet*", "outlet*", "* outlet*", "socket*", "* socket*", "pop up*", "* pop up*", "popup*", "* popup*", "*downdraft*", "*down draft*", "*grommet*", "*chute*",
			"soap", "soap *", "* soap", "* soap *", "air switch*", "* air switch*", "airswitch*", "* airswitch*", "air gap*", "* air gap*"},
		Finished: []string{"finish*", "* finish*", "*finished*", "*polish*", "front", "front edge*"},
		Splash:   []string{"*splash*", "*upstand*"},
		Wall:     []string{"*wall*"},
		Outline: []string{"*outline*", "*counter*", "*worktop*", "*benchtop*", "top", "tops", "top *", "* top", "* tops", "piece*", "perimeter*", "template*", "island*", "* island",
			"*vanity*", "waterfall*"},
	}
}

// Of returns the role of a layer and the pattern that gave it.
func (r Roles) Of(layer string) (Role, string) { return r.patterns().of(layer) }

// rolePattern is a pattern ready to be compared with many names.
type rolePattern struct {
	role    Role
	text    string
	form    string  // text in the one Unicode form that names are compared in
	full    bool    // without * and ?: a layer's full name
	letters charSet // that a name must have
}

type rolePatterns []rolePattern

// patterns returns the patterns of all roles in the order in which they win.
func (r Roles) patterns() rolePatterns {
	of := [...]struct {
		role     Role
		patterns []string
	}{
		{IgnoreRole, r.Ignore}, {OpeningRole, r.Opening}, {SupportRole, r.Support}, {SeamRole, r.Seam}, {CutoutRole, r.Cutout},
		{FinishedRole, r.Finished}, {SplashRole, r.Splash}, {WallRole, r.Wall}, {OutlineRole, r.Outline},
	}
	n := 0
	for _, e := range of {
		n += len(e.patterns)
	}
	all := make(rolePatterns, 0, n)
	for _, e := range of {
		for _, text := range e.patterns {
			p := rolePattern{e.role, text, norm.NFC.String(text), true, 0}
			for _, c := range p.form {
				if c == '*' || c == '?' {
					p.full = false
				} else {
					p.letters = p.letters.with(c)
				}
			}
			all = append(all, p)
		}
	}
	return all
}

func (all rolePatterns) of(layer string) (Role, string) {
	name, has := plainName(layer), charSet(0)
	for _, c := range name {
		has = has.with(c)
	}
	role, pattern := NoRole, ""
	for i := range all {
		p := &all[i]
		if p.letters&^has != 0 || !p.full && role != NoRole || !name.matches(p.form) {
			continue
		}
		if p.full {
			return p.role, p.text
		}
		role, pattern = p.role, p.text
	}
	return role, pattern
}

// charSet is a set of characters in which few share a bit: a name that lacks one
// of a pattern's cannot match it.
type charSet uint64

func (l charSet) with(c rune) charSet { return l | 1<<(uint32(plainRune(c))%64) }

// Cutting reports whether the curves of a layer shape stone: outline, cutout or
// splash. Filled areas (hatches, solids) count as boundaries there.
func (r Roles) Cutting(layer string) bool {
	role, _ := r.Of(layer)
	return role == OutlineRole || role == CutoutRole || role == SplashRole
}

// Matches reports whether any of the patterns matches the layer name.
func Matches(patterns []string, layer string) bool {
	return plainName(layer).matchesAny(patterns)
}

// plainText is a layer name in the form in which names and patterns are compared.
type plainText []rune

func plainName(s string) plainText {
	plain := make(plainText, 0, len(s))
	for _, r := range norm.NFC.String(s) { // an accent may be stored as a sign of its own
		plain = append(plain, plainRune(r))
	}
	return plain
}

// plainRune makes no difference between capital and small letters, nor between
// the characters that stand for a space.
func plainRune(r rune) rune {
	switch {
	case r == '_' || r == '-' || r == '.':
		return ' '
	case 'a' <= r && r <= 'z':
		return r - 'a' + 'A'
	case r < utf8.RuneSelf:
		return r
	}
	return unicode.ToUpper(r)
}

func (s plainText) matchesAny(patterns []string) bool {
	for _, p := range patterns {
		if s.matches(norm.NFC.String(p)) {
			return true
		}
	}
	return false
}

// matches backs up only to the last star, so its time is at most the product of
// the lengths.
func (s plainText) matches(pattern string) bool {
	i, j, star, mark := 0, 0, -1, 0
	for j < len(s) {
		c, size := rune(-1), 0
		if i < len(pattern) {
			if c, size = rune(pattern[i]), 1; c >= utf8.RuneSelf {
				c, size = utf8.DecodeRuneInString(pattern[i:])
			}
		}
		switch {
		case c == '*':
			i++
			star, mark = i, j
		case c == '?' || size > 0 && plainRune(c) == s[j]:
			i += size
			j++
		case star >= 0:
			mark++
			i, j = star, mark
		default:
			return false
		}
	}
	for i < len(pattern) && pattern[i] == '*' {
		i++
	}
	return i == len(pattern)
}
