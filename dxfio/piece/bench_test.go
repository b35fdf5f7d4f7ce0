package piece

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"trueup/dxfio"
	"trueup/dxfio/geom"
	"trueup/dxfio/trace"
)

// manyTops is a drawing of n tops side by side that abut in pairs, each with a
// sink, a tap hole, marks and a cabinet.
func manyTops(t testing.TB, n int) *dxfio.Drawing {
	one := parse(t, `
		COUNTER: 0,0 1000,0 1000,640 0,640 close
		SINK: 200,120 700,120 700,520 200,520 close
		TAP HOLE: circle 450,580 d35
		FINISHED: 0,0 1000,0
		WALL: 0,640 1000,640
		SEAM: 1000,0 1000,640
		CABINET: 0,0 1000,0 1000,600 0,600 close`)
	d := &dxfio.Drawing{Layers: one.Layers}
	for i := range n {
		by := geom.Point{X: float64(i%100) * 1001, Y: float64(i/100) * 1000}
		for _, c := range one.Curves {
			c.Curve = c.Translate(by)
			c.Entity += int32(i * 10000)
			d.Curves = append(d.Curves, c)
		}
	}
	return d
}

func BenchmarkBuild(b *testing.B) {
	for _, n := range []int{10, 100, 1000} {
		b.Run(fmt.Sprintf("%d tops", n), func(b *testing.B) {
			d := manyTops(b, n)
			for b.Loop() {
				got, err := Build(context.Background(), d, Default(), trace.Default())
				if err != nil || len(got.Pieces) != n {
					b.Fatal(len(got.Pieces), err)
				}
			}
		})
	}
}

// BenchmarkLongOutline has one outline of n curves, marked along all of them.
func BenchmarkLongOutline(b *testing.B) {
	for _, n := range []int{1000, 10000, 100000} {
		b.Run(fmt.Sprintf("%d curves", n), func(b *testing.B) {
			d := &dxfio.Drawing{Layers: []dxfio.Layer{{Name: "COUNTER"}, {Name: "FINISHED"}}}
			var points []geom.Point
			for i := range n - 2 { // a saw blade, 20 mm teeth
				points = append(points, geom.Point{X: float64(i) * 10, Y: float64(i%2) * 15})
			}
			points = append(points, geom.Point{X: float64(n) * 10, Y: 600}, geom.Point{Y: 600})
			for i, c := range geom.Polygon(points...) {
				for layer := range 2 {
					d.Curves = append(d.Curves, dxfio.Curve{Curve: c, Source: dxfio.Source{Layer: int32(layer), Entity: int32(2*i + layer)}})
				}
			}
			for b.Loop() {
				got, err := Build(context.Background(), d, Default(), trace.Default())
				if err != nil || len(got.Pieces) != 1 {
					b.Fatal(len(got.Pieces), err)
				}
			}
		})
	}
}

// BenchmarkBuildKitchen makes the pieces of an ordinary drawing: the demo's
// kitchen of two pieces, with sink, cooktop, cabinets, walls and finish marks.
func BenchmarkBuildKitchen(b *testing.B) {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "demo", "01-kitchen-l.dxf"))
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	read, err := dxfio.Read(f, dxfio.Options{})
	if err != nil {
		b.Fatal(err)
	}
	d, _ := read.Millimetres(read.Units)
	b.ReportAllocs()
	for b.Loop() {
		got, err := Build(context.Background(), d, Default(), trace.Default())
		if err != nil || len(got.Pieces) != 2 {
			b.Fatal(len(got.Pieces), err)
		}
	}
	b.ReportMetric(float64(len(d.Curves)), "curves")
}
