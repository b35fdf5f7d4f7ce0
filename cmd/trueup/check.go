package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"
	"golang.org/x/term"

	"trueup/pipeline"
	"trueup/report"
)

// defaultOut is where reports go when nobody says where.
const defaultOut = "trueup-out"

func checkCommand() *cobra.Command {
	var asJSON bool
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
  trueup check --json kitchen.dxf | jq '.flags[] | {rule, message}'`,
		Args: atLeast(1, "the file or folder to check"),
	}
	load := settingsFlag(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one result document a line to standard output")
	cmd.Flags().StringVar(&out, "out", "", "`DIR` for the reports (default "+defaultOut+", with --json none)")
	cmd.Flags().IntVar(&jobs, "jobs", runtime.GOMAXPROCS(0), "templates checked at once")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
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

// linesAtMost is how many templates are listed one by one on a terminal before
// the bar takes over; a summary then still fits a screen.
const linesAtMost = 30

// progress tells people how the batch goes: a line a template, on a terminal a
// bar when there are many.
type progress struct {
	w      io.Writer
	bar    *progressbar.ProgressBar
	begin  time.Time
	counts map[report.Verdict]int
	failed []string
	review []string
}

func newProgress(w io.Writer, n int) *progress {
	p := &progress{w: w, begin: time.Now(), counts: map[report.Verdict]int{}}
	if f, ok := w.(*os.File); ok && n > linesAtMost && term.IsTerminal(int(f.Fd())) {
		p.bar = progressbar.NewOptions(n, progressbar.OptionSetWriter(w), progressbar.OptionSetDescription("checking"),
			progressbar.OptionShowCount(), progressbar.OptionShowIts(), progressbar.OptionSetItsString("templates"),
			progressbar.OptionThrottle(100*time.Millisecond), progressbar.OptionClearOnFinish())
	}
	return p
}

func (p *progress) total() int {
	return p.counts[report.Ready] + p.counts[report.Review] + p.counts[report.Failed]
}

func (p *progress) done(it pipeline.Item, r *report.Result) {
	p.counts[r.Verdict]++
	line := fmt.Sprintf("%-6s  %s", r.Verdict, summaryLine(it, r))
	switch r.Verdict {
	case report.Failed:
		p.failed = append(p.failed, line)
	case report.Review:
		p.review = append(p.review, line)
	}
	if p.bar != nil {
		_ = p.bar.Add(1) // drawing the bar may fail; the check must not
		return
	}
	fmt.Fprintln(p.w, line)
}

// summaryLine says in one line what became of a template.
func summaryLine(it pipeline.Item, r *report.Result) string {
	if r.Verdict == report.Failed {
		return r.Error
	}
	n := report.Counts(r)
	s := fmt.Sprintf("%s: %s", it.File, count(len(r.Pieces), "piece"))
	for _, c := range []struct {
		n    int
		what string
	}{{n.Stop, "stop"}, {n.Warn, "warning"}, {n.Note, "note"}, {len(r.Repairs), "repair"}, {len(r.Unchecked), "not checked"}} {
		if c.n > 0 {
			s += ", " + count(c.n, c.what)
		}
	}
	return s
}

func count(n int, what string) string {
	if n == 1 || what == "not checked" {
		return fmt.Sprintf("%d %s", n, what)
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// namedAtMost bounds the templates a closing summary repeats.
const namedAtMost = 12

// close prints the closing summary.
func (p *progress) close(out string) {
	if p.bar != nil {
		_ = p.bar.Finish()
		for _, l := range [][]string{p.failed, p.review} {
			for i, line := range l {
				if i == namedAtMost {
					fmt.Fprintf(p.w, "        and %d more\n", len(l)-i)
					break
				}
				fmt.Fprintln(p.w, line)
			}
		}
	}
	took := time.Since(p.begin)
	fmt.Fprintf(p.w, "%d ready, %d to review, %d failed in %s\n",
		p.counts[report.Ready], p.counts[report.Review], p.counts[report.Failed], took.Round(time.Millisecond))
	if out != "" && p.total() > 0 {
		if abs, err := filepath.Abs(out); err == nil {
			out = abs
		}
		fmt.Fprintf(p.w, "reports are in %s\n", out)
	}
}

// verdict returns the exit code of the batch; a failed file beats a review.
func (p *progress) verdict() error {
	switch {
	case p.counts[report.Failed] > 0:
		return verdict(exitFailed)
	case p.counts[report.Review] > 0:
		return verdict(exitReview)
	default:
		return nil
	}
}
