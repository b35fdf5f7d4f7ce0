package watch

import (
	"fmt"
	"path"
	"strings"

	"trueup/report"
)

// decidedFile says what was decided, beside the workbook.
const decidedFile = report.DecidedFile

// decidedText is the page beside a decided workbook. The workbook is the office's and
// stays as it was saved, headline and all; this says what became of it.
func decidedText(result *report.Result, d *decided) string {
	var b strings.Builder
	line := func(format string, a ...any) { fmt.Fprintf(&b, "%s\r\n", oneLine(fmt.Sprintf(format, a...))) }
	line("%s: %s, revision %d", strings.ToUpper(d.Verdict), result.Job, result.Revision)
	line("Decided by %s, %s", d.By, d.At.Local().Format(clockText))
	b.WriteString("\r\n")
	for _, flag := range result.Flags {
		if flag.Decision != nil {
			line("%s (%s): %s by %s: %s", flag.ID, flag.Rule, decisionWord(flag.Decision.Choice), decider(result, flag.Decision), flag.Decision.Why)
		}
	}
	if d.Verdict == returnedDir {
		fmt.Fprintf(&b, "\r\nNot to be cut. %s is for the templater; the corrected drawing becomes the next revision.\r\n", noteFile)
	}
	return b.String()
}

func decisionWord(choice string) string {
	if choice == report.Return {
		return "sent back"
	}
	return "accepted"
}

// oneLine keeps what people wrote into cells from looking like lines of the page.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// decider is who decided, and in which revision where that was an earlier one.
func decider(result *report.Result, d *report.Decision) string {
	if d.Revision > 0 && d.Revision < result.Revision {
		return fmt.Sprintf("%s (revision %d)", d.By, d.Revision)
	}
	return d.By
}

// names are those who decided, in the order of the flags, each once.
func names(result *report.Result) string {
	var list []string
	known := map[string]bool{}
	for _, flag := range result.Flags {
		if flag.Decision == nil || flag.Decision.By == "" {
			continue
		}
		if by := decider(result, flag.Decision); !known[by] {
			known[by] = true
			list = append(list, by)
		}
	}
	return strings.Join(list, ", ")
}

// reasons are what the office wrote under Why, a flag after the other: of a
// job sent back that of the flags it was sent back for, otherwise all.
func reasons(result *report.Result, state string) string {
	var list []string
	for _, flag := range result.Flags {
		word := flag.Decision
		if word == nil || word.Why == "" || state == returnedDir && word.Choice != report.Return {
			continue
		}
		list = append(list, flag.ID+": "+word.Why)
	}
	return strings.Join(list, "; ")
}

// tellCarried notes who answers for a revision that is released on decisions of
// earlier ones alone, in its card and on the page beside its workbook. One without
// any decision has nobody to name.
func (s *Service) tellCarried(f *folder, dir string, c *card) error {
	result, err := readResult(f, dir)
	if err != nil && passes(err) {
		return err
	}
	if err != nil || result == nil {
		return nil // whoever reads it later is told
	}
	by := names(result)
	if by == "" {
		return nil
	}
	c.Decided = &decided{Verdict: readyDir, By: by, Why: reasons(result, readyDir), At: c.Published}
	return f.replaceFile(path.Join(dir, decidedFile), []byte(decidedText(result, c.Decided)))
}
