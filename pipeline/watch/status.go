package watch

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"time"
)

// Status is how a shop does, read from its folders.
type Status struct {
	Shop     string            `json:"shop"`
	At       time.Time         `json:"at"`
	Servers  []ServerStatus    `json:"servers"`
	Waiting  []string          `json:"waiting"`            // templates in drop/
	Unended  []string          `json:"unended"`            // those of them that do not end as a DXF ends: waited for
	Working  []string          `json:"working"`            // jobs in work
	Left     map[string]string `json:"left"`               // left alone in drop/, and why
	NotTaken map[string]string `json:"not_taken"`          // what cannot be taken from drop/, and why
	Held     map[string]string `json:"held"`               // folders in review/ whose decisions wait, and why
	Unseen   string            `json:"unseen,omitempty"`   // why the servers and their work cannot be seen; "" when they can
	Register string            `json:"register,omitempty"` // how register.xlsx is not what was written last; "" when it is
	Disk     string            `json:"disk"`               // what is wrong with the room on the disk; "" nothing
	Copying  int               `json:"copying"`            // temporary names in drop/
	Today    Tally             `json:"today"`              // by the local day
	Standing Tally             `json:"standing"`           // revisions in each folder
	Moved    []Moved           `json:"moved"`              // not where the service put them: undecided, see Moved
	Missing  []Missing         `json:"missing"`            // decisions begun in review/ that lack something
	Failures []Failure         `json:"failures"`           // the last ones, newest first
	Again    []Again           `json:"again"`              // dropped again today with the same content, newest first
	Twins    []Twin            `json:"twins"`              // the same drawing in ready/ or review/ under two names
}

// ServerStatus is one server's heartbeat.
type ServerStatus struct {
	Heartbeat
	Dead bool `json:"dead"` // its process on this machine has ended
}

// Missing is a job in review whose decisions the office has begun and not ended.
type Missing struct {
	Job      string   `json:"job"`
	Revision int      `json:"revision"`
	What     []string `json:"what"`
}

// Failure is a template that could not be worked on.
type Failure struct {
	Job      string    `json:"job"`
	Revision int       `json:"revision"`
	At       time.Time `json:"at"`
	Reason   string    `json:"reason"`
}

// Again is a template that was dropped once more.
type Again struct {
	Job      string    `json:"job"`
	Revision int       `json:"revision"`
	At       time.Time `json:"at"`
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
	st := Status{Shop: abs, At: time.Now(), // lists without anything are empty lists to programs too
		Servers: []ServerStatus{}, Waiting: []string{}, Unended: []string{}, Working: []string{}, Moved: []Moved{}, Missing: []Missing{}, Failures: []Failure{}, Again: []Again{}, Twins: []Twin{}}
	in := newIntake(func(string, string) {})
	if err := in.scan(f, st.At); err != nil {
		return Status{}, err
	}
	st.Left, st.Copying, st.NotTaken, st.Held = in.others, in.waiting, in.refused, map[string]string{}
	st.Disk = diskTrouble(abs)
	for name := range in.candidates {
		st.Waiting = append(st.Waiting, name)
	}
	slices.Sort(st.Waiting)
	for _, name := range st.Waiting {
		if ended, err := hasEnd(f, path.Join(dropDir, name)); err == nil && !ended {
			st.Unended = append(st.Unended, name) // one that cannot be opened is being written, or has gone
		}
	}
	if err := st.readWork(f); err != nil {
		return Status{}, err
	}
	for _, s := range st.Servers {
		if !s.Dead {
			maps.Copy(st.NotTaken, s.NotTaken) // its own rights count, not those of whoever asks
			maps.Copy(st.Held, s.Held)
		}
	}
	if was, known := readRegistered(f); known {
		if st.Register, err = was.wrong(f); err != nil {
			st.Register = err.Error()
		}
	}
	list, err := walkOnce(f)
	if err != nil {
		return Status{}, err
	}
	st.count(list)
	newer, twins := newestOf(list), sameDrawings(list)
	for _, r := range list {
		if r.moved != "" {
			st.Moved = append(st.Moved, Moved{r.dir(), r.moved})
			continue
		}
		if _, ok := newer.usableAfter(r); ok {
			delete(st.Held, r.dir())
			continue // nobody waits for its decisions any more
		}
		if as, ok := twins[r.dir()]; ok && (r.state == readyDir || r.state == reviewDir) {
			st.Twins = append(st.Twins, Twin{r.job, r.number, as})
		}
		if r.missing != nil {
			st.Missing = append(st.Missing, Missing{r.job, r.number, r.missing})
		}
	}
	return st, nil
}

// Alarms say what keeps the shop from being served, for a monitor; none when a
// server is alive, every one that has not ended gets on and gives signs of life, and
// the settings file is in force.
func (st Status) Alarms() []string {
	var list []string
	alive := false
	for _, s := range st.Servers {
		if s.Dead {
			continue
		}
		if silent := s.silence(st.At); silent != "" {
			list = append(list, fmt.Sprintf("server %s: %s", s.place(), silent))
			continue
		}
		alive = true
		if s.Trouble != "" {
			list = append(list, s.Trouble)
		}
		if s.StandsBack != "" {
			list = append(list, s.place()+" "+s.StandsBack)
		}
		list = append(list, s.Stuck...)
		for _, job := range s.Overdue {
			list = append(list, fmt.Sprintf("%s: in work for longer than %s, which is the job time and the patience together; see the service's log", job, seconds(s.WorkSeconds)))
		}
		if s.Settings != "" {
			list = append(list, "settings not in force: "+s.Settings)
		}
	}
	switch {
	case st.Unseen != "":
		list = append(list, st.Unseen)
	case !alive:
		list = append(list, "no server is alive")
	}
	if st.Register != "" {
		list = append(list, st.Register)
	}
	for _, m := range st.Moved[:min(len(st.Moved), namedAtMost)] {
		list = append(list, m.Folder+" is "+movedByHand+": "+m.Why)
	}
	if more := len(st.Moved) - namedAtMost; more > 0 {
		list = append(list, fmt.Sprintf("%d more folders are %s", more, movedByHand))
	}
	if st.Disk != "" {
		list = append(list, "the disk is "+st.Disk)
	}
	return list
}

// silence says that a server gives no sign of life, on this machine or another; "" when
// it does. One whose clock is ahead by more could hang unseen, and is told too.
func (s ServerStatus) silence(at time.Time) string {
	limit := Default().Stale
	if s.StaleSeconds > 0 {
		limit = seconds(s.StaleSeconds)
	}
	switch age := at.Sub(s.At).Round(time.Second); {
	case age > limit:
		return fmt.Sprintf("no sign of life for %s; look whether its machine is up and can write the folder", age)
	case -age > limit:
		return fmt.Sprintf("its sign of life is dated %s ahead of this machine's clock; set the clocks right, or nobody can tell whether it lives", -age)
	}
	return ""
}

// seconds is a number of seconds as a heartbeat tells it.
func seconds(n float64) time.Duration { return time.Duration(n * float64(time.Second)) }

// hasEnd tells whether a file ends as a DXF ends.
func hasEnd(f *folder, name string) (bool, error) {
	file, err := f.open(name)
	if err != nil {
		return false, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return false, err
	}
	return endsAsDXF(file, info.Size())
}

// signLooks is how often a sign of life is looked at again. Its server replaces it every
// few seconds, and a file that is replaced between the look and the opening is refused
// as an exchanged one; two such chances one after the other do not happen by themselves.
const signLooks = 3

// readSign reads a server's sign of life.
func readSign(f *folder, name string) (data []byte, err error) {
	for range signLooks {
		if data, err = f.readFile(path.Join(serversDir, name)); err == nil {
			return data, nil
		}
	}
	return nil, err
}

func (st *Status) readWork(f *folder) error {
	servers, err := f.readDir(serversDir)
	if errors.Is(err, fs.ErrPermission) {
		st.Unseen = workDir + " is the service's own, and this user may not look into it: run this as the user of the service to see whether a server is alive"
		return nil
	}
	if err != nil {
		return err
	}
	for _, e := range servers {
		data, err := readSign(f, e.Name())
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
	newer := newestOf(list)
	for _, r := range list {
		if r.moved != "" {
			st.Standing.Review++ // undecided, wherever it stands
			continue
		}
		st.Standing.add(r.state)
		if _, ok := newer.usableAfter(r); ok && r.state == reviewDir {
			st.Standing.Review--
			st.Standing.Superseded++
		}
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
				st.Again = append(st.Again, Again{r.job, r.number, a.At})
			}
		}
		if r.state == failedDir {
			st.Failures = append(st.Failures, Failure{r.job, r.number, r.card.Published, r.card.Error})
		}
	}
	slices.SortStableFunc(st.Again, func(a, b Again) int { return b.At.Compare(a.At) })
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
