package watch

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"
	"time"
)

// Status is how a shop does, read from its folders.
type Status struct {
	Shop     string            `json:"shop"`
	At       time.Time         `json:"at"`
	Servers  []ServerStatus    `json:"servers"`
	Waiting  []string          `json:"waiting"`  // templates in drop/
	Working  []string          `json:"working"`  // jobs in work
	Left     map[string]string `json:"left"`     // left alone in drop/, and why
	Copying  int               `json:"copying"`  // temporary names in drop/
	Today    Tally             `json:"today"`    // by the local day
	Standing Tally             `json:"standing"` // revisions in each folder
	Failures []Failure         `json:"failures"` // the last ones, newest first
}

// ServerStatus is one server's heartbeat.
type ServerStatus struct {
	Heartbeat
	Dead bool `json:"dead"` // its process on this machine has ended
}

// Failure is a template that could not be worked on.
type Failure struct {
	Job      string    `json:"job"`
	Revision int       `json:"revision"`
	At       time.Time `json:"at"`
	Reason   string    `json:"reason"`
}

// failuresShown is how many of the last failures a status names.
const failuresShown = 10

// ReadStatus looks at a shop's folders without changing anything. It serves
// beside running services and without any.
func ReadStatus(shop string) (Status, error) {
	abs, err := filepath.Abs(shop)
	if err != nil {
		return Status{}, fmt.Errorf("shop folder %s: %w", shop, err)
	}
	f, err := openFolder(abs, "", nil)
	if err != nil {
		return Status{}, err
	}
	defer f.close()
	st := Status{Shop: abs, At: time.Now()}
	in := newIntake(func(string, string) {})
	if err := in.scan(f, st.At); err != nil {
		return Status{}, err
	}
	st.Left, st.Copying = in.others, in.waiting
	for name := range in.candidates {
		st.Waiting = append(st.Waiting, name)
	}
	slices.Sort(st.Waiting)
	if err := st.readWork(f); err != nil {
		return Status{}, err
	}
	list, err := new(shelf).walk(f)
	if err != nil {
		return Status{}, err
	}
	st.count(list)
	return st, nil
}

func (st *Status) readWork(f *folder) error {
	servers, err := f.readDir(serversDir)
	if err != nil {
		return err
	}
	for _, e := range servers {
		data, err := f.readFile(path.Join(serversDir, e.Name()))
		var h Heartbeat
		if err != nil || json.Unmarshal(data, &h) != nil {
			continue // removed meanwhile, or none
		}
		o, ok := parseOwner(h.Server)
		st.Servers = append(st.Servers, ServerStatus{h, ok && o.dead()})
	}
	claims, err := f.readDir(claimsDir)
	if err != nil {
		return err
	}
	for _, key := range claims {
		dirs, err := f.readDir(path.Join(claimsDir, key.Name()))
		if err != nil {
			return err
		}
		for _, d := range dirs {
			if c, err := readCard(f, path.Join(claimsDir, key.Name(), d.Name())); err == nil {
				st.Working = append(st.Working, c.Job)
			}
		}
	}
	slices.Sort(st.Working)
	return nil
}

func (st *Status) count(list []filed) {
	y, m, d := st.At.Local().Date()
	day := time.Date(y, m, d, 0, 0, 0, 0, time.Local)
	for _, r := range list {
		st.Standing.add(r.state)
		at := r.card.Published
		if r.card.Decided != nil {
			at = r.card.Decided.At
		}
		if !at.Before(day) {
			st.Today.add(r.state)
		}
		for _, a := range r.card.Again {
			st.Standing.Duplicates++
			if !a.At.Before(day) {
				st.Today.Duplicates++
			}
		}
		if r.state == failedDir {
			st.Failures = append(st.Failures, Failure{r.job, r.number, r.card.Published, r.card.Error})
		}
	}
	slices.SortStableFunc(st.Failures, func(a, b Failure) int { return b.At.Compare(a.At) })
	st.Failures = st.Failures[:min(len(st.Failures), failuresShown)]
}

func (t *Tally) add(state string) {
	switch state {
	case readyDir:
		t.Ready++
	case reviewDir:
		t.Review++
	case returnedDir:
		t.Returned++
	case failedDir:
		t.Failed++
	}
}

// Alive tells whether some server gave a sign of life within the given time, by
// the clocks of the two machines.
func (st Status) Alive(within time.Duration) bool {
	return slices.ContainsFunc(st.Servers, func(s ServerStatus) bool { return !s.Dead && st.At.Sub(s.At) <= within })
}

// Write prints the status for people.
func (st Status) Write(w io.Writer) error {
	var errs error
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	line := func(format string, a ...any) {
		_, err := fmt.Fprintf(tw, format+"\n", a...)
		errs = errors.Join(errs, err)
	}
	line("shop\t%s", st.Shop)
	if len(st.Servers) == 0 {
		line("server\tnone is running")
	}
	for _, s := range st.Servers {
		state := fmt.Sprintf("alive since %s, last sign of life %s ago", s.Started.Local().Format(time.DateTime), st.At.Sub(s.At).Round(time.Second))
		if s.Dead {
			state = "ended without goodbye; its work is taken over by the next server"
		}
		line("server\t%s\t%s %s", s.Server, state, s.Version)
		if s.Trouble != "" {
			line("\ttrouble\t%s", s.Trouble)
		}
		if s.Settings != "" {
			line("\tsettings\tnot in force: %s", s.Settings)
		}
	}
	line("waiting\t%d templates, %d copies in progress", len(st.Waiting), st.Copying)
	line("in work\t%d\t%s", len(st.Working), strings.Join(st.Working[:min(5, len(st.Working))], ", "))
	for _, row := range []struct {
		name string
		t    Tally
	}{{"today", st.Today}, {"standing", st.Standing}} {
		line("%s\tready %d, review %d, failed %d, returned %d, dropped again %d", row.name, row.t.Ready, row.t.Review, row.t.Failed, row.t.Returned, row.t.Duplicates)
	}
	for _, name := range slices.Sorted(maps.Keys(st.Left)) {
		line("left\t%s\t%s", name, st.Left[name])
	}
	for _, f := range st.Failures {
		line("failed\t%s, revision %d\t%s  %s", f.Job, f.Revision, f.At.Local().Format(time.DateTime), f.Reason)
	}
	return errors.Join(errs, tw.Flush())
}
