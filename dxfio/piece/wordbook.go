package piece

import (
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// known is a word or phrase of the vocabulary as met in a name.
type known struct {
	sense     sense
	headFirst bool // of a language whose phrases begin with what they are
}

// wordbook finds words and phrases.
type wordbook struct {
	entries map[string]known // words in plain form, phrases with spaces between
	longest int              // words in the longest phrase
}

// book returns the vocabulary by its plain words. It is made once and never changed.
var book = sync.OnceValue(func() *wordbook {
	b := &wordbook{entries: map[string]known{}}
	for _, language := range vocabulary {
		for _, list := range language.lists {
			for _, phrase := range strings.Split(list.words, ",") {
				for _, form := range spellings(strings.TrimSpace(phrase)) {
					k := known{list.sense, language.headFirst}
					words := strings.Fields(form)
					b.longest = max(b.longest, len(words))
					b.add(form, k)
					b.add(strings.Join(words, ""), k)
				}
			}
		}
	}
	return b
})

// add keeps the first sense of a word: the lists stand in the order of how often
// drawings come in their language.
func (b *wordbook) add(form string, k known) {
	if _, ok := b.entries[form]; !ok {
		b.entries[form] = k
	}
}

// spellings returns a word of the vocabulary in the forms it is met in: without
// accents, and with the two letters that stand for an umlaut.
func spellings(word string) []string {
	plain := folded(word)
	if two := folded(umlauts.Replace(word)); two != plain {
		return []string{plain, two}
	}
	return []string{plain}
}

var umlauts = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue")

// letters that have no accent to take off, and the plain ones that stand for them.
var ligatures = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "ł", "l", "ı", "i")

// folded is a text in small letters without accents.
func folded(s string) string {
	var out strings.Builder
	for _, r := range norm.NFD.String(s) {
		if !unicode.Is(unicode.Mn, r) {
			out.WriteRune(unicode.ToLower(r))
		}
	}
	return ligatures.Replace(out.String())
}

// find returns a word or phrase, in the singular too.
func (b *wordbook) find(form string) (known, bool) {
	if k, ok := b.entries[form]; ok {
		return k, true
	}
	for _, s := range singulars(form) {
		if k, ok := b.entries[s]; ok {
			return k, true
		}
	}
	return known{}, false
}

// leastStem is how many letters are left of a word whose foreign plural ending is
// taken off: shorter ones are other words (common practice, no source).
const leastStem = 4

// singulars returns what a word may be the plural of.
func singulars(form string) []string {
	var out []string
	if s, ok := strings.CutSuffix(form, "s"); ok && len(s) >= 2 {
		out = append(out, s)
	}
	if s, ok := strings.CutSuffix(form, "es"); ok && len(s) >= 3 {
		out = append(out, s)
	}
	if s, ok := strings.CutSuffix(form, "ies"); ok && len(s) >= 2 {
		out = append(out, s+"y")
	}
	for _, ending := range [...]string{"n", "en", "e", "x"} {
		if s, ok := strings.CutSuffix(form, ending); ok && len(s) >= leastStem {
			out = append(out, s)
		}
	}
	return out
}

// leastPart is the length of the parts that a compound is taken apart into, and
// mostCompound the length of a name's word up to which that is tried.
const (
	leastPart    = 3
	mostCompound = 48
)

// compound takes a word apart into words of the vocabulary that fill it from end to
// end: SINKCUTOUT, Spülenausschnitt. Nil when letters are left over: SINKHOLM holds no sink.
func (b *wordbook) compound(word string) []string {
	if len(word) > mostCompound {
		return nil
	}
	// parts[i] are those of the first i bytes, the fewest there are.
	parts := make([][]string, len(word)+1)
	parts[0] = []string{}
	for end := leastPart; end <= len(word); end++ {
		for from := 0; from <= end-leastPart; from++ {
			if parts[from] == nil || parts[end] != nil && len(parts[end]) <= len(parts[from])+1 {
				continue
			}
			if _, ok := b.entries[word[from:end]]; ok {
				parts[end] = append(parts[from][:len(parts[from]):len(parts[from])], word[from:end])
			} else if end == len(word) || end-from > leastPart { // an ending or a letter that joins two parts
				if k, ok := b.find(word[from:end]); ok && k.sense.role() != NoRole {
					parts[end] = append(parts[from][:len(parts[from]):len(parts[from])], word[from:end])
				}
			}
		}
	}
	if p := parts[len(word)]; len(p) > 1 {
		return p
	}
	return nil
}

// words takes a layer's name apart into plain words and numbers.
func (b *wordbook) words(name string) []string {
	var out []string
	for _, chunk := range strings.FieldsFunc(norm.NFC.String(name), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.Is(unicode.Mn, r)
	}) {
		for _, run := range letterRuns(chunk) {
			out = append(out, b.runWords(run)...)
		}
	}
	return out
}

// letterRuns parts letters from digits: SINK1 is a sink.
func letterRuns(chunk string) []string {
	var out []string
	start, was := 0, false
	for i, r := range chunk {
		if digit := unicode.IsDigit(r); i > 0 && digit != was {
			out = append(out, chunk[start:i])
			start = i
		}
		was = unicode.IsDigit(r)
	}
	return append(out, chunk[start:])
}

// runWords reads a run of letters as one word, as a compound, or as words that begin
// with a capital letter each.
func (b *wordbook) runWords(run string) []string {
	whole := folded(run)
	if _, ok := b.find(whole); ok {
		return []string{whole}
	}
	if parts := b.compound(whole); parts != nil {
		return parts
	}
	humps := camel(run)
	if len(humps) == 1 {
		return []string{whole}
	}
	var out []string
	for _, hump := range humps {
		out = append(out, b.runWords(hump)...)
	}
	return out
}

// camel parts a run of letters where a small one is followed by a capital one, and
// before the last of several capital ones that a small one follows: DWOpening.
func camel(run string) []string {
	letters := []rune(run)
	var out []string
	start := 0
	for i := 1; i < len(letters); i++ {
		lower, upper := unicode.IsLower(letters[i-1]), unicode.IsUpper(letters[i])
		next := i+1 < len(letters) && unicode.IsLower(letters[i+1])
		if upper && (lower || next && unicode.IsUpper(letters[i-1])) {
			out = append(out, string(letters[start:i]))
			start = i
		}
	}
	return append(out, string(letters[start:]))
}

// WordList is a list of built-in words for people to read.
type WordList struct{ Says, Language, Words string }

// Words lists the built-in words that give a role, and those that turn one around.
func Words() []WordList {
	var out []WordList
	for _, language := range vocabulary {
		for _, list := range language.lists {
			says := string(list.sense.role())
			switch list.sense {
			case negationWord:
				says = "not"
			case absentWord:
				says = "not ours"
			}
			if says != "" {
				out = append(out, WordList{says, language.language, list.words})
			}
		}
	}
	return out
}
