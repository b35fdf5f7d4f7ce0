// Command generate writes the demo templates: one invented job, the house at
// 12 Harbour Lane, as a templater might drop it into the shop's folder.
//
//	go run ./testdata/demo/generate testdata/demo
//
// The files are deterministic: the same program writes the same bytes.
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: generate FOLDER")
		os.Exit(2)
	}
	for _, t := range []struct {
		name string
		make func() []byte
	}{
		{"01-kitchen-l.dxf", kitchen},
		{"02-island.dxf", island},
		{"03-vanity.dxf", vanity},
		{"04-laundry-inches.dxf", laundry},
		{"05-small-gaps.dxf", smallGaps},
		{"06-wide-gap.dxf", wideGap},
		{"07-facets.dxf", facets},
		{"08-broken.dxf", broken},
		{"09-stepped-seam.dxf", steppedSeam},
		{"10-apron-sink.dxf", apronSink},
	} {
		if err := os.WriteFile(filepath.Join(os.Args[1], t.name), t.make(), 0o644); err != nil {
			fmt.Fprintln(os.Stderr, "generate:", err)
			os.Exit(1)
		}
	}
}
