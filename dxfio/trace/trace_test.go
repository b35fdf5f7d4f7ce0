package trace

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

func newRand(t testing.TB, seed uint64) *rand.Rand {
	t.Helper()
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, seed))
}

// parse reads shapes, one a semicolon: "poly x,y x,y^bulge ..." is a closed
// polyline, "open ..." an open one, "lines ..." a closed ring of loose lines,
// "line a b" one loose line, "circle x,y r", "seam ..." loose dividers.
func parse(t testing.TB, text string) []Curve {
	t.Helper()
	var out []Curve
	entity := int32(0)
	for _, shape := range strings.Split(text, ";") {
		f := strings.Fields(shape)
		if len(f) == 0 {
			continue
		}
		var p []geom.Point
		var b []float64
		var nums []float64
		for _, s := range f[1:] {
			var x, y, bulge float64
			if n, _ := fmt.Sscanf(s, "%g,%g^%g", &x, &y, &bulge); n >= 2 {
				p, b = append(p, geom.Point{X: x, Y: y}), append(b, bulge)
			} else if n, _ := fmt.Sscanf(s, "%g", &x); n == 1 {
				nums = append(nums, x)
			} else {
				t.Fatalf("shape %q: cannot read %q", shape, s)
			}
		}
		ent, kind, closed := int32(-1), Boundary, false
		switch f[0] {
		case "poly":
			ent, closed = entity, true
		case "open":
			ent = entity
		case "lines":
			closed = true
		case "line":
		case "seam":
			kind = Divider
		case "circle":
			for _, c := range geom.Circle(p[0], nums[0]) {
				out = append(out, Curve{Curve: c, ID: int32(len(out)), Entity: entity})
			}
			entity++
			continue
		default:
			t.Fatalf("unknown shape %q", f[0])
		}
		entity++
		n := len(p) - 1
		if closed {
			n++
		}
		for i := range n {
			out = append(out, Curve{Curve: geom.Curve{A: p[i], B: p[(i+1)%len(p)], Bulge: b[i]}, ID: int32(len(out)), Kind: kind, Entity: ent})
		}
	}
	return out
}

// describe gives a result as sorted short lines: faces with depth, net area and
// number of outer curves and holes; then what else there is.
func describe(r Result) []string {
	var out []string
	for _, f := range r.Faces {
		area := f.Outer.Geom().Area()
		for _, h := range f.Holes {
			area += h.Geom().Area()
		}
		out = append(out, fmt.Sprintf("face %d %.1f n%d h%d", f.Depth, area, len(f.Outer), len(f.Holes)))
	}
	for _, o := range r.Open {
		out = append(out, fmt.Sprintf("open %.2f", o.Gap))
	}
	for _, c := range r.Strays {
		out = append(out, fmt.Sprintf("stray %.1f", c.Length()))
	}
	for _, c := range r.Crossings {
		out = append(out, fmt.Sprintf("crossing %.0f,%.0f self %v %.1f", c.At.X, c.At.Y, c.Self, c.Area))
	}
	for _, c := range r.Repairs {
		out = append(out, fmt.Sprintf("%s %.0f,%.0f %.2f", c.Kind, c.At.X, c.At.Y, c.Size))
	}
	return out
}

// roundedL is a corner top whose inside corner, at 1800,600, has a radius of 20:
// 1 980 000 mm2 and the spandrel of the corner, (1 - pi/4) r^2 = 85.84 mm2.
const roundedL = "poly 0,0 2400,0 2400,1500 1800,1500 1800,620^-0.41421356237309503 1780,600 0,600; "

const top = "poly 0,0 2000,0 2000,600 0,600; "

var cases = []struct {
	name, drawing string
	want          string // lines of describe, by "; "
}{
	{"closed polyline", top, "face 0 1200000.0 n4 h0"},
	{"loose lines", "lines 0,0 2000,0 2000,600 0,600", "face 0 1200000.0 n4 h0"},
	{"circle", "circle 50,50 100", "face 0 31415.9 n2 h0"},
	{"sink inside", top + "poly 500,100 900,100 900,500 500,500", "face 0 1040000.0 n4 h1; face 1 160000.0 n4 h0"},
	{"island in an opening", top + "poly 500,100 900,100 900,500 500,500; circle 700,300 50", "face 0 1040000.0 n4 h1; face 1 152146.0 n4 h1; face 2 7854.0 n2 h0"},
	{"gap within join at a corner", "open 0,0 2000,0 2000,600 0,600 0,0.3", "face 0 1200000.0 n4 h0; gap-closed 0,0 0.30"},
	{"gap within join in an edge", "open 1000,0 2000,0 2000,600 0,600 0,0 999.6,0", "face 0 1200000.0 n5 h0; gap-closed 1000,0 0.40"},
	{"rounding is no repair", "open 0,0.0001 2000,0 2000,600 0,600 0.0001,0", "face 0 1199999.9 n4 h0"},
	{"missed corner", "line 2,0 2000,0; line 2000,0 2000,600; line 2000,600 0,600; line 0,600 0,2", "face 0 1200000.0 n4 h0; corner-restored 1,1 2.83"},
	{"overshoot at a corner", "line -2,0 2000,0; line 2000,0 2000,600; line 2000,600 0,600; line 0,600 0,-2", "face 0 1200000.0 n4 h0; overshoot-trimmed -1,-1 2.83"},
	{"both lines past their corner, farther apart than bridged", "line -2.5,0 2000,0; line 2000,0 2000,600; line 2000,600 0,600; line 0,600 0,-2", "face 0 1200000.0 n4 h0; overshoot-trimmed -2,0 2.50; overshoot-trimmed 0,-2 2.00"},
	{"one of two overshoots is too long", "line -2,0 2000,0; line 2000,0 2000,600; line 2000,600 0,600; line 0,600 0,-12", "face 0 1200000.0 n4 h0; overshoot-trimmed -2,0 2.00; stray 12.0"},
	{"centre line over a sink, in two parts", "poly 0,0 700,0 700,400 0,400; line 350,-50 350,180; line 350,180 350,450", "face 0 280000.0 n4 h0; stray 230.0; stray 270.0"},
	{"small overshoot", "line -0.2,0 2000,0; line 2000,0 2000,600; line 2000,600 0,600; line 0,600 0,-0.2", "face 0 1200000.0 n4 h0; overshoot-trimmed -0,-0 0.28"},
	{"one line runs past", "line -2,0 2000,0; line 2000,0 2000,600; line 2000,600 0,600; line 0,600 0,0", "face 0 1200000.0 n4 h0; overshoot-trimmed -2,0 2.00"},
	{"bridged gap", "open 1000,0 2000,0 2000,600 0,600 0,0 997.5,0", "face 0 1200000.0 n6 h0; gap-closed 999,0 2.50"},
	{"gap of 12 stays open", "open 1000,0 2000,0 2000,600 0,600 0,0 988,0", "open 12.00"},
	{"four gaps of 12", "line 12,0 1988,0; line 2000,12 2000,588; line 1988,600 12,600; line 0,588 0,12", "open 16.97; open 16.97; open 16.97; open 16.97"},
	{"overshoot of 12 is not trimmed", "line -12,0 2000,0; line 2000,0 2000,600; line 2000,600 0,600; line 0,600 0,-12", "open 16.97"},
	{"two pieces 1 mm apart", top + "poly 2001,0 3000,0 3000,600 2001,600", "face 0 1200000.0 n4 h0; face 0 599400.0 n4 h0"},
	{"two pieces 0.3 mm apart", top + "poly 2000.3,0 3000,0 3000,600 2000.3,600", "face 0 1200000.0 n4 h0; face 0 599820.0 n4 h0"},
	{"open piece beside a neighbour", top + "line 2001,0 3000,0; line 3000,0 3000,600; line 3000,600 2001,600; line 2001,600 2001,306; line 2001,294 2001,0", "face 0 1200000.0 n4 h0; open 12.00"},
	{"abutting polylines", top + "poly 2000,0 3000,0 3000,600 2000,600", "face 0 1200000.0 n4 h0; face 0 600000.0 n4 h0"},
	{"abutting in part", top + "poly 2000,200 3000,200 3000,900 2000,900", "face 0 1200000.0 n4 h0; face 0 700000.0 n4 h0"},
	{"shared edge drawn once", top + "open 2000,0 3000,0 3000,600 2000,600", "face 0 1200000.0 n4 h0; face 0 600000.0 n4 h0"},
	{"shared edge drawn once, tees", top + "open 2000,100 3000,100 3000,500 2000,500", "face 0 1200000.0 n4 h0; face 0 400000.0 n4 h0"},
	{"tees a little short and long", top + "open 2001,100 3000,100 3000,500 1999,500", "face 0 1200000.0 n4 h0; face 0 400000.0 n4 h0; gap-closed 2001,100 1.00; overshoot-trimmed 1999,500 1.00"},
	{"straight seam", top + "seam 800,0 800,600", "face 0 480000.0 n4 h0; face 0 720000.0 n4 h0"},
	{"seam short and long", top + "seam 800,1.5 800,602", "face 0 480000.0 n4 h0; face 0 720000.0 n4 h0; gap-closed 800,2 1.50; overshoot-trimmed 800,602 2.00"},
	{"seam 50 mm past the outline", top + "seam 800,-50 800,650", "face 0 480000.0 n4 h0; face 0 720000.0 n4 h0; stray 50.0; stray 50.0"},
	{"seam that stops in the stone", top + "seam 800,0 800,500", "face 0 1200000.0 n4 h0; stray 500.0"},
	{"stepped seam", top + "seam 800,0 800,300 850,300 850,600", "face 0 495000.0 n6 h0; face 0 705000.0 n6 h0"},
	{"mitre", "poly 0,0 2400,0 2400,650 650,650 650,1850 0,1850; seam 0,0 650,650", "face 0 991250.0 n4 h0; face 0 1348750.0 n4 h0"},
	{"mitre a little short", "poly 0,0 2400,0 2400,650 650,650 650,1850 0,1850; seam 1,1 649,649", "face 0 991250.0 n4 h0; face 0 1348750.0 n4 h0; gap-closed 1,1 1.41; gap-closed 649,649 1.41"},
	{"seam from the edge to a sink", top + "poly 500,100 900,100 900,500 500,500; seam 700,0 700,100; seam 700,500 700,600", "face 0 340000.0 n8 h0; face 0 700000.0 n8 h0; face 1 160000.0 n4 h0"},
	{"seam through a sink", top + "poly 500,100 900,100 900,500 500,500; seam 700,0 700,600", "face 0 340000.0 n8 h0; face 0 700000.0 n8 h0; face 1 160000.0 n4 h0"},
	{"line drawn twice", "lines 0,0 2000,0 2000,600 0,600; line 0,0 2000,0", "face 0 1200000.0 n4 h0; duplicate-removed 1000,0 2000.00"},
	{"line covered in part", "lines 0,0 2000,0 2000,600 0,600; line 500,0 700,0", "face 0 1200000.0 n4 h0; duplicate-removed 600,0 200.00"},
	{"edge of two overlapping lines", "line 0,0 1200,0; line 800,0 2000,0; line 2000,0 2000,600; line 2000,600 0,600; line 0,600 0,0", "face 0 1200000.0 n5 h0; duplicate-removed 1000,0 400.00"},
	{"outline drawn twice", top + top, "face 0 1200000.0 n4 h0; duplicate-removed 0,300 600.00; duplicate-removed 1000,0 2000.00; duplicate-removed 1000,600 2000.00; duplicate-removed 2000,300 600.00"},
	{"arc covered in part", "circle 0,0 100; line 0,100^0.41421356237309503 -100,0", "face 0 31415.9 n2 h0; duplicate-removed -71,71 157.08"},
	{"bow tie", "poly 0,0 1000,0 0,600 1000,600", "crossing 500,300 self true 0.0"},
	{"bow tie of loose lines", "lines 0,0 1000,0 0,600 1000,600", "crossing 500,300 self true 0.0"},
	{"bow tie beside a good piece", "poly 0,0 1000,0 0,600 1000,600; poly 2000,0 3000,0 3000,600 2000,600", "face 0 600000.0 n4 h0; crossing 500,300 self true 0.0"},
	{"overlapping pieces", top + "poly 1900,100 3000,100 3000,500 1900,500", "face 0 1200000.0 n4 h0; face 0 440000.0 n4 h0; crossing 2000,100 self false 40000.0"},
	{"overlapping pieces along common edges", top + "poly 1900,0 3000,0 3000,600 1900,600", "face 0 1200000.0 n4 h0; face 0 660000.0 n4 h0; crossing 1950,300 self false 60000.0"},
	{"overlap with a sink in the first", top + "circle 500,300 100; poly 1900,100 3000,100 3000,500 1900,500", "face 0 1168584.1 n4 h1; face 0 440000.0 n4 h0; face 1 31415.9 n2 h0; crossing 2000,100 self false 40000.0"},
	{"inner outline on the edge", top + "poly 1200,0 2000,0 2000,600 1200,600", "face 0 720000.0 n4 h0; face 0 480000.0 n4 h0"},
	{"loops touch at a point", "poly 0,0 500,0 500,500 0,500; poly 500,500 1000,500 1000,1000 500,1000", "face 0 250000.0 n4 h0; face 0 250000.0 n4 h0"},
	{"hole touches the edge at a point", top + "poly 1000,0 1200,200 1000,400 800,200", "face 0 1120000.0 n4 h1; face 1 80000.0 n4 h0"},
	{"circles touch", "circle 0,0 100; circle 200,0 100", "face 0 31415.9 n2 h0; face 0 31415.9 n2 h0"},
	{"stray line", top + "line 300,300 400,300", "face 0 1200000.0 n4 h0; stray 100.0"},
	{"line across an outline", top + "line 300,-100 300,700", "face 0 1200000.0 n4 h0; stray 800.0"},
	{"tail", top + "line 2000,600 2300,600", "face 0 1200000.0 n4 h0; stray 300.0"},
	{"bar between outline and hole", top + "poly 500,100 900,100 900,500 500,500; line 500,100 500,0", "face 0 1040000.0 n4 h1; face 1 160000.0 n4 h0; stray 100.0"},
	{"sliver between", top + "poly 2000,0 3000,0 3000,600 2000.2,600", "face 0 1200000.0 n4 h0; face 0 599940.0 n4 h0"},
	{"zero length", top + "line 5,5 5,5", "face 0 1200000.0 n4 h0; duplicate-removed 5,5 0.00"},
	{"seam alone", top + "seam 3000,0 3100,0 3100,100 3000,0", "face 0 1200000.0 n4 h0; stray 100.0; stray 100.0; stray 141.4"},
	{"seams that cross outside the outline", top + "seam 400,600 700,-300; seam 900,600 600,-300", "face 0 180000.0 n4 h0; face 0 300000.0 n4 h0; face 0 720000.0 n4 h0; stray 158.1; stray 158.1; stray 158.1; stray 158.1"},
	{"triangle of seams inside", top + "seam 500,100 900,100 700,400 500,100", "face 0 1140000.0 n4 h1; face 0 60000.0 n3 h0"},
	{"outline closed by a seam", "open 2000,0 0,0 0,600 2000,600; seam 2000,-10 2000,620", "face 0 1200000.0 n4 h0; stray 10.0; stray 20.0"},
	{"two outlines closed by one seam", "open 2000,0 0,0 0,600 2000,600; open 2000,600 3000,600 3000,0 2000,0; seam 2000,0 2000,600", "face 0 1200000.0 n4 h0; face 0 600000.0 n4 h0"},
	{"overlap of 0.1 mm keeps both shapes", top + "poly 1999.9,0 3000,0 3000,600 1999.9,600", "face 0 1200000.0 n4 h0; face 0 600060.0 n4 h0; crossing 2000,300 self false 60.0"},
	{"overlap of 1 mm is not", top + "poly 1999,0 3000,0 3000,600 1999,600", "face 0 1200000.0 n4 h0; face 0 600600.0 n4 h0; crossing 2000,300 self false 600.0"},
	{"outlines 0.01 mm askew", top + "poly 2000,0 3000,0 3000,600 2000.01,600", "face 0 1200000.0 n4 h0; face 0 599997.0 n4 h0"},
	{"seam beside the edge", top + "seam 0.3,0 0.3,600", "face 0 1200000.0 n4 h0; sliver-removed 0,300 0.30"},
	{"dowel hole", top + "circle 300,300 4", "face 0 1199949.7 n4 h1; face 1 50.3 n2 h0"},
	{"small scrap", top + "poly 2500,0 2508,0 2508,8 2500,8", "face 0 1200000.0 n4 h0; face 0 64.0 n4 h0"},
	{"line past the start of an arc", "open 10,0 2000,0 2000,600 0,600 0,300; line 0,301.5^0.9 10,0", "face 0 1229806.5 n5 h0; overshoot-trimmed 0,300 1.50"},
	{"gap within a circle", "open 100,0^0.41421356237309503 0,100^0.41421356237309503 -100,0^0.41421356237309503 0,-100^0.40962025437283361 99.987663248166058,-1.5707317311820674", "face 0 31415.9 n5 h0; gap-closed 100,-1 1.57"},
	{"outline with a spike", "poly 0,0 1000,0 1000,600 500,300 0,600 500,300", "face 0 300000.0 n4 h0; stray 583.1; duplicate-removed 250,450 583.10"},
	{"outline with its own slit", "poly 0,0 1000,0 1000,600 500,600 500,300 500,600 0,600", "face 0 600000.0 n5 h0; stray 300.0; duplicate-removed 500,450 300.00"},
	{"three pieces at one corner", "poly 0,0 500,0 500,500 0,500; poly 500,0 1000,0 1000,500 500,500; poly 0,500 1000,500 1000,900 0,900", "face 0 400000.0 n4 h0; face 0 250000.0 n4 h0; face 0 250000.0 n4 h0"},
	{"cross of shared edges", "lines 0,0 1000,0 1000,1000 0,1000; line 500,0 500,1000; line 0,500 500,500; line 500,500 1000,500", "face 0 250000.0 n4 h0; face 0 250000.0 n4 h0; face 0 250000.0 n4 h0; face 0 250000.0 n4 h0"},
	{"mitre run a little past both corners", "poly 0,0 2400,0 2400,650 650,650 650,1850 0,1850; seam -1,-1 651,651", "face 0 991250.0 n4 h0; face 0 1348750.0 n4 h0; overshoot-trimmed -1,-1 1.41; overshoot-trimmed 651,651 1.41"},
	// From the corner to the arc: (sqrt 2 - 1) r along the mitre, r along the edge.
	{"mitre to the sharp corner of a radius", roundedL + "seam 1800,600 2400,0", "face 0 1260042.9 n5 h0; face 0 720042.9 n5 h0; gap-closed 1800,600 8.28"},
	{"mitre near the sharp corner of a radius", roundedL + "seam 1801,599 2400,0", "face 0 1260042.9 n5 h0; face 0 720042.9 n5 h0; gap-closed 1801,599 9.70"},
	{"seam on from an edge with a radius", roundedL + "seam 1800,600 1800,0", "face 0 1080085.8 n5 h0; face 0 900000.0 n5 h0; gap-closed 1800,600 20.00"},
	{"seam to the sharp corner and far past the front", roundedL + "seam 1800,600 1800,-50", "face 0 1080085.8 n5 h0; face 0 900000.0 n5 h0; gap-closed 1800,600 20.00; stray 50.0"},
	{"stepped seam to the sharp corner of a radius", roundedL + "seam 1800,600 1800,300 1850,300 1850,0", "face 0 1095085.8 n7 h0; face 0 885000.0 n7 h0; gap-closed 1800,600 20.00"},
	{"seam beside the sharp corner of a radius", roundedL + "seam 1800,595 2400,0", "face 0 1980085.8 n7 h0; stray 845.0"},
	{"seam in the air to the sharp corner", roundedL + "seam 1800,600 1500,900", "face 0 1980085.8 n7 h0; stray 424.3"},
	{"dash at the sharp corner", roundedL + "seam 1800,600 1850,550", "face 0 1980085.8 n7 h0; stray 70.7"},
	{"leader to the sharp corner of an outside radius", "poly 0,0 2360,0^0.41421356237309503 2400,40 2400,600 0,600; seam 2440,-40 2400,0", "face 0 1439656.6 n5 h0; stray 56.6"},
	{"seam to a corner whose arc is no radius", "poly 0,0 2400,0 2400,1500 1800,1500 1800,620^-0.2 1780,600 0,600; seam 1800,600 2400,0", "face 0 1980146.2 n7 h0; stray 848.5"},
	{"stepped seam short at both ends", top + "seam 800,1 800,300 850,300 850,599", "face 0 495000.0 n6 h0; face 0 705000.0 n6 h0; gap-closed 800,1 1.00; gap-closed 850,599 1.00"},
	{"rounded corner short of its line", "open 10,0 2000,0 2000,600 0,600 0,11; line 0,10^0.41421356237309503 10,0", "face 0 1199978.5 n5 h0; corner-restored 0,10 1.00"},
}

func TestClose(t *testing.T) {
	for _, tc := range cases {
		t.Run(tc.name, func(t *testing.T) {
			want := strings.Split(tc.want, "; ")
			got := describe(closed(parse(t, tc.drawing), Default()))
			if tc.want == "" {
				want = nil
			}
			a, b := slices.Sorted(slices.Values(got)), slices.Sorted(slices.Values(want))
			if !slices.Equal(a, b) {
				t.Errorf("\n got %s\nwant %s", strings.Join(a, "; "), strings.Join(b, "; "))
			}
		})
	}
}

// closed is Close without bounds, which has no error.
func closed(curves []Curve, s Settings) Result {
	r, err := Close(nil, curves, s)
	if err != nil {
		panic(err)
	}
	return r
}

// all is the result of an operation on loops without bounds, which has no error.
func all(parts []geom.Region, err error) []geom.Region {
	if err != nil {
		panic(err)
	}
	return parts
}
