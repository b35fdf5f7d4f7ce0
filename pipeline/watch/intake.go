package watch

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// maxDepth bounds how deep folders in drop/ are followed.
const maxDepth = 32

// candidate is a template in drop/ as it was last seen.
type candidate struct {
	name  string // below drop/
	size  int64
	mod   time.Time
	since time.Time // when it was first seen like this
	ends  ending
	// first is when it was first seen, or last grew past what it was before, and most
	// the size then: from there a file that never stands still is counted.
	first time.Time
	most  int64
	// notBefore holds back a candidate whose claim did not come about.
	notBefore time.Time
	tries     int
	busy      bool   // a worker has it
	key       string // of its job, once it was offered
	queued    bool   // found ready, waits for a worker
	blocked   bool   // its job is in work here: the end of that wakes the loop
	told      bool   // said once that it waits
	why       string // why it cannot be taken; "" while nothing is known against it
	restless  bool   // never stood still for as long as that is waited for: taken as it is
}

// ending is what is known about a candidate's last bytes.
type ending int

const (
	endUnknown ending = iota
	endProper
	endMissing
	endForeign // it is no DXF, as its first bytes show: nothing is waited for
)

// intake watches drop/ through repeated scans. It is used by one goroutine.
type intake struct {
	settle, patience time.Duration
	mostBytes        int64 // larger files are not looked into
	candidates       map[string]*candidate
	others           map[string]string // name: why it is left alone; each listed once
	notes            map[string]bool   // notes that stood beside files at the last scan
	refused          map[string]string // folders and files that cannot be looked at, and why
	waiting          int               // temporary names at the last scan
	tell             func(name, why string)
}

func newIntake(tell func(name, why string)) *intake {
	set := Default()
	return &intake{settle: set.Settle, patience: set.Patience, mostBytes: set.MostBytes, candidates: map[string]*candidate{}, others: map[string]string{}, refused: map[string]string{}, tell: tell}
}

// scan looks through drop/ and brings the candidates up to date. What it cannot
// read (a folder removed meanwhile, a denied permission) it reports and passes over; the
// error is that of drop/ itself.
func (in *intake) scan(f *folder, now time.Time) error {
	seen := map[string]bool{}
	in.waiting, in.notes = 0, map[string]bool{}
	if err := in.scanFolder(f, "", 0, now, seen); err != nil {
		return err
	}
	for name, c := range in.candidates {
		if !seen[name] && !c.busy {
			delete(in.candidates, name)
		}
	}
	for _, listed := range []map[string]string{in.others, in.refused} {
		for name := range listed {
			if !seen[name] {
				delete(listed, name)
			}
		}
	}
	return nil
}

func (in *intake) scanFolder(f *folder, below string, depth int, now time.Time, seen map[string]bool) error {
	entries, err := f.readDir(path.Join(dropDir, below))
	if err != nil {
		return err
	}
	for _, e := range entries {
		name := path.Join(below, e.Name())
		kind := kindOfName(e.Name())
		switch {
		case isLitter(e.Name()):
		case strings.HasSuffix(name, besideMark):
			in.notes[name] = true
		case kind == nameTemporary && lastsTooLong(e, now):
			in.leave(name, "a hidden or temporary name that has not changed for hours: no copy in progress any more; give it a name that ends in .dxf, or remove it", seen)
		case kind == nameTemporary:
			in.waiting++
		case e.IsDir() && depth >= maxDepth:
			in.leave(name, fmt.Sprintf("more than %d folders inside each other; move it up", maxDepth), seen)
		case e.IsDir():
			if err := in.scanFolder(f, name, depth+1, now, seen); err != nil && !errors.Is(err, fs.ErrNotExist) {
				in.refuse(name, err, seen)
				in.keepBelow(name, seen)
			}
		case e.Type()&fs.ModeSymlink != 0:
			in.leave(name, "a link: not followed; put the file itself here", seen)
		case !e.Type().IsRegular():
			in.leave(name, "not a file", seen)
		case kind == nameOther:
			in.leave(name, notDXF(name), seen)
		default:
			in.see(f, name, now, seen)
		}
	}
	return nil
}

// copyTime is how long a hidden or temporary name may stand unchanged before it
// is no copy in progress any more.
const copyTime = 2 * time.Hour

// lastsTooLong tells a temporary name that stands unchanged. A clock of the share
// that goes wrong makes it told early or late, no more.
func lastsTooLong(e fs.DirEntry, now time.Time) bool {
	info, err := e.Info()
	return err == nil && now.Sub(info.ModTime()) > copyTime
}

// notDXF says what to do with a file that is not taken.
func notDXF(name string) string {
	if strings.EqualFold(path.Ext(name), ".dwg") {
		return "a DWG, not a .dxf; export the drawing as DXF"
	}
	if wantsNote(name) {
		return "an archive, not a .dxf; unpack it and drop the drawings"
	}
	return "not a .dxf; drop drawings only, and move this elsewhere"
}

// see notes a template's size and time, and starts its clock again when they changed.
func (in *intake) see(f *folder, name string, now time.Time, seen map[string]bool) {
	info, err := f.lstat(path.Join(dropDir, name))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return // taken or removed since the folder was listed
	case err != nil:
		in.refuse(name, err, seen)
		return
	}
	seen[name] = true
	c := in.candidates[name]
	if c == nil {
		c = &candidate{name: name}
		in.candidates[name] = c
	} else if c.size == info.Size() && c.mod.Equal(info.ModTime()) {
		return
	}
	if c.busy {
		return
	}
	first, most := c.first, c.most
	if first.IsZero() || info.Size() > most {
		first, most = now, info.Size()
	}
	*c = candidate{name: name, size: info.Size(), mod: info.ModTime(), since: now, first: first, most: most, told: c.told && c.first.Equal(first)}
}

// again has a template looked at anew that was found ready and could not be taken as it
// was. How long it has not stood still is not forgotten.
func (in *intake) again(c *candidate) {
	in.candidates[c.name] = &candidate{name: c.name, size: -1, first: c.first, most: c.most, told: c.told}
}

// restlessFactor is how many times the patience a file may change without growing.
const restlessFactor = 3

// unsettled deals with a candidate that changes again and again without growing, as
// one whose time somebody sets for ever: it is told, and in the end taken as it is.
func (in *intake) unsettled(c *candidate, now time.Time) {
	if now.Sub(c.first) < in.patience {
		return
	}
	c.why = fmt.Sprintf("its time or content changes again and again; waited for, at most %s in all, then filed as it is; let the program that writes it finish", restlessFactor*in.patience)
	if !c.told {
		c.told = true
		in.tell(c.name, c.why)
	}
	c.restless = now.Sub(c.first) >= restlessFactor*in.patience
}

// keepBelow keeps what was known below a folder that could not be read now.
func (in *intake) keepBelow(name string, seen map[string]bool) {
	below := name + "/"
	for known := range in.candidates {
		if strings.HasPrefix(known, below) {
			seen[known] = true
		}
	}
	for _, listed := range []map[string]string{in.others, in.refused} {
		for known := range listed {
			if strings.HasPrefix(known, below) {
				seen[known] = true
			}
		}
	}
}

func (in *intake) leave(name, why string, seen map[string]bool) {
	seen[name] = true
	if in.others[name] != why {
		in.others[name] = why
		in.tell(name, why)
	}
}

// refuse takes note that a folder or file cannot be looked at.
func (in *intake) refuse(name string, err error, seen map[string]bool) {
	seen[name] = true
	if why := notTaken(name, err); in.refused[name] != why {
		in.refused[name] = why
		in.tell(name, "cannot be looked at, tried again: "+err.Error())
	}
}

// notTaken lists what stands in drop/ and cannot be taken, and why.
func (in *intake) notTaken() map[string]string {
	list := map[string]string{}
	for name, why := range in.refused {
		list[name] = why
	}
	for name, c := range in.candidates {
		if c.why != "" {
			list[name] = c.why
		}
	}
	return list
}

// ready gives the candidates that can be claimed now, those that have stood
// still longest first. Reading a file's end is what decides last.
func (in *intake) ready(f *folder, now time.Time) []*candidate {
	var list []*candidate
	for _, c := range in.candidates {
		c.blocked, c.queued = false, false
		if c.busy || now.Before(c.notBefore) {
			continue
		}
		if still := now.Sub(c.since) >= in.settle; !still {
			if in.unsettled(c, now); c.restless {
				c.queued = true
				list = append(list, c)
			}
			continue
		}
		if c.size > in.mostBytes {
			c.ends = endForeign // as it is: it is filed for its size, whatever its end
		}
		if c.ends == endUnknown {
			c.ends = in.ending(f, c, now)
		}
		if c.ends == endProper || c.ends == endForeign || c.ends == endMissing && now.Sub(c.since) >= in.patience {
			c.queued = true
			list = append(list, c)
		} else if c.ends == endMissing && !c.told {
			c.told = true
			in.tell(c.name, fmt.Sprintf("does not end as a DXF ends: its rest is waited for, at most %s", in.patience))
		}
	}
	slices.SortFunc(list, func(a, b *candidate) int {
		return cmp.Or(a.since.Compare(b.since), cmp.Compare(a.name, b.name))
	})
	return list
}

// ending reads a candidate's end. While the file cannot be opened, for instance
// because its writer holds it, nothing is known and it is tried again later.
func (in *intake) ending(f *folder, c *candidate, now time.Time) ending {
	retry := func() ending {
		c.tries++
		c.notBefore = now.Add(pause(c.tries))
		return endUnknown
	}
	file, err := f.openAlone(path.Join(dropDir, c.name))
	if errors.Is(err, fs.ErrNotExist) {
		return endUnknown
	}
	if err != nil {
		c.why = notTaken(c.name, err)
		if !c.told {
			c.told = true
			in.tell(c.name, "cannot be opened, tried again: "+err.Error())
		}
		return retry()
	}
	defer file.Close()
	c.why = ""
	info, err := file.Stat()
	if err != nil {
		return retry()
	}
	if info.Size() != c.size {
		return endUnknown // written since the last look, or not measured yet: the next one does
	}
	ok, err := endsAsDXF(file, c.size)
	switch {
	case err != nil:
		return retry()
	case ok:
		c.tries, c.notBefore = 0, time.Time{}
		return endProper
	}
	why, sure, err := foreign(file, c.size, c.name)
	if err != nil {
		return retry()
	}
	c.tries, c.notBefore = 0, time.Time{}
	if why != nil && sure {
		return endForeign
	}
	return endMissing
}

// next is when something in drop/ can become ready without any change: the
// earliest end of a settle time, a patience or a pause; false when nothing waits.
func (in *intake) next() (time.Time, bool) {
	var first time.Time
	for _, c := range in.candidates {
		if c.busy || c.blocked || c.queued {
			continue
		}
		at := c.since.Add(in.settle)
		if c.ends == endMissing {
			at = c.since.Add(in.patience)
		}
		if at.Before(c.notBefore) {
			at = c.notBefore
		}
		if first.IsZero() || at.Before(first) {
			first = at
		}
	}
	return first, !first.IsZero()
}

// pause is how long to wait before the given attempt, counted from 1: doubling
// from a quarter second to half a minute.
func pause(attempt int) time.Duration {
	const first, most = 250 * time.Millisecond, 30 * time.Second
	if attempt > 7 {
		return most
	}
	return min(first<<max(attempt-1, 0), most)
}
