package draw

import (
	"bytes"
	"encoding/xml"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

func pt(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

var ( // never changed
	black = color.RGBA{0, 0, 0, 255}
	red   = color.RGBA{200, 0, 0, 255}
)

func fonts(t testing.TB) *Fonts {
	t.Helper()
	f, err := NewFonts()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// render draws a canvas and returns the picture.
func render(t *testing.T, c *Canvas, pixels float64) *image.Paletted {
	t.Helper()
	var out bytes.Buffer
	if err := c.PNG(&out, fonts(t), pixels); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&out)
	if err != nil {
		t.Fatal(err)
	}
	p, ok := img.(*image.Paletted)
	if !ok {
		t.Fatalf("a picture of type %T", img)
	}
	return p
}

// covered adds up how much of the picture is ink, in pixels.
func covered(p *image.Paletted) float64 {
	var sum float64
	for y := range p.Rect.Dy() {
		for x := range p.Rect.Dx() {
			r, _, _, _ := p.At(x, y).RGBA()
			sum += 1 - float64(r)/0xffff
		}
	}
	return sum
}

// What is drawn covers the area that geometry says.
func TestCoverage(t *testing.T) {
	for _, c := range []struct {
		name string
		draw func(*Canvas)
		want float64 // mm2
	}{
		{"upright line", func(c *Canvas) { c.Line(pt(10, 5), pt(10, 45), Pen{Color: black, Width: 0.5}) }, 40.5 * 0.5},
		{"level line", func(c *Canvas) { c.Line(pt(5, 20.03), pt(45, 20.03), Pen{Color: black, Width: 1}) }, 41},
		{"slanted line", func(c *Canvas) { c.Line(pt(10, 10), pt(40, 40), Pen{Color: black, Width: 1}) }, 30*math.Sqrt2 + 1},
		{"dashes", func(c *Canvas) { c.Line(pt(5, 20), pt(45, 20), Pen{Color: black, Width: 1, Dash: []float64{2, 2}}) }, 20},
		{"circle", func(c *Canvas) { c.Curves(geom.Circle(pt(25, 25), 15), Pen{Color: black, Width: 1}) }, 2 * math.Pi * 15},
		{"dashed circle", func(c *Canvas) {
			c.Curves(geom.Circle(pt(25, 25), 15), Pen{Color: black, Width: 1, Dash: []float64{1, 3}})
		}, 2 * math.Pi * 15 / 4},
		{"disc", func(c *Canvas) { c.Area([]geom.Loop{geom.Circle(pt(25, 25), 15)}, Fill{Color: black}) }, math.Pi * 225},
		{"ring", func(c *Canvas) {
			c.Area([]geom.Loop{geom.Circle(pt(25, 25), 15), geom.Circle(pt(25, 25), 10)}, Fill{Color: black})
		}, math.Pi * 125},
		{"half outside", func(c *Canvas) { c.Area([]geom.Loop{geom.Circle(pt(0, 25), 15)}, Fill{Color: black}) }, math.Pi * 225 / 2},
		{"line from far outside", func(c *Canvas) { c.Line(pt(-1e9, 25), pt(1e9, 25), Pen{Color: black, Width: 1}) }, 50},
		{"nothing", func(c *Canvas) { c.Curves(nil, Pen{Color: black, Width: 1}); c.Area(nil, Fill{}); c.Text(Text{}) }, 0},
	} {
		canvas := &Canvas{Width: 50, Height: 50}
		c.draw(canvas)
		const scale = 10
		got := covered(render(t, canvas, scale)) / scale / scale
		if math.Abs(got-c.want) > 0.02*c.want+0.05 {
			t.Errorf("%s: %.3f mm2, want %.3f", c.name, got, c.want)
		}
	}
}

func TestHatchCoversItsShare(t *testing.T) {
	for _, rising := range []bool{false, true} {
		canvas := &Canvas{Width: 50, Height: 50}
		canvas.Area([]geom.Loop{Rectangle(geom.Box{Min: pt(10, 10), Max: pt(40, 40)})}, Fill{Color: black, Spacing: 2, Rising: rising})
		p := render(t, canvas, 5) // a line of one pixel every ten
		if got := covered(p); math.Abs(got-150*15) > 20 {
			t.Errorf("rising %v: %v pixels", rising, got)
		}
		// The lines rise or fall.
		for y := 100; y < 110; y++ {
			for x := 100; x < 110; x++ {
				if r, _, _, _ := p.At(x, y).RGBA(); r == 0 {
					next := x + 1
					if rising {
						next = x - 1
					}
					if r, _, _, _ := p.At(next, y+1).RGBA(); r != 0 {
						t.Errorf("rising %v: the line at %d,%d does not go on", rising, x, y)
					}
				}
			}
		}
	}
}

func TestPaletteStaysSmall(t *testing.T) {
	canvas := &Canvas{Width: 60, Height: 60}
	for i := range 300 { // more inks than a palette holds
		c := color.RGBA{uint8(i), uint8(i * 7), uint8(255 - i), 255}
		canvas.Line(pt(5, float64(i)/5), pt(55, float64(i)/5+1), Pen{Color: c, Width: 0.3})
	}
	if n := len(render(t, canvas, 4).Palette); n > 256 {
		t.Errorf("%d colours", n)
	}
}

func TestPNGRefusesSizes(t *testing.T) {
	for _, c := range []Canvas{{}, {Width: 1e6, Height: 1}, {Width: 10, Height: -1}, {Width: math.NaN(), Height: 10}} {
		if err := c.PNG(io.Discard, fonts(t), 10); err == nil {
			t.Errorf("%+v is drawn", c)
		}
	}
}

func TestFonts(t *testing.T) {
	f := fonts(t)
	for _, s := range []string{"Müller Łódź Ålesund Čapek İzmir", "Ωμέγα", "Кухня", "½ × Ø ° ² é"} {
		if got := f.Printable(s); got != s {
			t.Errorf("%q is printed %q", s, got)
		}
	}
	if got := f.Printable("厨房 A\n"); got != "□□ A " {
		t.Errorf("what is missing is printed %q", got)
	}
	if w := f.Width("0000000000", false); w < 4 || w > 7 {
		t.Errorf("ten digits are %v ems wide", w)
	}
	if a, b := f.Width("Kitchen", false), f.Width("Kitchen", true); b <= a {
		t.Errorf("bold %v is no wider than regular %v", b, a)
	}
	if got := f.Cut("a very long name of a piece", false, 5); f.Width(got, false) > 5 || !strings.HasSuffix(got, "…") {
		t.Errorf("cut to %q, %v ems", got, f.Width(got, false))
	}
	if got := f.Cut("short", false, 5); got != "short" {
		t.Errorf("a short text is cut to %q", got)
	}
}

// Text lies where its anchor says.
func TestTextAnchors(t *testing.T) {
	f := fonts(t)
	for anchor, middle := range map[Anchor]float64{Left: 30 + f.Width("HHHH", false)*4/2, Middle: 30, Right: 30 - f.Width("HHHH", false)*4/2} {
		canvas := &Canvas{Width: 60, Height: 20}
		canvas.Text(Text{Value: "HHHH", At: pt(30, 10), Size: 4, Color: black, Anchor: anchor})
		p := render(t, canvas, 10)
		var x, y, n float64
		for j := range p.Rect.Dy() {
			for i := range p.Rect.Dx() {
				if r, _, _, _ := p.At(i, j).RGBA(); r < 0x8000 {
					x, y, n = x+float64(i), y+float64(j), n+1
				}
			}
		}
		if n == 0 || math.Abs(x/n/10-middle) > 0.2 || math.Abs(y/n/10-10) > 0.3 {
			t.Errorf("anchor %d: middle at %.2f, %.2f, want %.2f, 10", anchor, x/n/10, y/n/10, middle)
		}
	}
}

func TestSVG(t *testing.T) {
	c := &Canvas{Width: 100, Height: 50}
	c.Curves([]geom.Curve{geom.Line(pt(0, 0), pt(10, 0)), {A: pt(10, 0), B: pt(20, 10), Bulge: math.Tan(math.Pi / 8)}}, Pen{Color: red, Width: 0.5, Dash: []float64{1, 2}})
	c.Area([]geom.Loop{Rectangle(geom.Box{Max: pt(5, 5)})}, Fill{Color: black, Spacing: 2, Rising: true})
	c.Text(Text{Value: `<script>"&'` + "\x00", At: pt(1, 1), Size: 3, Color: black, Anchor: Right, Bold: true})
	var out bytes.Buffer
	if err := c.SVG(&out, "<b>", "]]>"); err != nil {
		t.Fatal(err)
	}
	s := out.String()
	// A quarter circle about (10, 10), y down: it turns clockwise on the screen,
	// which SVG calls the positive direction (SVG 2, 9.3.8).
	if !strings.Contains(s, `d="M0 0L10 0A10 10 0 0 1 20 10"`) || !strings.Contains(s, `stroke-dasharray="1 2 "`) {
		t.Errorf("paths:\n%s", s)
	}
	elements := 0
	for d := xml.NewDecoder(&out); ; {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := token.(xml.StartElement); ok {
			elements++
			if e.Name.Local == "script" || e.Name.Local == "b" {
				t.Errorf("text became an element %s", e.Name.Local)
			}
		}
	}
	if elements != 10 {
		t.Errorf("%d elements, want 10", elements)
	}
}

func TestClip(t *testing.T) {
	box := geom.Box{Max: pt(10, 10)}
	for _, c := range []struct {
		a, b, from, to geom.Point
		ok             bool
	}{
		{pt(1, 1), pt(9, 9), pt(1, 1), pt(9, 9), true},
		{pt(-10, 5), pt(20, 5), pt(0, 5), pt(10, 5), true},
		{pt(-5, -5), pt(15, 15), pt(0, 0), pt(10, 10), true},
		{pt(-1, 0), pt(-1, 10), pt(0, 0), pt(0, 0), false},
		{pt(11, 0), pt(20, 5), pt(0, 0), pt(0, 0), false},
		{pt(-2, 9), pt(2, 13), pt(0, 0), pt(0, 0), false},
	} {
		from, to, ok := clip(c.a, c.b, box)
		if ok != c.ok || ok && (from.Distance(c.from) > 1e-9 || to.Distance(c.to) > 1e-9) {
			t.Errorf("%v-%v: %v-%v %v", c.a, c.b, from, to, ok)
		}
	}
}

// Labels that have room never overlap: each may stand at many places of a sheet
// that is a tenth full.
func TestPlacedLabelsDoNotOverlap(t *testing.T) {
	const seed = 7
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, seed))
	p := NewPlacer(geom.Box{Max: pt(200, 200)})
	var taken []geom.Box
	for range 100 {
		w, h := 2+r.Float64()*6, 2+r.Float64()*3
		var places []geom.Box
		for range 60 {
			at := pt(r.Float64()*(200-w), r.Float64()*(200-h))
			places = append(places, geom.Box{Min: at, Max: at.Add(pt(w, h))})
		}
		i := p.Place(places, 0)
		if i < 0 {
			t.Fatal("no place on an almost empty sheet")
		}
		for _, b := range taken {
			if overlap(places[i], b) > 1e-9 {
				t.Fatalf("%v lies over %v", places[i], b)
			}
		}
		taken = append(taken, places[i])
	}
}

func TestPlacer(t *testing.T) {
	at := func(x, y float64) geom.Box { return geom.Box{Min: pt(x, y), Max: pt(x+10, y+4)} }
	p := NewPlacer(geom.Box{Max: pt(100, 100)})
	p.Take(at(20, 20))
	p.Avoid([]geom.Curve{geom.Line(pt(0, 50), pt(100, 50))}, 1)
	for _, c := range []struct {
		name   string
		places []geom.Box
		want   int
	}{
		{"the first free one", []geom.Box{at(22, 21), at(60, 20), at(80, 20)}, 1},
		{"a line is better than a label", []geom.Box{at(25, 20), at(60, 48)}, 1},
		{"inside is better than out", []geom.Box{at(97, 70), at(5, 48)}, 1},
		{"a small overlap is better than a whole one", []geom.Box{at(20, 20), at(29, 20)}, 1},
	} {
		q := *p
		q.cells = make([][]obstacle, len(p.cells))
		for k, v := range p.cells {
			q.cells[k] = slices.Clone(v)
		}
		if got := q.Place(c.places, math.Inf(1)); got != c.want {
			t.Errorf("%s: place %d, want %d", c.name, got, c.want)
		}
	}
	if p.Place([]geom.Box{at(22, 21)}, 1) != -1 {
		t.Error("a place beyond the limit is taken")
	}
	if p.Place(nil, math.Inf(1)) != -1 {
		t.Error("a place is found among none")
	}
	if got := p.Crossed(pt(0, 22), pt(100, 22)); math.Abs(got-10) > 1e-9 {
		t.Errorf("a line through the label crosses %v mm of it", got)
	}
}

func BenchmarkPNG(b *testing.B) {
	f, err := NewFonts()
	if err != nil {
		b.Fatal(err)
	}
	c := &Canvas{Width: 186, Height: 128}
	c.Area([]geom.Loop{Rectangle(geom.Box{Min: pt(20, 20), Max: pt(160, 100)})}, Fill{Color: color.RGBA{240, 236, 228, 255}})
	for i := range 30 {
		y := 22 + float64(i)*2.5
		c.Line(pt(20, y), pt(160, y+float64(i%3)), Pen{Color: black, Width: 0.3})
		c.Text(Text{Value: "2400 [94 1/2\"]", At: pt(90, y), Size: 2.7, Color: black})
	}
	for b.Loop() {
		if err := c.PNG(io.Discard, f, 7); err != nil {
			b.Fatal(err)
		}
	}
}

// Short is what the standard library prints to three places without its zeros.
func TestShort(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for _, v := range []float64{0, 1, -1, 0.5, -0.5, 0.001, -0.001, 0.0004, -0.0004, 12.34, 100, 1000.1, -99.999, 29.9996} {
		checkShort(t, v)
	}
	for range 5000 {
		checkShort(t, math.Round((r.Float64()-0.4)*1e6)/1000)
	}
}

func checkShort(t *testing.T, v float64) {
	t.Helper()
	want := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', 3, 64), "0"), ".")
	if want == "-0" {
		want = "0"
	}
	if got := short(v); got != want {
		t.Errorf("%v is written %q, want %q", v, got, want)
	}
}
