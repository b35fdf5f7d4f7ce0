package clearance

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
)

// wavyPlate is a top of about 3000 x 650 with three rounded openings whose
// boundary has n curves, its edges wavy as a measuring device gives them.
func wavyPlate(n int, seed uint64, noise float64) []Loop {
	rng := rand.New(rand.NewPCG(seed, 1))
	around := func(cx, cy, a, b, power float64, count int, sense float64) geom.Loop {
		points := make([]geom.Point, count)
		for i := range points {
			s, c := math.Sincos(sense * 2 * math.Pi * float64(i) / float64(count))
			wave := 1 + 0.01*math.Sin(7*2*math.Pi*float64(i)/float64(count))
			points[i] = geom.Point{
				X: cx + a*wave*math.Copysign(math.Pow(math.Abs(c), power), c) + noise*rng.NormFloat64(),
				Y: cy + b*wave*math.Copysign(math.Pow(math.Abs(s), power), s) + noise*rng.NormFloat64(),
			}
		}
		return geom.Polygon(points...)
	}
	return []Loop{
		{Curves: around(0, 0, 1500, 325, 0.25, n/2, 1)},
		{Curves: around(-850, 20, 380, 240, 0.3, n/6, -1)},
		{Curves: around(0, -10, 300, 250, 0.5, n/6, -1)},
		{Curves: around(850, 0, 390, 270, 0.25, n/6, -1)},
	}
}

// BenchmarkStrips prepares a plate of n curves, finds its minima under 63.5 mm
// and the strips under 50 and 63.5 mm.
func BenchmarkStrips(b *testing.B) {
	for _, noise := range []float64{0, 0.05} { // of the distance between corners
		for _, n := range []int{1e3, 1e4, 1e5} {
			b.Run(fmt.Sprintf("noise=%v/n=%d", noise, n), func(b *testing.B) {
				loops := wavyPlate(n, 1, noise*7000/float64(n))
				for b.Loop() {
					p := New(loops)
					minima := p.Minima(63.5)
					byLoops := map[[2]int32][]Minimum{}
					for _, m := range minima {
						k := [2]int32{m.From.Loop, m.To.Loop}
						byLoops[k] = append(byLoops[k], m)
					}
					strips := 0
					for _, list := range byLoops {
						strips += len(p.Strips(list, 50)) + len(p.Strips(list, 63.5))
					}
					b.ReportMetric(float64(len(minima)), "minima")
					b.ReportMetric(float64(strips), "strips")
				}
			})
		}
	}
}
