package report

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"trueup/dxfio/geom"
	"trueup/dxfio/piece"
	"trueup/report/draw"
)

func testFonts(t testing.TB) *draw.Fonts {
	t.Helper()
	f, err := draw.NewFonts()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// hidden adds up how much of the labels lies over other labels, mm2.
func hidden(labels []geom.Box) float64 {
	var sum float64
	for i, a := range labels {
		for _, b := range labels[:i] {
			w := min(a.Max.X, b.Max.X) - max(a.Min.X, b.Min.X)
			h := min(a.Max.Y, b.Max.Y) - max(a.Min.Y, b.Min.Y)
			if w > 0 && h > 0 {
				sum += w * h
			}
		}
	}
	return sum
}

func TestLabelsDoNotOverlap(t *testing.T) {
	fonts := testFonts(t)
	for _, units := range []string{UnitsMM, UnitsInch, UnitsBoth} {
		s := Default()
		s.Units = units
		tpl := kitchen()
		for i := range tpl.Pieces {
			p := &tpl.Pieces[i]
			d, _, _ := newPieceWork(tpl, p, p.Outline.Centroid(), fonts, s, drawingWide, drawingHigh)
			if over := hidden(d.labels); over > 0.01 {
				t.Errorf("%s, piece %s: labels hide %.2f mm2 of each other", units, p.ID, over)
			}
			paper := geom.Box{Max: geom.Point{X: drawingWide, Y: drawingHigh}}
			for _, b := range d.labels {
				if !paper.Contains(b.Min) || !paper.Contains(b.Max) {
					t.Errorf("%s, piece %s: a label leaves the paper at %v", units, p.ID, b)
				}
			}
		}
	}
}

// Pieces of random size, turned any way, fit their paper at a usual scale, lie
// along it, and keep their size.
func TestPiecesFitTheirPaper(t *testing.T) {
	const seed = 3
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, seed))
	fonts := testFonts(t)
	for range 40 {
		w, h, angle := 50+r.Float64()*4000, 50+r.Float64()*1500, r.Float64()*2*math.Pi
		outline := line(0, 0, w, 0, w, h, 0, h).Rotate(angle)
		p := piece.Piece{ID: "X", Outline: outline, Edges: edgesOf(outline)}
		d, ratio, turn := newPieceWork(&piece.Template{}, &p, outline.Centroid(), fonts, Default(), drawingWide, drawingHigh)
		b := geom.Loop(d.frame.curves(outline)).Box()
		if b.Min.X < 0 || b.Min.Y < 0 || b.Max.X > drawingWide || b.Max.Y > drawingHigh-legendHeight {
			t.Errorf("%.0f x %.0f turned %.2f leaves its paper: %v", w, h, angle, b)
		}
		long, wide := max(b.Width(), b.Height())*ratio, min(b.Width(), b.Height())*ratio
		if math.Abs(long-max(w, h)) > 0.1 || math.Abs(wide-min(w, h)) > 0.1 {
			t.Errorf("%.1f x %.1f is drawn as %.1f x %.1f (turned by %.2f)", w, h, long, wide, turn)
		}
	}
}

// Every edge has its number, every dimension its length in the drawing.
func TestPieceDrawingSaysEverything(t *testing.T) {
	in := kitchenBook()
	var out bytes.Buffer
	if err := writePieceSVG(&out, in, "A"); err != nil {
		t.Fatal(err)
	}
	texts := map[string]int{}
	for _, m := range regexp.MustCompile(`>([^<]*)</text>`).FindAllStringSubmatch(out.String(), -1) {
		texts[m[1]]++
	}
	for _, want := range []string{
		"1 F", "2 S", "3 S", "4 S", "5 W", "6 W", "A-1 sink", "762 × 432", "A-2 hole Ø 35 [1 3/8&#34;]", "2438.1 [96&#34;]", "2400 [94 1/2&#34;]",
		"800 [31 1/2&#34;]", "1180 [46 7/16&#34;]", "108", "60", "650", "S1 step 38.1 [1 1/2&#34;] at 40 [1 9/16&#34;]", "F finished edge", "W at a wall", "S seam", "centre of gravity",
	} {
		if texts[want] == 0 {
			t.Errorf("the drawing does not say %q", want)
		}
	}
	if texts["2438.1 [96&#34;]"] > 1 {
		t.Error("the same stretch is dimensioned twice")
	}
	if err := writePieceSVG(&out, in, "no such piece"); err == nil {
		t.Error("a piece that is not there is drawn")
	}
}

func TestTemplateDrawingMarksFlags(t *testing.T) {
	in := kitchenBook()
	pictures, err := picturesOf(in)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := pictures[0].write(&out); err != nil {
		t.Fatal(err)
	}
	for i, f := range in.Result.Flags {
		if !strings.Contains(out.String(), fmt.Sprintf(">%d</text>", i+1)) {
			t.Errorf("flag %s has no mark", f.ID)
		}
	}
	for _, want := range []string{">A</text>", ">D</text>", ">S1</text>", ">support</text>", ">opening, no support</text>", "4 pieces and 6 flags"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the drawing lacks %q", want)
		}
	}
}

// A drawing with very many pieces, cutouts and flags stays within bounds and
// says what it leaves out.
func TestCrowdedDrawingsSayWhatTheyLeaveOut(t *testing.T) {
	in := kitchenInput()
	p := in.Template.Pieces[0]
	for i := range 300 {
		p.Cutouts = append(p.Cutouts, piece.Cutout{ID: fmt.Sprintf("A-%d", i+3), Kind: piece.Hole, Diameter: 10, Loop: hole(50+float64(i%60)*10, 60+float64(i/60)*12, 8)})
	}
	in.Template.Pieces[0] = p
	for i := range 400 {
		f := in.Findings.Flags[1]
		f.At = pt(float64(i), float64(i%7)*50)
		in.Findings.Flags = append(in.Findings.Flags, f)
		q := in.Template.Pieces[3]
		q.ID = fmt.Sprint("D", i)
		in.Template.Pieces = append(in.Template.Pieces, q)
	}
	book := WorkbookInput{Result: Build(in), Template: in.Template, Settings: Default()}
	pictures, err := picturesOf(book)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range map[int]string{0: "flags after F150 are not marked", 1: "further cutouts are without labels"} {
		var out bytes.Buffer
		if err := pictures[i].write(&out); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(out.String(), want) {
			t.Errorf("drawing %s does not say %q", pictures[i].file, want)
		}
	}
	if len(pictures) != 1+len(book.Result.Pieces) {
		t.Errorf("%d pictures", len(pictures))
	}
}
