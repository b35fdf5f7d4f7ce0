package piece

import (
	"slices"
	"strings"
	"sync"
)

// standing returns the words, in plain form, of stone that stands on its edge or lies on
// a wall, a stair or the floor, and so needs no cabinet below (common practice, no source).
var standing = sync.OnceValue(func() map[string]bool {
	forms := map[string]bool{}
	for _, word := range strings.Fields(`
		waterfall panel leg end side sill windowsill ledge cap hearth threshold upstand
		fensterbank fensterbänke fensterbrett fenstersims sohlbank wange wangen
		vensterbank raamdorpel dorpel
		rebord seuil joue
		alféizar umbral
		davanzale soglia
		peitoril soleira`) {
		for _, form := range spellings(word) {
			forms[form] = true
		}
	}
	return forms
})

// Standing reports whether the name of a piece or of its layer has a word for stone
// that no cabinet carries: a waterfall side, a window sill, a cap on a half wall, a
// splash, a tread. Words are read as those of layers are, in the same languages.
func Standing(name string) bool {
	b := book()
	return slices.ContainsFunc(b.words(name), func(token string) bool {
		for _, form := range append(singulars(token), token) {
			if standing()[form] {
				return true
			}
		}
		k, ok := b.find(token)
		return ok && (k.sense == splashWord || k.sense == slabWord || k.sense == windowWord)
	})
}
