package dxfio

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// What curves in space lose from above: a length l that slopes by the angle t is l cos t
// long (plane trigonometry). Heights are the rise, l sin t.
func TestSlopeLost(t *testing.T) {
	spatial := func(points ...[3]float64) string {
		s := "0 POLYLINE 8 A 66 1 70 9 "
		for _, p := range points {
			s += fmt.Sprintf("0 VERTEX 8 A 70 32 10 %.9g 20 %.9g 30 %.9g ", p[0], p[1], p[2])
		}
		return s + "0 SEQEND "
	}
	sloping := func(degrees float64) string {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		return spatial([3]float64{0, 0, 0}, [3]float64{2400, 0, 0}, [3]float64{2400, 600 * cos, 600 * sin}, [3]float64{0, 600 * cos, 600 * sin})
	}
	noisy := ""
	{
		var points [][3]float64
		for i := range 60 { // a circle of radius 300 whose heights jump by 1 mm at every corner
			sin, cos := math.Sincos(float64(i) * math.Pi / 30)
			points = append(points, [3]float64{300 * cos, 300 * sin, float64(i % 2)})
		}
		noisy = spatial(points...)
	}
	for name, c := range map[string]struct {
		entity       string
		lost, within float64
	}{
		"rectangle at 10 degrees":    {sloping(10), 600 * (1 - math.Cos(math.Pi/18)), 1e-6},
		"rectangle at 45 degrees":    {sloping(45), 600 * (1 - math.Sqrt2/2), 1e-6},
		"rectangle upright":          {spatial([3]float64{0, 0, 0}, [3]float64{600, 0, 0}, [3]float64{600, 0, 400}, [3]float64{0, 0, 400}), 400, 1e-9},
		"line 3 up on 4":             {"0 LINE 8 A 10 0 20 0 30 0 11 400 21 0 31 300 ", 100, 1e-9},
		"circle seen from 3 to 5":    {"0 CIRCLE 8 A 10 0 20 0 40 100 210 0.8 220 0 230 0.6 ", 200 * (1 - 0.6), 1e-9},
		"noise in heights":           {noisy, 0, 0.1},
		"rectangle at half a degree": {sloping(0.5), 600 * (1 - math.Cos(math.Pi/360)), 1e-6},
	} {
		t.Run(name, func(t *testing.T) {
			text := "0 SECTION 2 ENTITIES " + c.entity + "0 ENDSEC 0 EOF"
			d, err := Read(strings.NewReader(strings.ReplaceAll(text, " ", "\n")+"\n"), Options{File: "a.dxf"})
			if err != nil || len(d.Changes) == 0 {
				t.Fatal(err, d)
			}
			got := 0.0
			for _, ch := range d.Changes {
				if ch.Kind == Flattened {
					got = math.Max(got, ch.Lost)
				}
			}
			if math.Abs(got-c.lost) > c.within {
				t.Errorf("lost %.6f, want %.6f", got, c.lost)
			}
		})
	}
}
