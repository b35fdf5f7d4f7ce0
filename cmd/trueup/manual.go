package main

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// manualCommand writes the manual pages; packaging runs it.
func manualCommand() *cobra.Command {
	return &cobra.Command{
		Use:    "manual DIR",
		Short:  "Write the manual pages into a folder",
		Hidden: true,
		Args:   one("the folder for the pages"),
		RunE: func(cmd *cobra.Command, args []string) error {
			date := time.Now()
			// The convention of reproducible-builds.org: the same source, the same pages.
			if epoch := os.Getenv("SOURCE_DATE_EPOCH"); epoch != "" {
				seconds, err := strconv.ParseInt(epoch, 10, 64)
				if err != nil {
					return fmt.Errorf("SOURCE_DATE_EPOCH %q is not a number of seconds", epoch)
				}
				date = time.Unix(seconds, 0).UTC()
			}
			root := cmd.Root()
			root.DisableAutoGenTag = true
			forManual(root)
			return doc.GenManTree(root, &doc.GenManHeader{Title: "TRUEUP", Section: "1", Date: &date, Source: "trueup"}, args[0])
		},
	}
}

// forManual makes the help of a command and those below it fit for manual
// pages: lists keep their lines, and no default is that of this machine.
func forManual(cmd *cobra.Command) {
	cmd.Long = keepLines(cmd.Long)
	if jobs := cmd.Flags().Lookup("jobs"); jobs != nil {
		jobs.DefValue = "PROCESSORS"
	}
	for _, below := range cmd.Commands() {
		forManual(below)
	}
}

// keepLines makes verbatim blocks, in the Markdown that pages are made from, of
// indented lines, which would otherwise run together.
func keepLines(text string) string {
	var out []string
	inside := false
	for line := range strings.SplitSeq(text, "\n") {
		indented := strings.HasPrefix(line, "  ")
		if indented != inside {
			out = append(out, "")
		}
		if inside = indented; inside {
			line = "  " + line
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}
