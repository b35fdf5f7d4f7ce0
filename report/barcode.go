package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"unicode"

	"github.com/boombuler/barcode/code128"
	"golang.org/x/text/unicode/norm"

	"trueup/report/draw"
)

// mostCode is how many characters of a bar code fit at the head of a piece's
// sheet with modules of a quarter of a millimetre.
const mostCode = 36

// pieceCode is what the bar code of a piece says: job-revision-piece. Code 128
// holds ASCII: accents are dropped, other characters become a dot. A text that
// is too long, or lost more than accents, keeps its start and gets eight digits
// of its hash, so that no two pieces share a code.
func pieceCode(job string, revision int, piece string) string {
	full := job + "-" + itoa(revision) + "-" + piece
	changed := false
	plain := strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Mn, r):
			return -1
		case r > ' ' && r < 0x7f:
			return r
		case r == ' ':
			return '_'
		}
		changed = true
		return '.'
	}, norm.NFD.String(full))
	if len(plain) <= mostCode && !changed {
		return plain
	}
	sum := sha256.Sum256([]byte(full))
	tail := "~" + hex.EncodeToString(sum[:4])
	if keep := mostCode - len(tail); len(plain) > keep {
		plain = plain[:keep]
	}
	return plain + tail
}

// Sizes of a bar code (ISO/IEC 15417: a quiet zone of ten modules on each side).
const (
	quietModules     = 10
	pixelsPerModule  = 4
	barHeight        = 64   // pixels
	widestModule     = 0.3  // mm: hand-held scanners read 0.25 and more off an office printer
	barHeightOnPaper = 11.0 // mm
)

// barcodePNG draws a Code 128 symbol in two colours and returns its width in
// modules, quiet zones included.
func barcodePNG(fonts *draw.Fonts, text string) ([]byte, int, error) {
	code, err := code128.Encode(text)
	if err != nil {
		return nil, 0, fmt.Errorf("bar code of %q: %w", text, err)
	}
	modules := make([]bool, code.Bounds().Dx()+2*quietModules)
	for m := range code.Bounds().Dx() {
		r, _, _, _ := code.At(m, 0).RGBA()
		modules[m+quietModules] = r == 0
	}
	var b bytes.Buffer
	if err := fonts.Stripes(&b, modules, pixelsPerModule, barHeight); err != nil {
		return nil, 0, fmt.Errorf("bar code of %q: %w", text, err)
	}
	return b.Bytes(), len(modules), nil
}
