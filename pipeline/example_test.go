package pipeline_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"trueup/pipeline"
	"trueup/pipeline/settings"
)

// A template drawn in inches goes through every stage: read, pieces, checks,
// set-up figures, verdict. Write then makes the report's files in a folder.
//
// By hand: the top is drawn 72 x 25.5 in, so 1828.8 x 647.7 mm at 25.4 mm an
// inch (NIST SP 811), with a drilled hole of 2*0.6875*25.4 = 34.925 mm.
func ExampleProcess() {
	file := filepath.Join("..", "testdata", "demo", "04-laundry-inches.dxf")
	drawing, err := os.Open(file)
	if err != nil {
		fmt.Println(err)
		return
	}
	defer drawing.Close()
	shop := settings.Default()
	outcome := pipeline.Process(context.Background(), pipeline.Input{File: filepath.Base(file), Job: "laundry", Drawing: drawing}, &shop)

	fmt.Println(outcome.Result.Source.File, "is", outcome.Result.Verdict)
	fmt.Println("drawn in", outcome.Result.Units.Drawing, "by its", outcome.Result.Units.From)
	for _, p := range outcome.Result.Pieces {
		fmt.Printf("%s: %.1f x %.1f mm\n", p.ID, p.Length, p.Width)
		for _, c := range p.Cutouts {
			if c.Diameter > 0 {
				fmt.Printf("%s: %s, %.3f mm\n", c.ID, c.Kind, c.Diameter)
			}
		}
	}

	dir, err := os.MkdirTemp("", "report")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	if err := outcome.Write(dir, nil, nil); err != nil {
		fmt.Println(err)
		return
	}
	for _, name := range []string{pipeline.WorkbookFile, pipeline.CleanFile, pipeline.MarkedFile, pipeline.ResultFile} {
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			fmt.Println("wrote", name)
		}
	}
	// Output:
	// 04-laundry-inches.dxf is ready
	// drawn in in by its header
	// LAUNDRY: 1828.8 x 647.7 mm
	// LAUNDRY-2: hole, 34.925 mm
	// wrote report.xlsx
	// wrote clean.dxf
	// wrote marked.dxf
	// wrote result.json
}

// Process never gives up: a file that cannot be read has a result of its own,
// with one sentence that says why and what to do. This one was cut off in a group
// code, "90", on its 135th line.
func ExampleProcess_broken() {
	drawing, err := os.Open(filepath.Join("..", "testdata", "demo", "08-broken.dxf"))
	if err != nil {
		fmt.Println(err)
		return
	}
	defer drawing.Close()
	shop := settings.Default()
	outcome := pipeline.Process(context.Background(), pipeline.Input{File: "broken.dxf", Drawing: drawing}, &shop)
	fmt.Println(outcome.Result.Verdict, len(outcome.Result.Pieces))
	fmt.Println(outcome.Result.Error)
	// Output:
	// failed 0
	// broken.dxf, line 135: the file ends between a group code and its value; the file is cut short: copy or export it again
}
