package piece

import (
	"regexp"
	"strings"
)

// What a dimension is written as (common practice, no source): numbers with
// decimals, fractions and units, after a letter that says of what, between signs
// of by and to: 2400, 94 1/2", 7'-10 1/2", R15, L = 2400, 2400 x 640, 30 mm TYP.
const (
	figure = `\d+(?:[.,]\d+)?(?:[ -]\d+/\d+)?|\d+/\d+`
	unit   = `mm|cm|m|inch(?:es)?|in|ft|deg|"|''|'|″|′|”|’|°|º`
	ofWhat = `r|rad|dia|d|l|w|h|t|ø|⌀|∅|±|\+|-|~|=|<|>`
)

var (
	dimension = regexp.MustCompile(`(?i)^(?:(?:` + ofWhat + `)?[ .:=]*(?:` + figure + `) ?(?:` + unit + `)?[ x×*/+,-]*)+(?:typ|clr|max|min)?\.?$`)
	// A label is a short number, of the piece, the top or the drawing: 1, 12, T1, 2-1.
	// A radius has two digits or more.
	label = regexp.MustCompile(`(?i)^(?:[dlwht]?\d{1,2}|r\d|\d-\d)$`)
)

// isMeasurement reports whether a text is a dimension and no name.
func isMeasurement(text string) bool {
	text = strings.Join(strings.Fields(strings.NewReplacer("(", " ", ")", " ", "[", " ", "]", " ").Replace(text)), " ")
	return dimension.MatchString(text) && !label.MatchString(text)
}
