package draw

import (
	"fmt"
	"image"
	"strings"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Missing stands for a character that the font has no glyph for, so that a
// reader sees that something is there.
const Missing = '□'

// CapHeight is the height of capitals as a share of the em of the font.
const CapHeight = 0.72

// Fonts holds the type of a set of drawings with what was worked out for it, and
// the memory that pictures are made in. Not for concurrent use: make one for
// each worker.
type Fonts struct {
	regular, bold *sfnt.Font
	buffer        sfnt.Buffer
	ascii         [2][utf8.RuneSelf]measure // by boldness; most texts need no map
	others        map[runeKey]measure
	faces         map[faceKey]*face
	memory        memory
}

// measure is what is known of a character: whether the font has it, and its
// width as a share of the em.
type measure struct {
	known, printable bool
	advance          float64
}

type runeKey struct {
	r    rune
	bold bool
}

type faceKey struct {
	bold bool
	size int // pixels * 64
}

// face is the type at one size, with the characters rasterised so far.
type face struct {
	font.Face
	ascii  [utf8.RuneSelf]*glyph
	others map[rune]*glyph
}

// glyph is a rasterised character; Rect of the mask is relative to the origin
// on the base line. A space has none.
type glyph struct{ mask *image.Alpha }

// unitsPerEm is the size advances are measured at: large enough that rounding
// to 1/64 does not matter.
const unitsPerEm = 2048

// NewFonts loads the embedded type: Latin with accents, Greek and Cyrillic.
func NewFonts() (*Fonts, error) {
	regular, err := opentype.Parse(goregular.TTF)
	if err != nil {
		return nil, fmt.Errorf("regular font: %w", err)
	}
	bold, err := opentype.Parse(gobold.TTF)
	if err != nil {
		return nil, fmt.Errorf("bold font: %w", err)
	}
	return &Fonts{regular: regular, bold: bold, others: map[runeKey]measure{}, faces: map[faceKey]*face{}}, nil
}

// Printable returns the text with each character the font lacks replaced by
// Missing and line breaks and control characters by spaces.
func (f *Fonts) Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		if !f.measure(r, false).printable {
			return Missing
		}
		return r
	}, s)
}

// Width returns the width of the text as Printable shows it, in units of its em
// size.
func (f *Fonts) Width(s string, bold bool) float64 {
	var sum float64
	for _, r := range s {
		sum += f.advance(r, bold)
	}
	return sum
}

// Cut shortens the text with an ellipsis until it is at most width ems wide.
func (f *Fonts) Cut(s string, bold bool, width float64) string {
	if f.Width(s, bold) <= width {
		return s
	}
	room := width - f.advance('…', bold)
	for i, r := range s {
		if room -= f.advance(r, bold); room < 0 {
			return strings.TrimRight(s[:i], " ") + "…"
		}
	}
	return s
}

// advance returns the width of a character as Printable shows it.
func (f *Fonts) advance(r rune, bold bool) float64 {
	if r < ' ' || r == 0x7f {
		r = ' '
	}
	return f.measure(r, bold).advance
}

func (f *Fonts) measure(r rune, bold bool) measure {
	if r >= 0 && r < utf8.RuneSelf {
		m := &f.ascii[weight(bold)][r]
		if !m.known {
			*m = f.lookUp(r, bold)
		}
		return *m
	}
	key := runeKey{r, bold}
	m, ok := f.others[key]
	if !ok {
		m = f.lookUp(r, bold)
		f.others[key] = m
	}
	return m
}

func weight(bold bool) int {
	if bold {
		return 1
	}
	return 0
}

// lookUp asks the font. Whether a character can be shown is the regular type's
// to say, so that a text reads the same in both.
func (f *Fonts) lookUp(r rune, bold bool) measure {
	m := measure{known: true}
	if i, err := f.regular.GlyphIndex(&f.buffer, r); err == nil && i != 0 {
		m.printable = true
	} else if r != Missing {
		m.advance = f.measure(Missing, bold).advance
		return m
	}
	index, err := f.font(bold).GlyphIndex(&f.buffer, r)
	if err == nil && index == 0 && r != Missing {
		m.advance = f.measure(Missing, bold).advance
		return m
	}
	a, err := f.font(bold).GlyphAdvance(&f.buffer, index, fixed.I(unitsPerEm), font.HintingNone)
	if err != nil {
		a = fixed.I(unitsPerEm / 2) // a glyph without an advance: half an em keeps texts apart
	}
	m.advance = float64(a) / 64 / unitsPerEm
	return m
}

func (f *Fonts) font(bold bool) *sfnt.Font {
	if bold {
		return f.bold
	}
	return f.regular
}

// face returns the type at a size in pixels.
func (f *Fonts) face(bold bool, pixels float64) (*face, error) {
	key := faceKey{bold, int(pixels*64 + 0.5)}
	if made, ok := f.faces[key]; ok {
		return made, nil
	}
	opened, err := opentype.NewFace(f.font(bold), &opentype.FaceOptions{Size: float64(key.size) / 64, DPI: 72})
	if err != nil {
		return nil, fmt.Errorf("font at %.1f pixels: %w", pixels, err)
	}
	made := &face{Face: opened, others: map[rune]*glyph{}}
	f.faces[key] = made
	return made, nil
}

// glyph returns a character of the face, nil when it leaves no mark.
func (t *face) glyph(r rune) *glyph {
	if r >= 0 && r < utf8.RuneSelf {
		if t.ascii[r] == nil {
			t.ascii[r] = t.rasterise(r)
		}
		return t.ascii[r]
	}
	g, ok := t.others[r]
	if !ok {
		g = t.rasterise(r)
		t.others[r] = g
	}
	return g
}

func (t *face) rasterise(r rune) *glyph {
	rect, mask, at, _, ok := t.Glyph(fixed.Point26_6{}, r)
	if !ok || rect.Empty() {
		return &glyph{}
	}
	// The face reuses its mask for the next glyph.
	g := &glyph{mask: image.NewAlpha(rect)}
	for y := rect.Min.Y; y < rect.Max.Y; y++ {
		for x := rect.Min.X; x < rect.Max.X; x++ {
			_, _, _, a := mask.At(at.X+x-rect.Min.X, at.Y+y-rect.Min.Y).RGBA()
			g.mask.Pix[g.mask.PixOffset(x, y)] = uint8(a >> 8)
		}
	}
	return g
}
