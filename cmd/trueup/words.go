package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"trueup/dxfio/piece"
)

// printWords lists the built-in words of layer names.
func printWords(out io.Writer) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "ROLE\tLANGUAGE\tWORDS (accents, case and plural aside; phrases also as one word)")
	for _, l := range piece.Words() {
		fmt.Fprintf(w, "%s\t%s\t%s\n", l.Says, l.Language, l.Words)
	}
	return w.Flush()
}
