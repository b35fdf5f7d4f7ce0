package draw

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image/color"
	"io"

	"github.com/klauspost/compress/zlib"
)

// The parts of a PNG file (W3C Recommendation "Portable Network Graphics",
// sections 5 and 11). The standard library's encoder copies the picture row by
// row into a compressor that takes twice as long; the rows stand here as the
// file wants them.

const pngSignature = "\x89PNG\r\n\x1a\n"

// encode writes the picture with one byte a pixel: packing them would take
// longer than compressing them.
func (r *raster) encode(w io.Writer) error {
	return r.memory.writePNG(w, r.image.Rect.Dx(), r.image.Rect.Dy(), 8, r.palette, r.rows)
}

// Stripes writes a picture of upright stripes in black and white: the modules of
// a bar code, true for black, each so many pixels wide.
func (f *Fonts) Stripes(w io.Writer, modules []bool, pixels, high int) error {
	width := len(modules) * pixels
	if width < 1 || high < 1 || width > largestSide || high > largestSide {
		return fmt.Errorf("a picture of %d x %d pixels cannot be drawn; sides of 1 to %d can", width, high, largestSide)
	}
	row := make([]byte, 1+(width+7)/8) // one bit a pixel, after the byte that says that the row is not filtered
	for i, black := range modules {
		for x := i * pixels; black && x < (i+1)*pixels; x++ {
			row[1+x/8] |= 0x80 >> (x % 8)
		}
	}
	return f.memory.writePNG(w, width, high, 1, color.Palette{color.White, color.Black}, bytes.Repeat(row, high))
}

// writePNG writes the file of a paletted picture of so many bits a pixel from
// its rows, each after the byte that says how it is filtered.
func (m *memory) writePNG(w io.Writer, width, height, bits int, palette color.Palette, rows []byte) error {
	m.packed.Reset()
	if m.zlib == nil {
		var err error
		if m.zlib, err = zlib.NewWriterLevel(&m.packed, zlib.BestSpeed); err != nil {
			return fmt.Errorf("picture: %w", err)
		}
	}
	m.zlib.Reset(&m.packed)
	if _, err := m.zlib.Write(rows); err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	if err := m.zlib.Close(); err != nil {
		return fmt.Errorf("picture: %w", err)
	}
	const paletted, deflate, adaptive, plain = 3, 0, 0, 0 // colour type, and the only methods there are
	head := binary.BigEndian.AppendUint32(nil, uint32(width))
	head = binary.BigEndian.AppendUint32(head, uint32(height))
	head = append(head, byte(bits), paletted, deflate, adaptive, plain)
	var colors []byte
	for _, c := range palette {
		n := color.RGBAModel.Convert(c).(color.RGBA)
		colors = append(colors, n.R, n.G, n.B)
	}
	if _, err := io.WriteString(w, pngSignature); err != nil {
		return err
	}
	for _, c := range [...]struct {
		name string
		data []byte
	}{{"IHDR", head}, {"PLTE", colors}, {"IDAT", m.packed.Bytes()}, {"IEND", nil}} {
		if err := writeChunk(w, c.name, c.data); err != nil {
			return err
		}
	}
	return nil
}

// writeChunk writes a chunk: its length, name and data, and a checksum of both.
func writeChunk(w io.Writer, name string, data []byte) error {
	head := append(binary.BigEndian.AppendUint32(nil, uint32(len(data))), name...)
	sum := crc32.Update(crc32.ChecksumIEEE(head[4:]), crc32.IEEETable, data)
	for _, part := range [...][]byte{head, data, binary.BigEndian.AppendUint32(nil, sum)} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}
