package watch

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"
)

// namedAtMost bounds how many names a status for people gives of a kind; all of
// them are in the JSON document.
const namedAtMost = 10

// clockText is a time as people at two machines can compare it: with its
// distance from Greenwich, which a zone's letters do not tell everybody.
const clockText = "2006-01-02 15:04:05 -07:00"

// Write prints the status for people: what is, then what wants somebody.
func (st Status) Write(w io.Writer) error {
	var b strings.Builder
	line := func(what, format string, a ...any) {
		fmt.Fprintf(&b, "%-9s %s\n", what, Printable(fmt.Sprintf(format, a...)))
	}
	line("shop", "%s", st.Shop)
	line("time", "%s", st.At.Local().Format(clockText))
	switch {
	case st.Unseen != "":
		line("server", "%s", st.Unseen)
	case len(st.Servers) == 0:
		line("server", "none is running; `trueup watch` or the service of this system serves the shop")
	}
	for _, s := range st.Servers {
		for i, text := range s.lines(st.At) {
			line([]string{"server", ""}[min(i, 1)], "%s", text)
		}
	}
	if st.Register != "" {
		line("register", "%s", st.Register)
	}
	if st.Disk != "" {
		line("disk", "%s", st.Disk)
	}
	line("waiting", "%s, %s in progress", plural(len(st.Waiting), "template"), plural(st.Copying, "copy"))
	line("in work", "%s", inWork(st.Working))
	line("today", "%s", st.Today)
	line("standing", "%s", st.Standing)
	for _, part := range st.lists() {
		if len(part.items) == 0 {
			continue
		}
		fmt.Fprintf(&b, "\n%s:\n", part.title)
		for _, item := range part.items[:min(namedAtMost, len(part.items))] {
			fmt.Fprintf(&b, "  %s\n", item)
		}
		if more := len(part.items) - namedAtMost; more > 0 {
			fmt.Fprintf(&b, "  and %d more\n", more)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// statusList is what wants somebody for one reason, a line each.
type statusList struct {
	title string
	items []string
}

// lists are what wants somebody, in the order in which it is told.
func (st Status) lists() []statusList {
	var unended, refused, left, byHand, held, missing, again, twins, failed []string
	for _, a := range st.Again {
		again = append(again, Printable(fmt.Sprintf("%s, revision %d, %s: the same content, and nothing has changed since; nothing new was made", a.Job, a.Revision, a.At.Local().Format(clockText))))
	}
	for _, t := range st.Twins {
		twins = append(twins, Printable(fmt.Sprintf("%s, revision %d: the same drawing as %s", t.Job, t.Revision, t.As)))
	}
	for _, m := range st.Moved {
		byHand = append(byHand, Printable(m.Folder+": "+m.Why))
	}
	for _, name := range st.Unended {
		unended = append(unended, Printable(name)+": does not end as a DXF ends; its rest is waited for, after that it is filed as failed")
	}
	for _, name := range slices.Sorted(maps.Keys(st.Left)) {
		left = append(left, Printable(name+": "+st.Left[name]))
	}
	for _, name := range slices.Sorted(maps.Keys(st.NotTaken)) {
		refused = append(refused, Printable(name+": "+st.NotTaken[name]))
	}
	for _, dir := range slices.Sorted(maps.Keys(st.Held)) {
		held = append(held, Printable(dir+": "+st.Held[dir]))
	}
	for _, m := range st.Missing {
		missing = append(missing, Printable(fmt.Sprintf("%s, revision %d: %s", m.Job, m.Revision, strings.Join(m.What, "; "))))
	}
	for _, f := range st.Failures {
		failed = append(failed, fmt.Sprintf("%s, revision %d, %s\n    %s", Printable(f.Job), f.Revision, f.At.Local().Format(clockText), Printable(f.Reason)))
	}
	return []statusList{
		{"Waiting in drop/ for their end", unended}, {"Cannot be taken from drop/", refused}, {"Left alone in drop/", left},
		{"Moved by hand", byHand}, {"Decisions that wait", held}, {"Decisions that lack something", missing},
		{"The same drawing under another name", twins}, {"Dropped again today", again}, {"Failed last", failed},
	}
}

// lines say how a server does, at a time by this machine's clock.
func (s ServerStatus) lines(at time.Time) []string {
	list := []string{s.place()}
	switch silent := s.silence(at); {
	case s.Dead:
		list = append(list, "ended without goodbye; its work is taken over by the next server")
	case silent != "":
		list = append(list, silent)
	default:
		list = append(list, fmt.Sprintf("alive since %s, last sign of life %s ago", s.Started.Local().Format(clockText), max(at.Sub(s.At), 0).Round(time.Second)))
	}
	if s.StandsBack != "" {
		list = append(list, s.StandsBack)
	}
	list = append(list, s.Stuck...)
	for _, job := range s.Overdue {
		list = append(list, "in work for too long: "+job)
	}
	if s.Version != "" {
		list = append(list, s.Version)
	}
	if s.Trouble != "" {
		list = append(list, "trouble: "+s.Trouble)
	}
	if s.Settings != "" {
		list = append(list, "settings not in force, those before still are: "+s.Settings)
	}
	return list
}

// place is a server as people find it.
func (s ServerStatus) place() string {
	if o, ok := parseOwner(s.Server); ok {
		return fmt.Sprintf("%s, process %d", o.machine, o.pid)
	}
	return s.Server
}

func inWork(jobs []string) string {
	if len(jobs) == 0 {
		return "none"
	}
	const shown = 5
	text := fmt.Sprintf("%d: %s", len(jobs), strings.Join(jobs[:min(shown, len(jobs))], ", "))
	if len(jobs) > shown {
		text += " ..."
	}
	return text
}

// String says what became of templates, in the words of the folders.
func (t Tally) String() string {
	text := fmt.Sprintf("%d ready, %d in review, %d failed, %d returned; %d dropped again", t.Ready, t.Review, t.Failed, t.Returned, t.Duplicates)
	if t.Superseded > 0 {
		text += fmt.Sprintf("; %d more in review are superseded", t.Superseded)
	}
	return text
}

// plural counts things: 1 copy, 2 copies.
func plural(n int, what string) string {
	switch {
	case n == 1:
		return "1 " + what
	case strings.HasSuffix(what, "y"):
		return fmt.Sprintf("%d %sies", n, strings.TrimSuffix(what, "y"))
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Printable is a text of one line, such as a file's name, without what steers a
// terminal: control characters become question marks.
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 {
			return '?'
		}
		return r
	}, s)
}
