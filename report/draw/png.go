package draw

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"io"
	"math"

	"github.com/klauspost/compress/zlib"
	"golang.org/x/image/vector"

	"trueup/dxfio/geom"
)

// largestSide keeps a picture within a few tens of megabytes.
const largestSide = 8000

// PNG writes the drawing with so many pixels a millimetre as a paletted
// picture: few colours keep a line drawing small and quick to compress.
func (c *Canvas) PNG(w io.Writer, fonts *Fonts, pixelsPerMM float64) error {
	width, height := int(math.Ceil(c.Width*pixelsPerMM)), int(math.Ceil(c.Height*pixelsPerMM))
	if width < 1 || height < 1 || width > largestSide || height > largestSide {
		return fmt.Errorf("a picture of %d x %d pixels cannot be drawn; sides of 1 to %d can", width, height, largestSide)
	}
	r := newRaster(width, height, pixelsPerMM, fonts)
	for i := range c.items {
		if err := r.draw(&c.items[i]); err != nil {
			return err
		}
	}
	return r.encode(w)
}

// levels is the number of steps of coverage at the edge of a line. Four are
// hard to tell from 255 at print size and keep the palette small.
const levels = 4

// raster is a picture under work. Colours are palette indices; a mixture of two
// is added to the palette when it is first needed.
type raster struct {
	image   image.Paletted
	rows    []byte // of the picture as the file holds them: a byte that says how a row is filtered, then its pixels
	scale   float64
	fonts   *Fonts
	palette color.Palette
	index   map[color.RGBA]uint8
	mixes   [256]*mixTable
	vector  vector.Rasterizer
	*memory
}

// memory is kept from one picture to the next: clearing it is cheaper than
// asking for it again.
type memory struct {
	rows      []byte
	mask      image.Alpha
	points    []geom.Point // of the shape under work
	crossings [][]float64  // of the area under work, by row
	zlib      *zlib.Writer
	packed    bytes.Buffer
}

// mixTable gives, for an ink, the index of its mixture with each background.
type mixTable struct {
	known [levels + 1][256]bool
	index [levels + 1][256]uint8
}

func newRaster(width, height int, scale float64, fonts *Fonts) *raster {
	r := &raster{scale: scale, fonts: fonts, index: map[color.RGBA]uint8{}, memory: &fonts.memory}
	size := (width + 1) * height
	if cap(r.memory.rows) < size {
		r.memory.rows = make([]byte, size)
	}
	r.rows = r.memory.rows[:size]
	clear(r.rows) // paper, and no row filtered
	r.image = image.Paletted{Pix: r.rows[1:], Stride: width + 1, Rect: image.Rect(0, 0, width, height)}
	r.ink(color.RGBA{255, 255, 255, 255}) // index 0: paper
	return r
}

// ink returns the index of a colour, or of the nearest once the palette is full.
func (r *raster) ink(c color.RGBA) uint8 {
	c.A = 255
	if i, ok := r.index[c]; ok {
		return i
	}
	if len(r.palette) >= 256 {
		return uint8(r.palette.Index(c))
	}
	i := uint8(len(r.palette))
	r.palette = append(r.palette, c)
	r.index[c] = i
	return i
}

func (r *raster) table(ink uint8) *mixTable {
	t := r.mixes[ink]
	if t == nil {
		t = &mixTable{}
		r.mixes[ink] = t
	}
	return t
}

// mix returns the index of level/levels of the ink over the background.
func (r *raster) mix(t *mixTable, ink, ground uint8, level int) uint8 {
	if t.known[level][ground] {
		return t.index[level][ground]
	}
	f, b := r.palette[ink].(color.RGBA), r.palette[ground].(color.RGBA)
	part := func(f, b uint8) uint8 { return uint8((int(f)*level + int(b)*(levels-level) + levels/2) / levels) }
	i := r.ink(color.RGBA{part(f.R, b.R), part(f.G, b.G), part(f.B, b.B), 255})
	t.known[level][ground], t.index[level][ground] = true, i
	return i
}

func (r *raster) draw(it *item) error {
	switch it.kind {
	case curvesItem:
		r.stroke(it.curves, it.pen)
	case areaItem:
		r.fill(it.loops, it.fill)
	case textItem:
		return r.text(it.text)
	}
	return nil
}

// cover lays a mask of coverage over the picture in one ink. The mask's corner
// lies at the given pixel.
func (r *raster) cover(mask *image.Alpha, x0, y0 int, ink uint8) {
	t := r.table(ink)
	b := mask.Rect.Sub(mask.Rect.Min).Add(image.Pt(x0, y0)).Intersect(r.image.Rect)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		from := mask.Pix[(y-y0)*mask.Stride+b.Min.X-x0:]
		to := r.image.Pix[y*r.image.Stride+b.Min.X : y*r.image.Stride+b.Max.X]
		for x := range to {
			if a := from[x]; a != 0 {
				if level := (int(a)*levels + 127) / 255; level == levels {
					to[x] = ink
				} else if level > 0 {
					to[x] = r.mix(t, ink, to[x], level)
				}
			}
		}
	}
}

func (r *raster) text(t Text) error {
	pixels := t.Size * r.scale
	s := r.fonts.Printable(t.Value)
	x := t.At.X * r.scale
	switch t.Anchor {
	case Middle:
		x -= r.fonts.Width(s, t.Bold) * pixels / 2
	case Right:
		x -= r.fonts.Width(s, t.Bold) * pixels
	}
	base := int(math.Round((t.At.Y + CapHeight/2*t.Size) * r.scale))
	ink := r.ink(t.Color)
	face, err := r.fonts.face(t.Bold, pixels)
	if err != nil {
		return err
	}
	for _, c := range s {
		if g := face.glyph(c); g.mask != nil {
			r.cover(g.mask, int(math.Round(x))+g.mask.Rect.Min.X, base+g.mask.Rect.Min.Y, ink)
		}
		x += r.fonts.advance(c, t.Bold) * pixels
	}
	return nil
}
