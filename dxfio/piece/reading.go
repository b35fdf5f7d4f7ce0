package piece

import (
	"slices"
	"strings"
	"unicode"
)

// Reading is what a layer's name says about its curves.
type Reading struct {
	Role  Role
	By    string // the shop's pattern, or the words of the name that decided
	Own   bool   // the shop's own pattern: it is never questioned
	Doubt []Role // the roles in question where words disagree, Role among them; nil when they do not

	kind     CutoutKind // Sink or Cooktop where a word says so
	label    bool       // its texts may be names of pieces
	quiet    quietness
	drafting bool // notes, dimensions, frames
}

// quietness says where curves of an ignored layer are at home, so that they tell nothing.
type quietness uint8

const (
	notQuiet   quietness = iota
	quietRoom            // what hangs over tops or stands in the room
	quietSheet           // frames and title blocks around a drawing
	quietMeant           // flags of a marked drawing, and what is called to be ignored
)

// word is a word or phrase of a name with what it speaks of.
type word struct {
	known
	text string
}

// readName reads a layer's name by the built-in words. A name without any of them
// has no role.
func readName(name string) Reading {
	tokens := book().words(name)
	if len(tokens) > 0 && (tokens[0] == "flag" || tokens[0] == "ignore") {
		return Reading{Role: IgnoreRole, By: tokens[0], quiet: quietMeant}
	}
	found := phrases(tokens)
	if slices.ContainsFunc(found, func(w word) bool { return w.headFirst && w.sense.role() != NoRole }) {
		slices.Reverse(found) // découpe évier, meuble évier: the first noun is what it is
	}
	if r, ok := notesOf(found); ok {
		return r
	}
	negated, found := negations(found)
	ofCutout, slab, stone := edgeOfCutout(found), endsInSlab(found), ofStone(found)
	polished := slices.ContainsFunc(found, func(w word) bool { return w.sense == finishedWord })
	found = withoutModifiers(hungCabinets(found))
	r := fold(found)
	if slab && r.Role != NoRole && r.Role != OutlineRole && r.Role != SplashRole && len(r.Doubt) == 0 {
		r.Doubt = union(nil, r.Role, OutlineRole) // HOOD LEDGE, RANGE TREAD: of stone, or what else stands there
	}
	if stone && (r.Role == OpeningRole || r.Role == FinishedRole && !polished || r.Role == IgnoreRole && r.quiet == quietRoom) {
		r.Doubt = union(r.Doubt, r.Role, OutlineRole) // STONE HOOD, WINDOW PIECE, FRONT STONE: its cladding, perhaps
	}
	if ofCutout {
		r.Doubt = union(r.Doubt, CutoutRole, FinishedRole) // SINK FINISHED EDGE
	}
	if r.Role == NoRole {
		return r
	}
	r.By = wordsBy(found)
	if negated {
		other := IgnoreRole
		if r.Role == SupportRole {
			other = OpeningRole // no support is what an opening says
		}
		r.Doubt = union(r.Doubt, r.Role, other)
	}
	return r
}

// phrases finds the words of the vocabulary, the longest phrases first.
func phrases(tokens []string) []word {
	b := book()
	var out []word
	for i := 0; i < len(tokens); {
		taken := 0
		for n := min(b.longest, len(tokens)-i); n > 0 && taken == 0; n-- {
			form := strings.Join(tokens[i:i+n], " ")
			k, ok := b.find(form)
			if !ok || n == 1 && form == "no" && isNumber(tokens, i+1) && !(i+1 == len(tokens) && ofFinish(out)) {
				continue // NO 2 is number two; POLISH NO is none
			}
			out = append(out, word{k, form})
			taken = n
		}
		i += max(taken, 1)
	}
	return out
}

// ofFinish reports whether the last word found speaks of a finish.
func ofFinish(found []word) bool {
	return len(found) > 0 && found[len(found)-1].sense == finishedWord
}

// isNumber reports whether token i is a number, or there is none: COUNTER NO 2.
func isNumber(tokens []string, i int) bool {
	return i >= len(tokens) || !strings.ContainsFunc(tokens[i], func(r rune) bool { return !unicode.IsDigit(r) })
}

// notesOf recognises layers of notes and dimensions: they are about whatever else
// the name speaks of.
func notesOf(found []word) (Reading, bool) {
	for _, w := range found {
		if w.sense != draftingWord && w.sense != labelWord {
			continue
		}
		r := Reading{Role: IgnoreRole, By: w.text, drafting: true, label: w.sense == labelWord}
		if slices.Contains(sheetWords, w.text) {
			r.quiet = quietSheet
		}
		return r, true
	}
	return Reading{}, false
}

// sheetWords name what stands around a drawing.
var sheetWords = []string{"title", "title block", "titleblock", "border", "viewport", "viewports", "legend", "logo", "schedule", "north arrow", "defpoints", "titel", "rahmen", "schriftfeld", "schriftkopf",
	"legende", "kader", "cartouche", "cadre", "leyenda", "marco", "cajetin", "cartiglio", "squadratura", "legenda", "carimbo"}

// negations takes negated finishes as what they say, and reports whether the name
// negates, or calls not the shop's, anything else.
func negations(found []word) (negated bool, out []word) {
	deny, absent := false, false
	for _, w := range found {
		switch {
		case w.sense == negationWord:
			deny = true
			continue
		case w.sense == absentWord:
			absent = true
			continue
		case deny && w.sense == finishedWord:
			w.sense, w.text, deny = bareWord, "no "+w.text, false
		}
		out = append(out, w)
	}
	if deny && slices.ContainsFunc(out, func(w word) bool { return w.sense == finishedWord }) {
		for i := range out { // FINISHED: NO
			if out[i].sense == finishedWord {
				out[i].sense, out[i].text, deny = bareWord, "no "+out[i].text, false
			}
		}
	}
	stone := slices.ContainsFunc(out, func(w word) bool {
		r := w.sense.role()
		return r == OutlineRole || r == SplashRole || r == CutoutRole
	})
	return deny || absent && stone, out
}

// endsInSlab reports whether the thing that a name speaks of may be a piece of stone: the
// last of its words that says anything. SHELF BRACKET is a bracket.
func endsInSlab(found []word) bool {
	over := slices.ContainsFunc(found, func(w word) bool { return w.sense == overheadWord || w.sense == wallWord })
	for i := len(found) - 1; i >= 0; i-- {
		switch w := found[i]; w.sense {
		case neutralWord, edgeWord, formWord:
			continue
		default:
			return w.sense == slabWord || w.text == "ledge" && over
		}
	}
	return false
}

// stoneWords say in a name that what it speaks of is made of stone.
var stoneWords = []string{"stone", "piece", "granite", "quartz", "quartzite", "marble", "naturstein", "pierre", "piedra", "pietra", "pedra"}

// ofStone reports whether a name says that its thing is made of stone.
func ofStone(found []word) bool {
	return slices.ContainsFunc(found, func(w word) bool { return slices.Contains(stoneWords, w.text) })
}

// hungCabinets takes cabinets that hang, CABINETS UPPER, for what hangs over the top.
func hungCabinets(found []word) []word {
	if !slices.ContainsFunc(found, func(w word) bool { return w.sense == upperWord }) {
		return found
	}
	found = slices.Clone(found)
	for i := range found {
		if found[i].sense == supportWord {
			found[i].sense = overheadWord
		}
	}
	return found
}

// edgeOfCutout reports whether the name speaks of the finished edge of a cutout.
func edgeOfCutout(found []word) bool {
	cut, finish, edge := false, false, false
	for _, w := range found {
		cut = cut || w.sense.role() == CutoutRole
		finish = finish || w.sense == finishedWord
		edge = edge || w.sense == edgeWord
	}
	return cut && finish && edge
}

// role is what a word gives when nothing else stands beside it.
func (s sense) role() Role {
	switch s {
	case formWord, placeWord, productWord:
		return OutlineRole
	case splashWord:
		return SplashRole
	case sinkWord, cooktopWord, holeWord, cutWord:
		return CutoutRole
	case openingWord, applianceWord, rangeWord, unsupportWord:
		return OpeningRole
	case seamWord:
		return SeamRole
	case supportWord, bearerWord, panelWord:
		return SupportRole
	case finishedWord, frontWord:
		return FinishedRole
	case wallWord:
		return WallRole
	case bareWord, overheadWord, windowWord, upperWord, draftingWord, labelWord:
		return IgnoreRole
	}
	return NoRole
}

// withoutModifiers drops the words that only say of what, or in what shape, where
// another word says what the layer holds.
func withoutModifiers(found []word) []word {
	has := func(senses ...sense) bool {
		return slices.ContainsFunc(found, func(w word) bool { return slices.Contains(senses, w.sense) })
	}
	if has(windowWord) && has(panelWord) { // a window ledge may be of stone
		found = slices.Clone(found)
		for i := range found {
			if found[i].sense == windowWord {
				found[i].sense = productWord
			}
		}
	}
	drop := map[sense]bool{neutralWord: true, slabWord: true}
	drop[edgeWord] = true
	thing := []sense{productWord, splashWord, sinkWord, cooktopWord, holeWord, cutWord, openingWord, applianceWord, rangeWord, seamWord, supportWord, bearerWord, panelWord,
		finishedWord, bareWord, wallWord, overheadWord, unsupportWord}
	drop[formWord] = has(thing...) || has(placeWord, frontWord, windowWord)
	drop[upperWord] = has(thing...) || has(placeWord)
	drop[frontWord] = has(slices.DeleteFunc(slices.Clone(thing), func(s sense) bool { return s == productWord })...)
	// ISLAND SEAM, SEAM ISLAND: the seam of the island. ISLAND PANEL may be its end of stone.
	drop[placeWord] = has(slices.DeleteFunc(slices.Clone(thing), func(s sense) bool { return s == panelWord })...)
	drop[windowWord] = has(productWord, splashWord, wallWord, supportWord, bearerWord, sinkWord, cooktopWord, holeWord, cutWord, seamWord, finishedWord, overheadWord)
	drop[panelWord] = has(splashWord, overheadWord) || hasText(found, "waterfall")
	return slices.DeleteFunc(slices.Clone(found), func(w word) bool { return drop[w.sense] })
}

func hasText(found []word, text string) bool {
	return slices.ContainsFunc(found, func(w word) bool { return w.text == text })
}

// fold settles the words of a name from left to right.
func fold(found []word) Reading {
	var r Reading
	was := unknownWord
	for _, w := range found {
		if was == unknownWord {
			r.Role, was = w.sense.role(), w.sense
			continue
		}
		if w.sense.role() == NoRole {
			continue
		}
		next, doubt := pair(was, w.sense)
		if doubt {
			r.Doubt = union(r.Doubt, was.role(), w.sense.role())
			next = graver(was, w.sense)
		}
		r.Role, was = next.role(), next
	}
	if len(r.Doubt) > 0 && !slices.Contains(r.Doubt, r.Role) {
		r.Doubt = union(r.Doubt, r.Role)
	}
	r.kind = kindOf(found, r.Role)
	if was == overheadWord || was == windowWord {
		r.quiet = quietRoom
	}
	return r
}

func kindOf(found []word, role Role) CutoutKind {
	if role != CutoutRole {
		return ""
	}
	kind := CutoutKind("")
	for _, w := range found {
		switch {
		case w.sense == sinkWord:
			kind = Sink
		case w.sense == cooktopWord && kind == "":
			kind = Cooktop
		}
	}
	return kind
}

// graver is the sense of two in doubt that is worked with until somebody says: what
// keeps a cutout from being lost comes first, and a top last, since one more piece
// is not what a doubtful name should make.
func graver(a, b sense) sense {
	order := [...]Role{OpeningRole, SupportRole, SeamRole, CutoutRole, FinishedRole, SplashRole, WallRole, OutlineRole, IgnoreRole}
	if slices.Index(order[:], a.role()) <= slices.Index(order[:], b.role()) {
		return a
	}
	return b
}

// union returns the roles in the order of reports, each once.
func union(roles []Role, more ...Role) []Role {
	order := [...]Role{OutlineRole, SplashRole, CutoutRole, SeamRole, SupportRole, OpeningRole, FinishedRole, WallRole, IgnoreRole}
	all := append(slices.Clone(roles), more...)
	var out []Role
	for _, r := range order {
		if slices.Contains(all, r) {
			out = append(out, r)
		}
	}
	return out
}

func wordsBy(found []word) string {
	var out []string
	for _, w := range found {
		if !slices.Contains(out, w.text) {
			out = append(out, w.text)
		}
	}
	return strings.Join(out, " ")
}
