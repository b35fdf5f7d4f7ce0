package support

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
)

// The brute-force twin knows neither curves nor critical directions: shapes are
// rectangles and discs met by rays in closed form, and a point is looked at in
// thousands of evenly spread directions.

// shapeOf is a rectangle (turned by angle) or, with a radius, a disc.
type shapeOf struct {
	center geom.Point
	hx, hy float64
	angle  float64
	radius float64
}

func (s shapeOf) loop() geom.Loop {
	if s.radius > 0 {
		return geom.Circle(s.center, s.radius)
	}
	return rect(-s.hx, -s.hy, s.hx, s.hy).Rotate(s.angle).Translate(s.center)
}

// interval returns where the ray p + t*d is inside, false when nowhere.
func (s shapeOf) interval(p, d geom.Point) (lo, hi float64, ok bool) {
	w := p.Sub(s.center)
	if s.radius > 0 {
		b := w.Dot(d)
		disc := b*b - w.Dot(w) + s.radius*s.radius
		if disc <= 0 {
			return 0, 0, false
		}
		return -b - math.Sqrt(disc), -b + math.Sqrt(disc), true
	}
	w, d = w.Rotate(-s.angle), d.Rotate(-s.angle)
	lo, hi = math.Inf(-1), math.Inf(1)
	for _, c := range [2][3]float64{{w.X, d.X, s.hx}, {w.Y, d.Y, s.hy}} {
		if c[1] == 0 {
			if math.Abs(c[0]) > c[2] {
				return 0, 0, false
			}
			continue
		}
		a, b := (-c[2]-c[0])/c[1], (c[2]-c[0])/c[1]
		lo, hi = math.Max(lo, math.Min(a, b)), math.Min(hi, math.Max(a, b))
	}
	return lo, hi, lo < hi
}

func (s shapeOf) holds(p geom.Point) bool {
	lo, hi, ok := s.interval(p, geom.Point{X: 0.6, Y: 0.8})
	return ok && lo < 0 && hi > 0
}

// scene is a top over supports as shapes.
type scene struct {
	top                         shapeOf
	cutouts, supports, openings []shapeOf
}

func (s scene) template() *piece.Template {
	p := piece.Piece{ID: "A", Kind: piece.Counter, Outline: s.top.loop(), Thickness: 30}
	for _, c := range s.cutouts {
		p.Cutouts = append(p.Cutouts, piece.Cutout{Loop: c.loop().Reverse()})
	}
	t := &piece.Template{Pieces: []piece.Piece{p}, HasSupport: true}
	for _, c := range s.supports {
		t.Supports = append(t.Supports, piece.Support{Area: c.loop()})
	}
	for _, c := range s.openings {
		t.Openings = append(t.Openings, piece.Opening{Area: c.loop()})
	}
	return t
}

func holdsAny(shapes []shapeOf, p geom.Point) bool {
	for _, s := range shapes {
		if s.holds(p) {
			return true
		}
	}
	return false
}

func (s scene) free(p geom.Point) bool {
	return s.top.holds(p) && !holdsAny(s.cutouts, p) && !(holdsAny(s.supports, p) && !holdsAny(s.openings, p))
}

// walk follows one ray from p until support or the end of stone.
func (s scene) walk(p, d geom.Point) (length float64, carried bool) {
	_, end, _ := s.top.interval(p, d)
	for _, c := range s.cutouts {
		if lo, hi, ok := c.interval(p, d); ok && hi > 0 {
			end = math.Min(end, math.Max(lo, 0))
		}
	}
	// Where support begins: the start of a support outside all openings, or the
	// end of an opening inside a support.
	length = end
	try := func(t float64) {
		if t < 0 || t >= length {
			return
		}
		q := p.Add(d.Mul(t + 1e-6))
		if holdsAny(s.supports, q) && !holdsAny(s.openings, q) {
			length, carried = t, true
		}
	}
	for _, c := range s.supports {
		if lo, _, ok := c.interval(p, d); ok {
			try(lo)
		}
	}
	for _, c := range s.openings {
		if _, hi, ok := c.interval(p, d); ok {
			try(hi)
		}
	}
	return length, carried
}

// bruteLine is a line between supports, found from the definition.
type bruteLine struct {
	a, b    geom.Point
	tangent bool // passes both supports on the same side
}

// lines finds the lines between corners of rectangular supports that do not
// meet each other, by sampling along each candidate.
func (s scene) lines() []bruteLine {
	type end struct {
		p     geom.Point
		owner int
	}
	var ends []end
	wider := s.top // corners on the top's edge count
	wider.hx, wider.hy = wider.hx+1e-6, wider.hy+1e-6
	for i, r := range s.supports {
		for _, c := range r.loop() {
			if wider.holds(c.A) {
				ends = append(ends, end{c.A, i})
			}
			// Where the support's side passes under the edge of the top.
			if lo, hi, ok := s.top.interval(c.A, c.Tangent(0)); ok {
				for _, t := range [2]float64{lo, hi} {
					if t > 1e-6 && t < c.Length()-1e-6 {
						ends = append(ends, end{c.A.Add(c.Tangent(0).Mul(t)), i})
					}
				}
			}
		}
	}
	var out []bruteLine
	for i, e := range ends {
		for _, f := range ends[:i] {
			if e.owner == f.owner {
				continue
			}
			if x, y := s.sides(e.p, f.p, e.owner, f.owner); x+y != 0 && s.clear(e.p, f.p) {
				out = append(out, bruteLine{e.p, f.p, x == y})
			}
		}
	}
	return out
}

// sides tells on which side of the line from a to b the supports at its ends lie: 1
// left, -1 right, 0 both.
func (s scene) sides(a, b geom.Point, i, j int) (first, second int) {
	u := b.Sub(a).Unit()
	var sides [2]int
	for n, k := range [2]int{i, j} {
		near := [2]geom.Point{a, b}[n]
		left, right := false, false
		// The corner's own sides decide: a small circle around it.
		for n := range 720 {
			p := near.Add(direction(float64(n) * math.Pi / 360).Mul(0.01))
			if s.top.holds(p) && s.supports[k].holds(p) {
				if v := u.Cross(p.Sub(near)); v > 1e-5 {
					left = true
				} else if v < -1e-5 {
					right = true
				}
			}
		}
		if left != right {
			sides[n] = 1
			if right {
				sides[n] = -1
			}
		}
	}
	return sides[0], sides[1]
}

func (s scene) clear(a, b geom.Point) bool {
	const n = 4000
	for i := 1; i < n; i++ {
		if !s.free(a.Lerp(b, float64(i)/n)) {
			return false
		}
	}
	return true
}

// score looks at p in n directions.
func (s scene) score(l Limits, p geom.Point, n int, lines []bruteLine) float64 {
	best := math.Inf(1)
	// The share is of the whole top along the line.
	hangs := func(length float64, d geom.Point) float64 {
		if l.Share == 0 {
			return length / l.Cantilever
		}
		lo, hi, _ := s.top.interval(p, d)
		return math.Max(length/l.Cantilever, length/(hi-lo)/l.Share)
	}
	for i := range n {
		d := direction(math.Pi * (float64(i) + 0.5) / float64(n))
		a, ca := s.walk(p, d)
		b, cb := s.walk(p, d.Mul(-1))
		switch {
		case ca && cb:
			best = math.Min(best, (a+b)/l.Span)
		case ca || cb:
			best = math.Min(best, hangs(a+b, d))
		}
		// What the ends of a span may rest on, ahead and behind: how far, and how long.
		type end struct{ far, long float64 }
		var ahead, behind []end
		if ca {
			ahead = append(ahead, end{a, 0})
		}
		if cb {
			behind = append(behind, end{b, 0})
		}
		for _, line := range lines {
			w := line.b.Sub(line.a)
			den := d.Cross(w)
			if den == 0 {
				continue
			}
			t := line.a.Sub(p).Cross(w) / den
			if u := line.a.Sub(p).Cross(d) / den; u <= 0 || u >= 1 {
				continue
			}
			of := w.Norm() / l.Span
			if line.tangent && t > 0 && t <= a {
				ahead = append(ahead, end{t, w.Norm()})
			}
			if line.tangent && t <= 0 && -t <= b {
				behind = append(behind, end{-t, w.Norm()})
			}
			if t <= 0 && -t <= b && !ca {
				best = math.Min(best, math.Max(of, hangs(a-t, d)))
			}
			if t >= 0 && t <= a && !cb {
				best = math.Min(best, math.Max(of, hangs(b+t, d)))
			}
		}
		for _, x := range ahead {
			for _, y := range behind {
				best = math.Min(best, max(x.far+y.far, x.long, y.long)/l.Span)
			}
		}
	}
	return best
}

// inMM compares two scores as lengths of the stricter limit.
func inMM(l Limits, a, b float64) float64 { return (a - b) * l.Cantilever }

// TestBestAgainstRays compares the score of single points with rays in 3,000
// directions: never worse than the best ray, and better by less than the ray
// spacing explains.
func TestBestAgainstRays(t *testing.T) {
	const seed = 20260117
	l := Limits{Span: 914, Cantilever: 254}
	r := rand.New(rand.NewPCG(seed, 1))
	looked := 0
	for n := range 30 {
		separate := n%3 == 0
		s := randomScene(r, separate)
		tp := s.template()
		m := modelOf(tp, 80)
		var lines []bruteLine
		if separate {
			lines = s.lines()
			if len(lines) != len(m.lines) {
				t.Errorf("seed %d scene %d: %d lines between supports, by sampling %d", seed, n, len(m.lines), len(lines))
			}
		} else {
			m.lines = nil // the sampler finds lines between separate rectangles only
		}
		for i, p := range s.points(r, 6) {
			l := l
			if i%3 == 2 {
				l.Share = 1.0 / 3
			}
			got := m.best(&measure{Limits: l}, p)
			want := s.score(l, p, 3000, lines)
			looked++
			if math.IsInf(got.Score, 1) && math.IsInf(want, 1) {
				continue
			}
			if d := inMM(l, got.Score, want); d > 0.01 || d < -1 {
				t.Errorf("seed %d scene %d point %v share %.2f: score %.6f, by rays %.6f: %.3f mm (%v %.2f mm)", seed, n, p, l.Share, got.Score, want, d, got.Kind, got.Length())
			}
		}
	}
	if looked < 100 {
		t.Fatalf("only %d points looked at", looked)
	}
}

// TestWorstAgainstPoints checks that no point of a fine random sample is worse
// than the worst point by more than Slack, and that every point past the limits
// lies in a reported place.
func TestWorstAgainstPoints(t *testing.T) {
	const seed = 20260118
	l := Limits{Span: 914, Cantilever: 254}
	r := rand.New(rand.NewPCG(seed, 1))
	places := 0
	for n := range 30 {
		s := randomScene(r, n%2 == 0)
		tp := s.template()
		m := modelOf(tp, 80)
		if !m.Carried() {
			continue
		}
		name := fmt.Sprintf("seed %d scene %d", seed, n)
		at, worst, looked, sure := m.Worst(l)
		past := m.Past(l)
		if !looked || !sure || !past.Sure {
			t.Errorf("%s: looked %v, sure %v %v", name, looked, sure, past.Sure)
			continue
		}
		places += len(past.Places)
		strict := l
		strict.Share = 1.0 / 3
		narrowed := past
		if n%3 == 0 {
			narrowed = m.PastOf(l, m.Past(strict))
		}
		if !narrowed.Sure || (len(narrowed.Places) > 0) != (len(past.Places) > 0) {
			t.Errorf("%s: %d places past the limits, of those past shares too %d (sure %v)", name, len(past.Places), len(narrowed.Places), narrowed.Sure)
		} else if len(past.Places) > 0 && past.Places[0].Kind != Unhelped {
			of := l.Cantilever
			if past.Places[0].Kind == Span {
				of = l.Span
			}
			if d := math.Abs(past.Places[0].Score-narrowed.Places[0].Score) * of; d > 2*Slack {
				t.Errorf("%s: worst place differs by %.3f mm when it is found among those past shares", name, d)
			}
		}
		if worst.Score > pastScore != (len(past.Places) > 0) {
			t.Errorf("%s: worst score %.4f but %d places past the limits", name, worst.Score, len(past.Places))
		}
		if len(past.Places) > 0 && worst.Kind != Unhelped {
			p := past.Places[0]
			if d := math.Abs(p.Score-worst.Score) * l.Cantilever; d > 1 && p.Kind != Unhelped {
				t.Errorf("%s: worst %.4f at %v, worst place %.4f at %v", name, worst.Score, at, p.Score, p.At)
			}
		}
		for _, p := range s.points(r, 100) {
			f := m.best(&measure{Limits: l}, p)
			length := l.Cantilever
			if f.Kind == Span {
				length = l.Span
			}
			if over := (f.Score - worst.Score) * length; over > Slack+0.01 {
				t.Errorf("%s: point %v is worse than the worst by %.3f mm (%v %.1f mm)", name, p, over, f.Kind, f.Length())
			}
			if (f.Score-1)*length > 1 && (!inPlaces(past.Places, p) || !inPlaces(narrowed.Places, p)) {
				t.Errorf("%s: point %v (%v %.1f mm) is past the limit and in no place", name, p, f.Kind, f.Length())
			}
		}
	}
	if places < 8 {
		t.Fatalf("only %d places seen", places)
	}
}

func inPlaces(places []Place, p geom.Point) bool {
	for i := range places {
		for _, c := range places[i].cells {
			if !c.apart(polygon{p}, 0.5) {
				return true
			}
		}
	}
	return false
}
