package report

import (
	"bytes"
	"io"
	"strconv"
	"testing"

	"trueup/rules/shop"
)

// eightPieces is the kitchen twice over: eight pieces with all their openings.
func eightPieces() Input {
	in := kitchenInput()
	t := in.Template
	for _, p := range kitchen().Pieces {
		p.ID += "2"
		p.Outline = p.Outline.Translate(pt(0, 4000))
		for i := range p.Edges {
			for j := range p.Edges[i].Curves {
				p.Edges[i].Curves[j] = p.Edges[i].Curves[j].Translate(pt(0, 4000))
			}
		}
		for i := range p.Cutouts {
			p.Cutouts[i].ID = p.ID + "-" + strconv.Itoa(i+1)
			p.Cutouts[i].Loop = p.Cutouts[i].Loop.Translate(pt(0, 4000))
		}
		t.Pieces = append(t.Pieces, p)
		in.Setups[p.ID] = &shop.Setup{Mass: 80, SawLength: 5000, RouterLeft: 1000, RunMinutes: 10}
	}
	return in
}

func BenchmarkWorkbookEightPieces(b *testing.B) {
	in := eightPieces()
	r := Build(in)
	var size int
	for b.Loop() {
		var out bytes.Buffer
		if err := writeWorkbook(&out, WorkbookInput{Result: r, Template: in.Template, Settings: Default()}); err != nil {
			b.Fatal(err)
		}
		size = out.Len()
	}
	b.ReportMetric(float64(size), "bytes")
}

func BenchmarkBuildEightPieces(b *testing.B) {
	in := eightPieces()
	for b.Loop() {
		if err := Build(in).WriteJSON(io.Discard, false); err != nil {
			b.Fatal(err)
		}
	}
}

// The two parts of a picture: laying it out, and painting and packing it.
func BenchmarkPicture(b *testing.B) {
	in := kitchenInput()
	book := WorkbookInput{Result: Build(in), Template: in.Template, Settings: Default()}
	w, err := NewWriter(book, &Tools{})
	if err != nil {
		b.Fatal(err)
	}
	b.Run("laid out", func(b *testing.B) {
		for b.Loop() {
			w.pieces[0] = nil
			w.piece(0)
		}
	})
	b.Run("painted and packed", func(b *testing.B) {
		for b.Loop() {
			if err := w.piece(0).PNG(io.Discard, w.kit.fonts, pixelsPerMM); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("as SVG", func(b *testing.B) {
		for b.Loop() {
			if err := w.PieceSVG(io.Discard, book.Result.Pieces[0].ID); err != nil {
				b.Fatal(err)
			}
		}
	})
}
