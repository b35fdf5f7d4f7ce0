package main

import (
	"fmt"
	"os"
	"strconv"
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
			return doc.GenManTree(root, &doc.GenManHeader{Title: "TRUEUP", Section: "1", Date: &date, Source: "trueup"}, args[0])
		},
	}
}
