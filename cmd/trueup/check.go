package main

import (
	"encoding/json"
	"fmt"
	"runtime"

	"github.com/spf13/cobra"

	"trueup/pipeline"
	"trueup/report"
)

// defaultOut is where reports go when nobody says where.
const defaultOut = "trueup-out"

// ballastBytes keeps the peak of ordinary templates under 150 MB.
const ballastBytes = 48 << 20

func checkCommand() *cobra.Command {
	var asJSON, schema bool
	var out string
	var jobs int
	cmd := &cobra.Command{
		Use:   "check PATH...",
		Short: "Check templates and write their reports",
		Long: `Checks every template named, or found below a folder, and writes a folder with
report.xlsx, clean.dxf, marked.dxf and result.json for each: DIR/JOB, where JOB is
the template's path below the argument, without .dxf.

With --json the result documents go to standard output, one a line, and reports are
written only when --out says where.`,
		Example: `  trueup check kitchen.dxf
  trueup check --out reports site-visits/
  trueup check --json kitchen.dxf | jq '.flags[] | {rule, message}'
  trueup check --schema > result.schema.json`,
		Args: func(cmd *cobra.Command, args []string) error {
			if schema {
				return none(cmd, args)
			}
			return atLeast(1, "the file or folder to check")(cmd, args)
		},
	}
	load := settingsFlag(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one result document a line to standard output")
	cmd.Flags().BoolVar(&schema, "schema", false, "print the JSON Schema of the result documents, and check nothing")
	cmd.Flags().StringVar(&out, "out", "", "`DIR` for the reports (default "+defaultOut+", with --json none)")
	cmd.Flags().IntVar(&jobs, "jobs", runtime.GOMAXPROCS(0), "`N` templates checked at once")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if schema {
			_, err := cmd.OutOrStdout().Write(report.SchemaJSON())
			return err
		}
		if jobs < 1 {
			return fmt.Errorf("--jobs %d: allowed is 1 or more", jobs)
		}
		s, err := load()
		if err != nil {
			return err
		}
		items, err := pipeline.Find(args)
		if err != nil {
			return err
		}
		if out == "" && !asJSON {
			out = defaultOut
		}
		// The collector runs when the heap has doubled: with ordinary templates some
		// hundred times a second. Counting memory that is never touched, and so never
		// taken from the machine, it runs a few times; a large drawing costs no more.
		ballast := make([]byte, ballastBytes)
		defer runtime.KeepAlive(ballast)
		p := newProgress(cmd.ErrOrStderr(), len(items))
		encoder := json.NewEncoder(cmd.OutOrStdout())
		encoder.SetEscapeHTML(false)
		err = pipeline.Batch(cmd.Context(), items, jobs, out, s, func(it pipeline.Item, o *pipeline.Outcome) error {
			p.done(it, o.Result)
			if asJSON {
				return encoder.Encode(o.Result)
			}
			return nil
		})
		p.close(out)
		if err != nil {
			return fmt.Errorf("stopped after %d of %d templates: %w", p.total(), len(items), err)
		}
		return p.verdict()
	}
	return cmd
}
