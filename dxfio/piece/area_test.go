package piece

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// disc is a hole, slab a rectangle, both as a shop would describe them.
type disc struct{ x, y, r float64 }
type slab struct{ x1, y1, x2, y2 float64 }

func (d disc) holds(x, y float64) bool { return math.Hypot(x-d.x, y-d.y) < d.r }
func (s slab) holds(x, y float64) bool { return s.x1 < x && x < s.x2 && s.y1 < y && y < s.y2 }

// A second opinion on areas: stone counted point by point on a grid, from the
// rectangles and discs that were drawn, whatever runs over edges and seams. The
// grid errs by at most about half a cell along every boundary.
func TestAreasAgainstCounting(t *testing.T) {
	const seed, cell = 11, 4.0
	random := rand.New(rand.NewPCG(seed, 5))
	for round := range 40 {
		top := slab{0, 0, 1000 + float64(random.IntN(1000)), 500 + float64(random.IntN(400))}
		var text strings.Builder
		fmt.Fprintf(&text, "COUNTER: 0,0 %g,0 %g,%g 0,%g close\n", top.x2, top.x2, top.y2, top.y2)
		// One cutout a column, so that no two cross.
		var cuts []interface{ holds(x, y float64) bool }
		perimeter := 2 * (top.x2 + top.y2)
		for column := 50.0; column+300 < top.x2; column += 300 {
			if random.IntN(2) == 0 {
				d := disc{column + 130, random.Float64() * (top.y2 + 100), 20 + random.Float64()*80}
				fmt.Fprintf(&text, "CUTOUT: circle %g,%g d%g\n", d.x, d.y, 2*d.r)
				cuts, perimeter = append(cuts, d), perimeter+2*math.Pi*d.r
				continue
			}
			y := random.Float64()*top.y2 - 50
			s := slab{column + random.Float64()*50, y, column + 100 + random.Float64()*150, y + 50 + random.Float64()*(top.y2-100)}
			fmt.Fprintf(&text, "SINK: %g,%g %g,%g %g,%g %g,%g close\n", s.x1, s.y1, s.x2, s.y1, s.x2, s.y2, s.x1, s.y2)
			cuts, perimeter = append(cuts, s), perimeter+2*(s.x2-s.x1+s.y2-s.y1)
		}
		if random.IntN(2) == 0 {
			x := 100 + random.Float64()*(top.x2-200)
			fmt.Fprintf(&text, "SEAM: %g,0 %g,%g\n", x, x, top.y2)
		}
		counted := 0.0
		for x := cell / 2; x < top.x2; x += cell {
			for y := cell / 2; y < top.y2; y += cell {
				stone := true
				for _, c := range cuts {
					stone = stone && !c.holds(x, y)
				}
				if stone {
					counted += cell * cell
				}
			}
		}
		net := 0.0
		for _, p := range build(t, text.String()).Pieces {
			net += p.NetArea()
		}
		if math.Abs(net-counted) > perimeter*cell/2 {
			t.Fatalf("seed %d, round %d: %.0f mm2, counted %.0f\n%s", seed, round, net, counted, text.String())
		}
	}
}
