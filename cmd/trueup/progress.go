package main

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"trueup/pipeline"
	"trueup/pipeline/watch"
	"trueup/report"
	"trueup/rules"
)

// linesAtMost is how many templates are listed one by one on a terminal before
// a bar takes over.
const linesAtMost = 30

// screen is the size of a terminal in letters; zero for what is none.
type screen struct{ width, height int }

// screenOf asks a writer for its size. A terminal that does not tell has the 80
// by 24 letters of the common ones.
func screenOf(w io.Writer) screen {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return screen{}
	}
	if width, height, err := term.GetSize(int(f.Fd())); err == nil && width > 0 && height > 0 {
		return screen{width, height}
	}
	return screen{80, 24}
}

// rows is how many lines of the screen a text takes.
func (s screen) rows(text string) int {
	return max(1, (utf8.RuneCountInString(text)+s.width-1)/s.width)
}

// progress tells people how the batch goes: a line a template, on a terminal a
// bar when there are many, and a closing summary.
type progress struct {
	w      io.Writer
	screen screen
	bar    *progressbar.ProgressBar
	all    int
	begin  time.Time
	counts map[report.Verdict]int
	stops  map[string]int // rule: undecided stop flags
	failed []string
	review []string
}

func newProgress(w io.Writer, n int) *progress {
	p := &progress{w: w, screen: screenOf(w), all: n, begin: time.Now(), counts: map[report.Verdict]int{}, stops: map[string]int{}}
	if p.screen.width > 0 && n > linesAtMost {
		p.bar = progressbar.NewOptions(n, progressbar.OptionSetWriter(w), progressbar.OptionSetDescription("checking"),
			progressbar.OptionShowCount(), progressbar.OptionShowIts(), progressbar.OptionSetItsString("templates"),
			progressbar.OptionSetElapsedTime(false), progressbar.OptionSetPredictTime(false), progressbar.OptionFullWidth(),
			progressbar.OptionThrottle(100*time.Millisecond), progressbar.OptionClearOnFinish())
	}
	return p
}

func (p *progress) total() int {
	return p.counts[report.Ready] + p.counts[report.Review] + p.counts[report.Failed]
}

func (p *progress) done(it pipeline.Item, r *report.Result) {
	p.counts[r.Verdict]++
	for _, f := range r.Flags {
		if f.Severity == "stop" && f.Decision == nil {
			p.stops[f.Rule]++
		}
	}
	line := fmt.Sprintf("%-6s  %s", r.Verdict, summaryLine(it, r))
	if p.bar == nil {
		fmt.Fprintln(p.w, line)
		for _, stop := range stopLines(r) {
			fmt.Fprintln(p.w, stop)
		}
		return
	}
	// No screen has more rows than are kept here; a batch may have any number.
	switch {
	case r.Verdict == report.Failed && len(p.failed) < p.screen.height:
		p.failed = append(p.failed, line)
	case r.Verdict == report.Review && len(p.review) < p.screen.height:
		p.review = append(p.review, line)
	}
	p.bar.Describe("checking, " + timeLeft(time.Since(p.begin), p.total(), p.all))
	_ = p.bar.Add(1) // drawing the bar may fail; the check must not
}

// timeLeft says how long the rest takes when it goes on like the part done.
func timeLeft(took time.Duration, done, all int) string {
	if done == 0 {
		return "time left not known yet"
	}
	left := time.Duration(float64(took) / float64(done) * float64(all-done))
	return left.Round(time.Second).String() + " left"
}

// summaryLine says in one line what became of a template.
func summaryLine(it pipeline.Item, r *report.Result) string {
	if r.Verdict == report.Failed {
		return watch.Printable(r.Error)
	}
	n := report.Counts(r)
	s := fmt.Sprintf("%s: %s", watch.Printable(it.File), count(len(r.Pieces), "piece"))
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

// stopsTold is how many undecided stops of a template are told one by one; its report
// has the others.
const stopsTold = 8

// stopLines says of every undecided stop, indented, which rule it is of and the first
// sentence of its message.
func stopLines(r *report.Result) []string {
	const indent = "        "
	var lines []string
	more := 0
	for i := range r.Flags {
		f := &r.Flags[i]
		switch {
		case f.Severity != string(rules.Stop) || f.Decision != nil:
		case len(lines) == stopsTold:
			more++
		default:
			lines = append(lines, indent+f.Rule+": "+watch.Printable(firstSentence(f.Message)))
		}
	}
	if more > 0 {
		lines = append(lines, fmt.Sprintf("%sand %s more", indent, count(more, "stop")))
	}
	return lines
}

// firstSentence returns a text up to the first full stop that a new sentence follows. A
// stop inside a bracket, or behind one letter, ends none.
func firstSentence(text string) string {
	depth, last := 0, rune(' ')
	word := 0
	for i, r := range text {
		switch {
		case r == '(':
			depth++
		case r == ')':
			depth--
		case r == ' ' && last == '.' && depth <= 0 && word > 1:
			return text[:i]
		}
		switch {
		case r == ' ':
			word = 0
		case r != '.':
			word++
		}
		last = r
	}
	return text
}

func count(n int, what string) string {
	if n == 1 || what == "not checked" {
		return fmt.Sprintf("%d %s", n, what)
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// close prints the closing summary. Behind a bar it names the templates that
// want somebody, as many as fit the screen with the rest; their reports say all.
func (p *progress) close(out string) {
	closing := []string{fmt.Sprintf("%d ready, %d to review, %d failed in %s",
		p.counts[report.Ready], p.counts[report.Review], p.counts[report.Failed], shortTime(time.Since(p.begin)))}
	if len(p.stops) > 0 {
		closing = append(closing, "stop flags: "+p.stopList())
	}
	if out != "" && p.total() > 0 && fileExists(out) {
		if abs, err := filepath.Abs(out); err == nil {
			out = abs
		}
		closing = append(closing, "reports are in "+out)
	}
	if p.bar != nil {
		_ = p.bar.Finish()          // the bar is cleared; what follows must be printed all the same
		room := p.screen.height - 1 // the prompt
		for _, line := range closing {
			room -= p.screen.rows(line)
		}
		failed := p.fitting(p.failed, p.counts[report.Failed], room/2)
		for _, line := range failed {
			room -= p.screen.rows(line)
		}
		closing = slices.Concat(failed, p.fitting(p.review, p.counts[report.Review], room), closing)
	}
	for _, line := range closing {
		fmt.Fprintln(p.w, line)
	}
}

// fitting are the lines that fit into so many rows, and how many more there are
// of all.
func (p *progress) fitting(lines []string, all, room int) []string {
	used := 0
	for i, line := range lines {
		rows := p.screen.rows(line)
		if more := min(1, all-1-i); used+rows+more > room {
			return append(slices.Clone(lines[:i]), fmt.Sprintf("        and %d more", all-i))
		}
		used += rows
	}
	return lines
}

// stopsNamed is how many rules the closing summary names.
const stopsNamed = 5

// stopList names the rules that stop most, with the number of their flags.
func (p *progress) stopList() string {
	rules := slices.SortedFunc(maps.Keys(p.stops), func(a, b string) int {
		return cmp.Or(p.stops[b]-p.stops[a], cmp.Compare(a, b))
	})
	var list []string
	others := 0
	for i, rule := range rules {
		if i < stopsNamed {
			list = append(list, fmt.Sprintf("%s %d", rule, p.stops[rule]))
		} else {
			others += p.stops[rule]
		}
	}
	if others > 0 {
		list = append(list, fmt.Sprintf("others %d", others))
	}
	return strings.Join(list, ", ")
}

// shortTime is a duration as exact as anybody wants it.
func shortTime(d time.Duration) string {
	if d < 10*time.Second {
		return d.Round(10 * time.Millisecond).String()
	}
	return d.Round(time.Second).String()
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
