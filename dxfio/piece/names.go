package piece

import (
	"fmt"
	"strings"
	"unicode"

	"trueup/dxfio"
)

// longestName bounds the letters of a name: it has to fit a label on the stone.
const longestName = 40

// nameFrom returns the first line of a text that holds anything, its white
// space narrowed.
func nameFrom(text string) string {
	for line := range strings.SplitSeq(text, "\n") {
		if name := strings.Join(strings.Fields(line), " "); name != "" {
			if r := []rune(name); len(r) > longestName {
				name = strings.TrimSpace(string(r[:longestName]))
			}
			return name
		}
	}
	return ""
}

// Lettered reports whether a name may be one of those that pieces without a text
// get: A, B ... Z, AA ...
func Lettered(id string) bool {
	return id != "" && len(id) <= 3 && strings.Trim(id, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

// letters returns A, B ... Z, AA, AB ... for 0, 1, ...
func letters(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('A'+(i-1)%26)) + s
	}
	return s
}

// giveNames sets the ids of the pieces, which stand in their final order. names
// holds what the texts call them, "" for no text. Ids differ without regard to
// case, because they become names of sheets and files.
func giveNames(pieces []Piece, names []string) {
	taken := map[string]bool{}
	take := func(name string) bool {
		key := strings.ToUpper(name)
		if taken[key] {
			return false
		}
		taken[key] = true
		return true
	}
	var again []int
	for i, name := range names {
		if name != "" && take(name) {
			pieces[i].ID = name
		} else if name != "" {
			again = append(again, i)
		}
	}
	for _, i := range again {
		for k := 2; pieces[i].ID == ""; k++ {
			if name := fmt.Sprintf("%s-%d", names[i], k); take(name) {
				pieces[i].ID = name
			}
		}
	}
	k := 0
	for i := range pieces {
		for pieces[i].ID == "" {
			if name := letters(k); take(name) {
				pieces[i].ID = name
			}
			k++
		}
	}
}

// textNames returns what the texts of the drawing call each piece: the first
// line of the topmost text that lies on the piece's stone, of equally high ones
// the leftmost. Texts on the layers of tops, splashes or of no role come before
// all others. Next come those on the ignored layers of the setting name_layers,
// where many programs write all texts; then those of cabinets and cutouts, which
// carry names of their own. Longer texts there (notes) and texts on other ignored
// layers (dimensions) name nothing, nor do those on finished and seam layers, which are profiles and labels
// of seams, nor measurements on any layer. Of two texts that serve as well, one
// with a letter comes before a bare number.
func (b *builder) textNames(pieces []Piece) []string {
	stone := b.stoneOf(pieces)
	best := make([]int, len(pieces)) // 1 + index of the text
	for k, text := range b.d.Texts {
		if name := nameFrom(text.Value); b.nameRank(text) == namesNothing || name == "" || isMeasurement(name) {
			continue
		}
		stone.at(text.At, func(i int) bool {
			if best[i] == 0 || b.namesBetter(text, b.d.Texts[best[i]-1]) {
				best[i] = k + 1
			}
			return true
		})
	}
	names := make([]string, len(pieces))
	for i, k := range best {
		if k > 0 {
			names[i] = nameFrom(b.d.Texts[k-1].Value)
		}
	}
	return names
}

func (b *builder) namesBetter(t, u dxfio.Text) bool {
	if p, q := b.nameRank(t), b.nameRank(u); p != q {
		return p > q
	}
	if p, q := strings.ContainsFunc(nameFrom(t.Value), unicode.IsLetter), strings.ContainsFunc(nameFrom(u.Value), unicode.IsLetter); p != q {
		return p
	}
	if t.At.Y != u.At.Y {
		return t.At.Y > u.At.Y
	}
	if t.At.X != u.At.X {
		return t.At.X < u.At.X
	}
	return t.Value < u.Value
}

// nameRank says how well a text serves as the name of the piece it lies on.
type nameRank uint8

const (
	namesNothing nameRank = iota
	namesPart             // something on the piece
	namesOrNote           // a piece, or something else
	namesTop
)

func (b *builder) nameRank(t dxfio.Text) nameRank {
	switch b.role(t.Layer) {
	case OutlineRole, SplashRole, NoRole:
		return namesTop
	case FinishedRole, SeamRole:
		return namesNothing
	case IgnoreRole:
		labels := b.readings[t.Layer].label || Matches(b.s.NameLayers, b.d.Layers[t.Layer].Name)
		if labels && b.readings[t.Layer].quiet != quietMeant && lettered(nameFrom(t.Value)) <= mostLabelWords {
			return namesOrNote
		}
		return namesNothing
	}
	return namesPart
}

// mostLabelWords is the number of words up to which a text on an ignored layer is
// a label; what is longer is a note (common practice, no source).
const mostLabelWords = 2

// lettered counts the words of a text that hold a letter.
func lettered(text string) int {
	n := 0
	for _, word := range strings.Fields(text) {
		if strings.ContainsFunc(word, unicode.IsLetter) {
			n++
		}
	}
	return n
}
