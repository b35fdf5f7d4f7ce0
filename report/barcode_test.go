package report

import (
	"bytes"
	"image/png"
	"testing"

	"github.com/boombuler/barcode/code128"
)

// Check symbols of ISO/IEC 15417: the start's value plus each value times its
// position, modulo 103. Worked: abcdef in set B gives 1539, 97; 345678 in set C
// gives 485, 73.
func TestCode128CheckSymbols(t *testing.T) {
	for text, want := range map[string]int{"abcdef": 97, "345678": 73} {
		code, err := code128.Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		if code.CheckSum() != want {
			t.Errorf("%s: check symbol %v, want %d", text, code.CheckSum(), want)
		}
	}
}

// A symbol has 11 modules for the start, each character and the check, 13 for
// the stop, and a quiet zone of ten on each side (ISO/IEC 15417).
func TestBarcodePicture(t *testing.T) {
	data, modules, err := barcodePNG(testFonts(t), "abcdef")
	if err != nil {
		t.Fatal(err)
	}
	if want := 11*8 + 13 + 20; modules != want {
		t.Errorf("%d modules, want %d", modules, want)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != modules*pixelsPerModule || b.Dy() != barHeight {
		t.Errorf("picture %v", b)
	}
	dark := func(module int) bool {
		r, _, _, _ := img.At(module*pixelsPerModule+1, barHeight-1).RGBA()
		return r == 0
	}
	// The widths of start B and of stop: 211214 and 2331112.
	for at, widths := range map[int]string{quietModules: "211214", modules - quietModules - 13: "2331112"} {
		for i, w := range widths {
			for range int(w - '0') {
				if dark(at) != (i%2 == 0) {
					t.Errorf("module %d of %s is wrong", at, widths)
				}
				at++
			}
		}
	}
	for m := range quietModules {
		if dark(m) || dark(modules-1-m) {
			t.Errorf("quiet zone is not quiet at %d", m)
		}
	}
	if _, _, err := barcodePNG(testFonts(t), "ü"); err == nil {
		t.Error("a character outside Code 128 is encoded")
	}
}

func TestPieceCode(t *testing.T) {
	seen := map[string]string{}
	for _, c := range []struct {
		job      string
		revision int
		piece    string
		want     string // empty: any that is short, plain and nobody else's
	}{
		{"harbour/kitchen", 2, "A", "harbour/kitchen-2-A"},
		{"harbour/müller kitchen", 1, "A", "harbour/muller_kitchen-1-A"},
		{"厨房", 1, "A", ""}, {"書斎", 1, "A", ""},
		{"a very long path of folders/and one more/kitchen", 1, "A", ""},
		{"a very long path of folders/and one more/kitchen", 1, "B", ""},
		{"a very long path of folders/and one more/kitchen", 2, "A", ""},
		{"x\x00y", 1, "\n", ""},
	} {
		got := pieceCode(c.job, c.revision, c.piece)
		if c.want != "" && got != c.want {
			t.Errorf("%q: %q, want %q", c.job, got, c.want)
		}
		if len(got) > mostCode {
			t.Errorf("%q: %d characters", c.job, len(got))
		}
		if other, twice := seen[got]; twice {
			t.Errorf("%q and %q share %q", c.job, other, got)
		}
		seen[got] = c.job
		if _, _, err := barcodePNG(testFonts(t), got); err != nil {
			t.Errorf("%q: %v", got, err)
		}
	}
}
