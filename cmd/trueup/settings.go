package main

import (
	"fmt"
	"io"
	"text/tabwriter"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"trueup/pipeline/settings"
)

func settingsCommand() *cobra.Command {
	var table, schema, markdown bool
	cmd := &cobra.Command{
		Use:   "settings",
		Short: "Print the settings in force, as a file to edit",
		Long: `Prints every setting in force with what it is, its unit, what is allowed and where
its default comes from, as a TOML file that a shop can keep and edit.`,
		Example: `  trueup settings > trueup.toml
  trueup settings --settings trueup.toml --table
  trueup settings --schema > trueup.schema.json`,
		Args: none,
	}
	load := settingsFlag(cmd)
	cmd.Flags().BoolVar(&table, "table", false, "a table with the value, where it comes from and the source of its default")
	cmd.Flags().BoolVar(&schema, "schema", false, "the JSON Schema of the file, for editors")
	cmd.Flags().BoolVar(&markdown, "markdown", false, "the reference of the README")
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		out := cmd.OutOrStdout()
		if schema {
			_, err := out.Write(settings.SchemaJSON())
			return err
		}
		if markdown {
			_, err := fmt.Fprint(out, settings.Markdown())
			return err
		}
		s, err := load()
		if err != nil {
			return err
		}
		if !table {
			return s.WriteTOML(out)
		}
		return writeSettingsTable(out, s.Entries())
	}
	return cmd
}

// widestValue is the most letters of a value that stands in the table; wider
// ones, lists of layers above all, follow below it.
const widestValue = 40

// writeSettingsTable writes a row a setting, narrow enough for a terminal.
func writeSettingsTable(out io.Writer, entries []settings.Entry) error {
	from := func(e settings.Entry) string {
		if e.Changed {
			return "settings file"
		}
		return "built in"
	}
	var wide []settings.Entry
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "SETTING\tVALUE\tUNIT\tFROM\tSOURCE OF THE DEFAULT")
	for _, e := range entries {
		if utf8.RuneCountInString(e.Value) > widestValue {
			wide = append(wide, e)
			continue
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", e.Key, e.Value, e.Unit, from(e), e.Source)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	for _, e := range wide {
		if _, err := fmt.Fprintf(out, "\n%s  (%s)\n  %s\n", e.Key, from(e), e.Value); err != nil {
			return err
		}
	}
	return nil
}
