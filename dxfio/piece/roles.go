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

// Roles gives layers their roles. The lists hold the shop's own patterns of layer
// names: case-insensitive, * for any run of characters, ? for one; space,
// underscore, hyphen and dot are the same. A pattern without * and ? wins over those
// with one, so that a layer's full name always settles its role; otherwise the role
// that stands first below wins. What no pattern of the shop's meets is read by the
// built-in words (see Read), whose doubts are told; the shop's word is never doubted.
type Roles struct {
	Words    bool     `toml:"words" doc:"layers that no pattern below names are read by the built-in words, as trueup layers --words lists them"`
	Ignore   []string `toml:"ignore" doc:"your layers never looked at"`
	Opening  []string `toml:"opening" doc:"your layers of areas without support inside a support: dishwasher, range, knee space"`
	Support  []string `toml:"support" doc:"your layers of what carries the top: cabinet, wall ledge, bracket; closed areas or lines"`
	Seam     []string `toml:"seam" doc:"your layers of lines where pieces meet"`
	Cutout   []string `toml:"cutout" doc:"your layers of openings through the stone"`
	Finished []string `toml:"finished" doc:"your layers of marks along edges to polish"`
	Splash   []string `toml:"splash" doc:"your layers of outlines of backsplash pieces"`
	Wall     []string `toml:"wall" doc:"your layers of walls, and edges that stand against one"`
	Outline  []string `toml:"outline" doc:"your layers of outlines of the tops"`
}

func defaultRoles() Roles { return Roles{Words: true} }

// Of returns the role of a layer and the pattern or words that gave it.
func (r Roles) Of(layer string) (Role, string) {
	reading := r.Read(layer)
	return reading.Role, reading.By
}

// Read says what the layer of a name holds: by the shop's patterns, otherwise by the
// built-in words.
func (r Roles) Read(layer string) Reading { return r.reader().read(layer) }

// roleReader is Roles made ready for many names.
type roleReader struct {
	patterns rolePatterns
	words    bool
}

func (r Roles) reader() roleReader { return roleReader{r.patterns(), r.Words} }

func (r roleReader) read(layer string) Reading {
	if role, pattern := r.patterns.of(layer); role != NoRole {
		own := Reading{Role: role, By: pattern, Own: true, quiet: quietMeant}
		if r.words { // what words say beside the role still holds
			words := readName(layer)
			own.label = words.label
			if role == CutoutRole {
				own.kind = kindOf(phrases(book().words(layer)), role)
			}
		}
		return own
	}
	if !r.words {
		return Reading{}
	}
	return readName(layer)
}

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
	e := earlierPatterns()
	of := [...]struct {
		role              Role
		patterns, earlier []string
	}{
		{IgnoreRole, r.Ignore, e.Ignore}, {OpeningRole, r.Opening, e.Opening}, {SupportRole, r.Support, e.Support}, {SeamRole, r.Seam, e.Seam}, {CutoutRole, r.Cutout, e.Cutout},
		{FinishedRole, r.Finished, e.Finished}, {SplashRole, r.Splash, e.Splash}, {WallRole, r.Wall, e.Wall}, {OutlineRole, r.Outline, e.Outline},
	}
	if r.Words {
		for i := range of {
			of[i].patterns = ownPatterns(of[i].patterns, of[i].earlier)
		}
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
