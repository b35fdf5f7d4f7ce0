package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/schollz/progressbar/v3"

	"trueup/pipeline"
	"trueup/report"
)

// Whatever a batch brings, its closing summary behind a bar fits the screen with
// the prompt below it, and each kind that wants somebody is named or counted.
func TestClosingSummaryFitsTheScreen(t *testing.T) {
	for _, size := range []screen{{80, 24}, {80, 10}, {40, 24}, {200, 60}} {
		for _, tc := range []struct{ failed, review int }{{0, 0}, {1, 0}, {0, 1}, {2, 300}, {300, 2}, {300, 300}, {6, 9}} {
			var said bytes.Buffer
			p := newProgress(&said, tc.failed+tc.review)
			p.screen, p.bar = size, progressbar.NewOptions(1, progressbar.OptionSetWriter(&bytes.Buffer{}))
			for i := range tc.failed + tc.review {
				it := pipeline.Item{File: fmt.Sprintf("site visits/job %d.dxf", i)}
				r := &report.Result{Verdict: report.Review, Flags: []report.Flag{{Rule: "inside-radius", Severity: "stop"}}}
				if i < tc.failed {
					r = &report.Result{Verdict: report.Failed, Error: it.File + ", line 135: the file ends between a group code and its value; export it again"}
				}
				p.done(it, r)
			}
			p.close("")
			rows, named, more := 1, 0, 0 // the prompt
			for line := range strings.Lines(said.String()) {
				rows += size.rows(strings.TrimSuffix(line, "\n"))
				if strings.Contains(line, ".dxf") {
					named++
				}
				n := 0
				if _, err := fmt.Sscanf(strings.TrimSpace(line), "and %d more", &n); err == nil {
					more += n
				}
			}
			if rows > size.height {
				t.Errorf("%v on %v: %d rows\n%s", tc, size, rows, said.String())
			}
			if named+more != tc.failed+tc.review {
				t.Errorf("%v on %v: %d named and %d more\n%s", tc, size, named, more, said.String())
			}
		}
	}
}

func TestStopList(t *testing.T) {
	p := &progress{stops: map[string]int{"a": 1, "b": 7, "c": 7, "d": 2, "e": 3, "f": 1, "g": 1}}
	if got, want := p.stopList(), "b 7, c 7, e 3, d 2, a 1, others 2"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestTimeLeft(t *testing.T) {
	for _, tc := range []struct {
		took      time.Duration
		done, all int
		want      string
	}{{time.Second, 0, 10, "time left not known yet"}, {10 * time.Second, 5, 10, "10s left"}, {time.Minute, 60, 60, "0s left"}, {90 * time.Second, 1, 3, "3m0s left"}} {
		if got := timeLeft(tc.took, tc.done, tc.all); got != tc.want {
			t.Errorf("%d of %d in %s: %q, want %q", tc.done, tc.all, tc.took, got, tc.want)
		}
	}
}

// A reviewer at a terminal reads what every undecided stop says, and nothing of what
// was decided or only warns.
func TestStopLines(t *testing.T) {
	stop := func(message string) report.Flag {
		return report.Flag{Rule: "inside-radius", Severity: "stop", Message: message}
	}
	accepted := stop("Decided.")
	accepted.Decision = &report.Decision{}
	var said bytes.Buffer
	newProgress(&said, 1).done(pipeline.Item{File: "a.dxf"}, &report.Result{Verdict: report.Review, Flags: []report.Flag{
		stop("The corner at (12.5, 3) has 2.5 mm. A bit of 5 mm leaves more."), accepted, {Rule: "too-heavy", Severity: "warn", Message: "Heavy."}, stop("One line\nand another"),
	}})
	want := "review  a.dxf: 0 pieces, 3 stops, 1 warning\n        inside-radius: The corner at (12.5, 3) has 2.5 mm.\n        inside-radius: One line"
	if got := said.String(); !strings.HasPrefix(got, want) || strings.Count(got, "\n") != 3 {
		t.Errorf("got %q", got)
	}
	many := &report.Result{Flags: make([]report.Flag, 0, 20)}
	for range 11 {
		many.Flags = append(many.Flags, stop("No."))
	}
	if got := stopLines(many); len(got) != stopsTold+1 || got[stopsTold] != "        and 3 stops more" {
		t.Errorf("%q", got)
	}
}
