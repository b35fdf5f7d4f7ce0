package main

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// kitchen draws the tops of one kitchen: two runs and an island, a sink with
// tap holes, a cooktop, a dishwasher; sizes differ from seed to seed.
func kitchen(d *drawing, seed uint64) {
	r := rand.New(rand.NewPCG(seed, 1))
	between := func(lo, hi float64) float64 { return math.Round((lo+r.Float64()*(hi-lo))*10) / 10 }
	long, depth := between(2200, 3000), between(600, 660)
	d.line("COUNTER", 0, 0, long, 0)
	d.line("COUNTER", long, 0, long, depth)
	d.line("COUNTER", long, depth, 0, depth)
	d.line("COUNTER", 0, depth, 0, 0)
	sink := between(300, 900)
	d.looseBox("SINK", sink, 110, sink+between(450, 800), depth-90, between(10, 30))
	for i := range 1 + r.IntN(3) {
		d.circle("TAP HOLE", sink+100+float64(i)*102, 55, 17.5)
	}
	d.box("CABINET", 0, 0, long-640, depth-40, 0)
	d.box("CABINET", long-40, 0, long, depth-40, 0)
	d.box("DISHWASHER", long-640, 0, long-40, depth-40, 0)
	d.line("FINISHED", 0, depth, long, depth)
	d.line("WALL", 0, 0, long, 0)
	d.label("COUNTER", 60, 300, "RUN 1")

	second := between(1200, 2400)
	d.box("COUNTER", 0, 1000, second, 1000+depth, 0)
	d.box("COOKTOP", second/2-285, 1070, second/2+285, 1560, 8)
	d.box("CABINET", 0, 1000, second, 1000+depth-40, 0)
	d.line("FINISHED", 0, 1000+depth, second, 1000+depth)
	d.label("COUNTER", 40, 1300, "RUN 2")

	wide := between(900, 1100)
	island, round := between(1500, 2400), between(20, 100)
	d.looseBox("COUNTER", 0, 2200, island, 2200+wide, round)
	d.looseBox("FINISHED", 0, 2200, island, 2200+wide, round) // all round: it shows from every side
	d.box("CABINET", 40, 2240, 1460, 2200+wide-between(200, 290), 0)
	d.label("COUNTER", 200, 2500, fmt.Sprintf("ISLAND %d", seed))
}

// bulk draws n curves of the kinds a reader meets most, spread over a site.
func bulk(d *drawing, n int) {
	r := rand.New(rand.NewPCG(7, 1))
	for i := 0; i < n; {
		x, y := r.Float64()*1e5, r.Float64()*1e5
		switch r.IntN(4) {
		case 0, 1:
			d.line("COUNTER", x, y, x+r.Float64()*1000, y+r.Float64()*1000)
			i++
		case 2:
			d.arc("CUTOUT", x, y, 5+r.Float64()*500, r.Float64()*360, r.Float64()*360)
			i++
		default:
			d.box("COUNTER", x, y, x+600, y+400, 20)
			i += 8
		}
	}
}

// outline draws one star-shaped outline of n lines in shuffled order and with
// random direction.
func outline(d *drawing, n int) {
	r := rand.New(rand.NewPCG(11, 1))
	size := float64(n) * 3
	at := func(i int) (float64, float64) {
		wave := 1 + 0.1*math.Sin(float64(i%n)*0.9)
		s, c := math.Sincos(2 * math.Pi * float64(i%n) / float64(n))
		return size * wave * c, size * wave * s
	}
	for _, i := range r.Perm(n) {
		x1, y1 := at(i)
		x2, y2 := at(i + 1)
		if r.IntN(2) == 0 {
			x1, y1, x2, y2 = x2, y2, x1, y1
		}
		d.line("OUTLINE", x1, y1, x2, y2)
	}
}

// plate draws one plate with a grid of rounded cutouts, about n curves in all.
func plate(d *drawing, n int) {
	side := max(1, int(math.Sqrt(float64(n)/8)))
	r := rand.New(rand.NewPCG(13, 1))
	const pitch = 300.0
	d.box("OUTLINE", 0, 0, pitch*float64(side), pitch*float64(side), 0)
	for i := range side {
		for j := range side {
			x, y := pitch*float64(i)+60, pitch*float64(j)+60
			d.box("CUTOUT", x+r.Float64()*30, y+r.Float64()*30, x+150+r.Float64()*30, y+150+r.Float64()*30, 12)
		}
	}
}
