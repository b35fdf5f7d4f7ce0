package trace

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
)

// shuffledOutline returns one outline of n loose lines in random order and
// direction, with corners too sharp for facets.
func shuffledOutline(n int) []Curve {
	r := rand.New(rand.NewPCG(1, uint64(n)))
	p := make([]geom.Point, n)
	for i := range p {
		radius := float64(n) + 4*float64(i%2) + 2*r.Float64()
		p[i] = geom.Point{X: radius}.Rotate(2 * math.Pi * float64(i) / float64(n))
	}
	out := make([]Curve, n)
	for i := range p {
		out[i] = Curve{Curve: geom.Line(p[i], p[(i+1)%n]), ID: int32(i), Entity: -1}
	}
	return disorder(r, out)
}

func BenchmarkCloseShuffledOutline(b *testing.B) {
	for _, n := range []int{1e3, 1e4, 1e5, 1e6} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			curves := shuffledOutline(n)
			b.ReportAllocs()
			b.ResetTimer()
			for range b.N {
				if r := closed(curves, Default()); len(r.Faces) != 1 {
					b.Fatalf("%d faces", len(r.Faces))
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/curve")
		})
	}
}

// crossingSeams returns a top with n seams across it, each crossing few others.
func crossingSeams(n int) []Curve {
	r := rand.New(rand.NewPCG(2, uint64(n)))
	side := 50 * math.Sqrt(float64(n))
	out := make([]Curve, 0, n+4)
	for i, c := range geom.Polygon(geom.Point{}, geom.Point{X: side}, geom.Point{X: side, Y: side}, geom.Point{Y: side}) {
		out = append(out, Curve{Curve: c, ID: int32(i), Entity: 0})
	}
	for i := range n {
		a := geom.Point{X: r.Float64() * side, Y: r.Float64() * side}
		b := a.Add(geom.Point{X: 100 + 50*r.Float64()}.Rotate(7 * r.Float64()))
		out = append(out, Curve{Curve: geom.Line(a, b), ID: int32(4 + i), Kind: Divider, Entity: -1})
	}
	return out
}

func BenchmarkCrossingSeams(b *testing.B) {
	for _, n := range []int{1e3, 1e4, 1e5} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			curves := crossingSeams(n)
			s := Default()
			s.Join, s.Bridge, s.SliverArea = 0, 0, 0
			b.ReportAllocs()
			b.ResetTimer()
			faces := 0
			for range b.N {
				faces = len(closed(curves, s).Faces)
			}
			if faces < n/50 {
				b.Fatalf("%d faces", faces)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/curve")
			b.ReportMetric(float64(faces), "faces")
		})
	}
}

// kitchen returns an ordinary template: two tops with a seam between them, a
// splash, a sink and a hob with rounded corners, and tap holes, 40 curves.
func kitchen() []Curve {
	var out []Curve
	add := func(entity int32, kind Kind, curves ...geom.Curve) {
		for _, c := range curves {
			out = append(out, Curve{Curve: c, ID: int32(len(out)), Kind: kind, Entity: entity})
		}
	}
	at := func(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }
	rounded := func(entity int32, x, y, w, h, r float64) {
		const quarter = 0.41421356237309503 // tan(90 degrees / 4)
		p := [8]geom.Point{at(x+r, y), at(x+w-r, y), at(x+w, y+r), at(x+w, y+h-r), at(x+w-r, y+h), at(x+r, y+h), at(x, y+h-r), at(x, y+r)}
		for i := range p {
			c := geom.Line(p[i], p[(i+1)%8])
			if i%2 == 1 {
				c.Bulge = quarter
			}
			add(entity, Boundary, c)
		}
	}
	add(-1, Boundary, geom.Polygon(at(0, 0), at(2400, 0), at(2400, 1500), at(1800, 1500), at(1800, 635), at(0, 635))...)
	add(-1, Divider, geom.Line(at(1800, 635), at(1800, 0)))
	add(0, Boundary, geom.Polygon(at(0, 900), at(1200, 900), at(1200, 1000), at(0, 1000))...)
	add(1, Boundary, geom.Polygon(at(0, 1100), at(600, 1100), at(600, 1200), at(0, 1200))...)
	rounded(2, 300, 110, 500, 400, 15)
	rounded(3, 1900, 800, 400, 500, 10)
	for k, x := range []float64{400, 550, 700} {
		add(int32(4+k), Boundary, geom.Circle(at(x, 560), 17.5)...)
	}
	add(7, Boundary, geom.Circle(at(1000, 950), 34)...)
	add(-1, Divider, geom.Line(at(600, 900), at(600, 1000)))
	return out
}

// BenchmarkCloseKitchen is the usual size: what is done once a drawing counts
// here as much as what is done once a curve.
func BenchmarkCloseKitchen(b *testing.B) {
	curves := kitchen()
	b.ReportAllocs()
	for b.Loop() {
		if r := closed(curves, Default()); len(r.Faces) != 11 {
			b.Fatalf("%d faces", len(r.Faces))
		}
	}
	b.ReportMetric(float64(len(curves)), "curves")
}
