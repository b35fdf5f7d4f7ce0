package draw

import (
	"fmt"
	"image"
	"image/png"
	"strings"

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

// Fonts holds the type of a set of drawings with what was worked out for it.
// Not for concurrent use: make one for each workbook.
type Fonts struct {
	regular, bold *sfnt.Font
	buffer        sfnt.Buffer
	advances      map[glyphKey]float64 // share of the em, size 0
	faces         map[faceKey]font.Face
	glyphs        map[glyphKey]*glyph
	encoder       *png.EncoderBuffer
}

// Get and Put keep the encoder's memory from one picture to the next.
func (f *Fonts) Get() *png.EncoderBuffer { return f.encoder }

// Put implements png.EncoderBufferPool.
func (f *Fonts) Put(b *png.EncoderBuffer) { f.encoder = b }

type faceKey struct {
	bold bool
	size int // pixels * 64
}

type glyphKey struct {
	faceKey
	r rune
}

// glyph is a rasterised character; Rect of the mask is relative to the origin
// on the base line.
type glyph struct {
	mask    *image.Alpha
	advance float64 // pixels
}

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
	return &Fonts{
		regular: regular, bold: bold, advances: map[glyphKey]float64{},
		faces: map[faceKey]font.Face{}, glyphs: map[glyphKey]*glyph{},
	}, nil
}

// Printable returns the text with each character the font lacks replaced by
// Missing and line breaks and control characters by spaces.
func (f *Fonts) Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		if i, err := f.regular.GlyphIndex(&f.buffer, r); err != nil || i == 0 {
			return Missing
		}
		return r
	}, s)
}

// Width returns the width of the text in units of its em size.
func (f *Fonts) Width(s string, bold bool) float64 {
	var sum float64
	for _, r := range f.Printable(s) {
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

func (f *Fonts) advance(r rune, bold bool) float64 {
	key := glyphKey{faceKey{bold: bold}, r}
	if a, ok := f.advances[key]; ok {
		return a
	}
	face := f.font(bold)
	index, err := face.GlyphIndex(&f.buffer, r)
	if err != nil || index == 0 {
		if r != Missing {
			return f.advance(Missing, bold)
		}
	}
	a, err := face.GlyphAdvance(&f.buffer, index, fixed.I(unitsPerEm), font.HintingNone)
	if err != nil {
		a = fixed.I(unitsPerEm / 2) // a glyph without an advance: half an em keeps texts apart
	}
	share := float64(a) / 64 / unitsPerEm
	f.advances[key] = share
	return share
}

func (f *Fonts) font(bold bool) *sfnt.Font {
	if bold {
		return f.bold
	}
	return f.regular
}

// glyph returns the mask of a character at a size in pixels.
func (f *Fonts) glyph(r rune, bold bool, pixels float64) (*glyph, error) {
	key := glyphKey{faceKey{bold, int(pixels*64 + 0.5)}, r}
	if g, ok := f.glyphs[key]; ok {
		return g, nil
	}
	face, ok := f.faces[key.faceKey]
	if !ok {
		var err error
		face, err = opentype.NewFace(f.font(bold), &opentype.FaceOptions{Size: float64(key.size) / 64, DPI: 72})
		if err != nil {
			return nil, fmt.Errorf("font at %.1f pixels: %w", pixels, err)
		}
		f.faces[key.faceKey] = face
	}
	g := &glyph{advance: f.advance(r, bold) * pixels}
	if rect, mask, at, _, ok := face.Glyph(fixed.Point26_6{}, r); ok && !rect.Empty() {
		// The face reuses its mask for the next glyph.
		g.mask = image.NewAlpha(rect)
		for y := rect.Min.Y; y < rect.Max.Y; y++ {
			for x := rect.Min.X; x < rect.Max.X; x++ {
				_, _, _, a := mask.At(at.X+x-rect.Min.X, at.Y+y-rect.Min.Y).RGBA()
				g.mask.Pix[g.mask.PixOffset(x, y)] = uint8(a >> 8)
			}
		}
	}
	f.glyphs[key] = g
	return g, nil
}
