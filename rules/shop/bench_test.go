package shop

import (
	"fmt"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// toothed is a piece with n teeth along one side, every edge finished.
func toothed(n int) *piece.Piece {
	p := &piece.Piece{ID: "A", Thickness: 30, Outline: comb(n, func() float64 { return 90 }, 0)}
	for i, c := range p.Outline {
		p.Edges = append(p.Edges, piece.Edge{N: i + 1, Kind: piece.LineEdge, Curves: []geom.Curve{c}, Finish: piece.Finished})
	}
	return p
}

func BenchmarkSetUp(b *testing.B) {
	s := Default()
	for _, n := range []int{1, 100, 1000, 10000} {
		p := toothed(n)
		b.Run(fmt.Sprintf("curves=%d", len(p.Outline)), func(b *testing.B) {
			for b.Loop() {
				SetUp(p, &piece.Template{}, &s)
			}
		})
	}
}

func BenchmarkFits(b *testing.B) {
	for _, n := range []int{4, 100, 1000} {
		var pts []geom.Point
		for i := range n {
			pts = append(pts, pt(1500, 0).Rotate(6.283*float64(i)/float64(n)))
		}
		l := geom.Polygon(pts...)
		b.Run(fmt.Sprintf("corners=%d", n), func(b *testing.B) {
			for b.Loop() {
				fitsIn(l, 3000, 1300)
			}
		})
	}
}
