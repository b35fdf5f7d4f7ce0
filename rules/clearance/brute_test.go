package clearance

import (
	"flag"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"trueup/dxfio/geom"
	"trueup/rules/textform"
)

// plates is how many random plates the brute-force tests take.
var plates = flag.Int("plates", 250, "random plates")

const limit = 63.5

// randomPlate returns the loops of a random simple top.
func randomPlate(seed uint64) []Loop {
	rng := rand.New(rand.NewPCG(seed, 2026))
	for {
		p := textform.Random(rng).Pieces[0]
		if !textform.Simple(p.Outline) {
			continue
		}
		loops := []Loop{{Curves: p.Outline}}
		for _, c := range p.Cutouts {
			loops = append(loops, Loop{Curves: c.Loop})
		}
		return loops
	}
}

// along is a loop as a function of the length along it.
type along struct {
	curves geom.Loop
	start  []float64
	round  float64
}

func newAlong(l geom.Loop) along {
	a := along{curves: l}
	for _, c := range l {
		a.start = append(a.start, a.round)
		a.round += c.Length()
	}
	return a
}

func (a along) at(s float64) geom.Point {
	s = math.Mod(s, a.round)
	if s < 0 {
		s += a.round
	}
	k, exact := slices.BinarySearch(a.start, s)
	if !exact {
		k--
	}
	return a.curves[k].At(math.Min(1, (s-a.start[k])/a.curves[k].Length()))
}

// The least distance between two loops, from points every 4 mm along both: the
// engine's narrowest minimum must lie between it and 4 mm less.
func TestLeastAgainstSamples(t *testing.T) {
	const step = 4.0
	compared := 0
	for seed := range uint64(*plates) {
		loops := randomPlate(seed)
		p := New(loops)
		least := map[[2]int32]float64{}
		for _, m := range p.Minima(limit) {
			k := [2]int32{m.From.Loop, m.To.Loop}
			if w, ok := least[k]; !ok || m.Width < w {
				least[k] = m.Width
			}
		}
		var points [][]geom.Point
		for _, l := range loops {
			a := newAlong(l.Curves)
			n := int(a.round/step) + 1
			var list []geom.Point
			for i := range n {
				list = append(list, a.at(a.round*float64(i)/float64(n)))
			}
			points = append(points, list)
		}
		for i := range loops {
			for j := i + 1; j < len(loops); j++ {
				best, w := math.Inf(1), geom.Witness{}
				for _, u := range points[i] {
					for _, v := range points[j] {
						if d := u.Distance(v); d < best {
							best, w = d, geom.Witness{From: u, To: v}
						}
					}
				}
				got, ok := least[[2]int32{int32(i), int32(j)}]
				switch {
				case ok && (got > best+1e-6 && !blocked(loops, i, j, w) || got < best-step):
					t.Errorf("seed %d, loops %d and %d: %.4f, samples give %.4f at %v", seed, i, j, got, best, w)
				case !ok && best < limit-step && !blocked(loops, i, j, w):
					t.Errorf("seed %d, loops %d and %d: nothing found, samples give %.4f at %v", seed, i, j, best, w)
				case ok:
					compared++
				}
			}
		}
	}
	if compared < *plates/2 {
		t.Errorf("only %d distances compared", compared)
	}
}

// blocked reports whether a third loop lies on or near the line.
func blocked(loops []Loop, i, j int, w geom.Witness) bool {
	line := geom.Line(w.From, w.To)
	for k, l := range loops {
		if k == i || k == j {
			continue
		}
		for _, c := range l.Curves {
			if geom.Nearest(line, c).Length() < 4 {
				return true
			}
		}
	}
	return false
}

// Every minimum is what it claims: its ends lie on the boundary, stone lies
// between, and no neighbours of its ends are nearer to each other.
func TestMinimaAreMinima(t *testing.T) {
	found := 0
	for seed := range uint64(*plates) {
		loops := randomPlate(seed)
		p := New(loops)
		region := geom.Region{Outer: loops[0].Curves}
		for _, l := range loops[1:] {
			region.Holes = append(region.Holes, l.Curves)
		}
		rng := rand.New(rand.NewPCG(seed, 3))
		for _, m := range p.Minima(limit) {
			found++
			if d := m.From.P.Distance(m.To.P); math.Abs(d-m.Width) > 1e-9 {
				t.Errorf("seed %d: width %v of a line of %v", seed, m.Width, d)
			}
			for _, q := range [2]geom.Point{m.From.P, m.To.P} {
				if region.Locate(q) != geom.On {
					t.Errorf("seed %d: end %v is not on the boundary", seed, q)
				}
			}
			for _, k := range [3]float64{0.02, 0.5, 0.98} {
				if q := m.From.P.Lerp(m.To.P, k); m.Width > 0.01 && region.Locate(q) != geom.Inside {
					t.Errorf("seed %d: %v of the line %v is not in the stone", seed, q, m.Witness())
				}
			}
			a, b := newAlong(p.loopOf(m.From.Loop)), newAlong(p.loopOf(m.To.Loop))
			s, u := p.along(m.From), p.along(m.To)
			for range 40 {
				d, e := 1e-2*(2*rng.Float64()-1), 1e-2*(2*rng.Float64()-1)
				if w := a.at(s + d).Distance(b.at(u + e)); w < m.Width-1e-6 {
					t.Errorf("seed %d: %.9f at %v, but %.9f beside it", seed, m.Width, m.Witness(), w)
					break
				}
			}
		}
	}
	if found < *plates {
		t.Errorf("only %d minima", found)
	}
}

// loopOf returns the curves of a loop as the plate has them.
func (p *Plate) loopOf(loop int32) geom.Loop {
	return geom.Loop(p.curves[p.first[loop]:p.first[loop+1]])
}

// From random pairs of boundary points a search downhill must end at a minimum
// that the engine knows, or slide into a corner: none is missed.
func TestNoMinimumIsMissed(t *testing.T) {
	ended := 0
	for seed := range uint64(*plates / 2) {
		loops := randomPlate(seed)
		p := New(loops)
		minima := p.Minima(limit)
		region := geom.Region{Outer: loops[0].Curves}
		for _, l := range loops[1:] {
			region.Holes = append(region.Holes, l.Curves)
		}
		rng := rand.New(rand.NewPCG(seed, 4))
		for range 60 {
			i, j := rng.IntN(len(loops)), rng.IntN(len(loops))
			d := descent{newAlong(p.loopOf(int32(i))), newAlong(p.loopOf(int32(j))), i == j}
			s, u := rng.Float64()*d.a.round, rng.Float64()*d.b.round
			if d.a.at(s).Distance(d.b.at(u)) > 2*limit {
				continue
			}
			s, u, w, ok := d.run(rng, s, u)
			from, to := d.a.at(s), d.b.at(u)
			if !ok || w >= limit-0.01 || w < 0.01 || !throughStone(region, from, to) {
				continue
			}
			if i == j && d.apart(s, u) < limit*toothShare+1 {
				continue
			}
			ended++
			if !slices.ContainsFunc(minima, func(m Minimum) bool { return p.explains(m, from, to, w) }) {
				t.Errorf("seed %d: the minimum %.6f from %v to %v (loops %d, %d) is missing", seed, w, from, to, i, j)
			}
		}
	}
	if ended < *plates/4 {
		t.Errorf("only %d searches ended at a minimum", ended)
	}
}

// explains reports whether a found line is that of the minimum, or another one of
// its level stretch.
func (p *Plate) explains(m Minimum, from, to geom.Point, w float64) bool {
	if math.Abs(m.Width-w) > 1e-3 {
		return false
	}
	reach := m.Level/2*1.6 + 1
	same := func(a, b geom.Point) bool { return a.Distance(m.From.P) <= reach && b.Distance(m.To.P) <= reach }
	return same(from, to) || same(to, from)
}

func throughStone(r geom.Region, a, b geom.Point) bool {
	for k := 1; k < 40; k++ {
		if r.Locate(a.Lerp(b, float64(k)/40)) != geom.Inside {
			return false
		}
	}
	return true
}

// descent walks two boundary points downhill in the distance between them.
type descent struct {
	a, b along
	same bool
}

func (d descent) apart(s, u float64) float64 {
	x := math.Mod(math.Abs(s-u), d.a.round)
	return math.Min(x, d.a.round-x)
}

// run tries ever smaller steps in many directions; ok is false when the points
// of one loop ran into each other.
func (d descent) run(rng *rand.Rand, s, u float64) (float64, float64, float64, bool) {
	w := d.a.at(s).Distance(d.b.at(u))
	for step := 8.0; step > 1e-7; {
		better := false
		for k := range 24 {
			angle := 2 * math.Pi * float64(k) / 24
			if k%2 == 1 {
				angle = 2 * math.Pi * rng.Float64()
			}
			y, x := math.Sincos(angle)
			if v := d.a.at(s + step*x).Distance(d.b.at(u + step*y)); v < w {
				s, u, w, better = s+step*x, u+step*y, v, true
				break
			}
		}
		if d.same && d.apart(s, u) < 1e-3 {
			return s, u, w, false
		}
		if !better {
			step /= 2
		}
	}
	return s, u, w, true
}
