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

// comb is a top with n teeth of a width, a gap apart, the depth long.
func comb(n int, width, gap, depth float64) geom.Loop {
	x := float64(n)*(width+gap) + width
	ps := []geom.Point{{}, {X: x}, {X: x, Y: depth + 100}}
	for range n {
		x -= width
		ps = append(ps, geom.Point{X: x, Y: depth + 100}, geom.Point{X: x, Y: 100})
		x -= gap
		ps = append(ps, geom.Point{X: x, Y: 100}, geom.Point{X: x, Y: depth + 100})
	}
	return geom.Polygon(append(ps, geom.Point{Y: depth + 100})...)
}

// A comb has one strip a tooth, each as narrow as the tooth; what lies behind
// the next tooth is not seen.
func TestComb(t *testing.T) {
	for _, c := range []struct{ width, gap, depth float64 }{{10, 10, 500}, {0.5, 0.5, 60}, {30, 2, 40}} {
		const n = 50
		p := New([]Loop{{Curves: comb(n, c.width, c.gap, c.depth)}})
		strips := p.Strips(p.Minima(63.5), 50)
		if len(strips) != n+1 {
			t.Errorf("%+v: %d strips, want %d", c, len(strips), n+1)
		}
		for _, s := range strips {
			if math.Abs(s.Width-c.width) > 1e-9 || !s.Dead {
				t.Errorf("%+v: a strip %v wide, dead end %v", c, s.Width, s.Dead)
			}
		}
	}
}

// BenchmarkComb measures combs of thousands of teeth, thin ones of which a hundred
// lie within the limit of each other.
func BenchmarkComb(b *testing.B) {
	for _, width := range []float64{30, 0.5} {
		for _, n := range []int{1000, 2000, 4000} {
			b.Run(fmt.Sprintf("width=%v/teeth=%d", width, n), func(b *testing.B) {
				l := comb(n, width, width, 60)
				for b.Loop() {
					p := New([]Loop{{Curves: l}})
					b.ReportMetric(float64(len(p.Strips(p.Minima(63.5), 50))), "strips")
				}
			})
		}
	}
}
