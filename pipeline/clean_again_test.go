package pipeline

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"trueup/dxfio"
	"trueup/pipeline/settings"
	"trueup/report"
)

// TestCleanDrawingChecksTheSame checks the clean drawing of every demo template
// again: the machines' operators work from it, so it has to say as much as the
// template about every edge. What a repair mended is mended in it.
func TestCleanDrawingChecksTheSame(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "testdata", "demo", "*.dxf"))
	if err != nil || len(files) == 0 {
		t.Fatal("no demo drawings", err)
	}
	shop := settings.Default()
	finished, profiled := 0, 0
	drawn := map[string]string{"profiles": profiles, "fold": fold}
	for _, file := range append(files, "profiles", "fold") {
		data := []byte(strings.ReplaceAll(drawn[file], " ", "\n"))
		if len(data) == 0 {
			if data, err = os.ReadFile(file); err != nil {
				t.Fatal(err)
			}
		}
		first := Process(context.Background(), Input{File: "a.dxf", Job: "a", Drawing: bytes.NewReader(data)}, &shop)
		if first.Result.Verdict == report.Failed {
			continue
		}
		var clean bytes.Buffer
		if err := dxfio.Write(&clean, report.CleanDrawing(first.Template, first.unit())); err != nil {
			t.Fatal(err)
		}
		second := Process(context.Background(), Input{File: "b.dxf", Job: "b", Drawing: &clean}, &shop)
		for i, p := range first.Template.Pieces {
			for k, e := range p.Edges {
				if e.Profile != "" {
					profiled++
				}
				if e.Finish == "finished" {
					finished++
				}
				if i >= len(second.Template.Pieces) || k >= len(second.Template.Pieces[i].Edges) {
					t.Fatalf("%s: piece %s lost edges", filepath.Base(file), p.ID)
				}
				if again := second.Template.Pieces[i].Edges[k]; again.Finish != e.Finish || again.Profile != e.Profile {
					t.Errorf("%s: edge %d of %s is %s %q, in the clean drawing %s %q", filepath.Base(file), e.N, p.ID, e.Finish, e.Profile, again.Finish, again.Profile)
				}
			}
		}
		if a, b := figures(first.Result), figures(second.Result); a != b {
			t.Errorf("%s:\n%s\nand its clean drawing:\n%s", filepath.Base(file), a, b)
		}
	}
	if finished == 0 || profiled == 0 {
		t.Errorf("%d finished edges and %d with a profile: the demo shows too little", finished, profiled)
	}
}

// figures lists what has to stay: the pieces' set-up to a tenth of a millimetre
// or a hundredth of a minute, and the flags but those about the drawing itself.
func figures(r *report.Result) string {
	var lines []string
	for _, p := range r.Pieces {
		s := p.Setup
		lines = append(lines, fmt.Sprintf("%s %.1f x %.1f, saw %.1f, router %.1f, %.2f min, %d passes", p.ID, p.Length, p.Width, s.Saw, s.Router, s.RunMinutes, len(s.Polish)))
	}
	var flags []string
	for _, f := range r.Flags {
		if f.Rule == "open-outline" || f.Rule == "unmapped-layer" || f.Rule == "layer-doubtful" || f.Rule == "cutout-over-edge" {
			continue // about what the clean drawing leaves out: an open top over a cabinet, the sink that made a notch
		}
		flags = append(flags, fmt.Sprintf("%s %s %.1f", f.Rule, f.Severity, f.Measured))
	}
	slices.Sort(flags)
	return strings.Join(append(lines, flags...), "\n")
}

// profiles is a top of 1200 x 600 mm with a mitred front and a text that names
// the profile of its right edge; a space stands for the end of a line.
const profiles = "0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 ENTITIES " +
	"0 LWPOLYLINE 8 COUNTER 90 4 70 1 10 0 20 0 10 1200 20 0 10 1200 20 600 10 0 20 600 " +
	"0 LINE 8 FINISHED-MITRE 10 0 20 0 11 1200 21 0 0 LINE 8 FINISHED 10 1200 20 0 11 1200 21 600 " +
	"0 TEXT 8 FINISHED 10 1215 20 300 40 10 1 Eased 0 ENDSEC 0 EOF "

// fold is a top of 1200 x 600 mm whose last 400 mm fold down as a leg: a seam with a
// mitre along it.
const fold = "0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 ENTITIES " +
	"0 LWPOLYLINE 8 COUNTER 90 4 70 1 10 0 20 0 10 1200 20 0 10 1200 20 600 10 0 20 600 " +
	"0 LINE 8 SEAM 10 800 20 0 11 800 21 600 0 LINE 8 FINISHED-MITRE 10 800 20 0 11 800 21 600 " +
	"0 LINE 8 FINISHED 10 0 20 0 11 1200 21 0 0 ENDSEC 0 EOF "
