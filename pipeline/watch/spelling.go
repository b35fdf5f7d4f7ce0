package watch

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"
	"time"
)

// namesKept bounds the spellings that are remembered in memory.
const namesKept = 20_000

// canonicalName gives a job the spelling its folders have already: names that
// differ by case or Unicode form are one job, and folders above them one folder.
// New spellings are recorded before anything is published under them.
func (s *Service) canonicalName(f *folder, job string) (string, error) {
	parent, element := path.Split(job)
	if parent != "" {
		above, err := s.canonicalName(f, path.Clean(parent))
		if err != nil {
			return "", err
		}
		job = path.Join(above, element)
	}
	key := jobKey(job)
	if known, ok := s.names.Load(key); ok {
		return known.(string), nil
	}
	record := path.Join(namesDir, key)
	data, err := f.readFile(record)
	if errors.Is(err, fs.ErrNotExist) {
		data, err = s.recordName(f, record, job)
	}
	if err != nil {
		return "", err
	}
	known := string(data)
	if fold(known) != fold(job) {
		return "", fmt.Errorf("%s: holds another name than its key says; remove the file", record)
	}
	if s.named.Add(1) > namesKept { // a cache: what is forgotten is read again
		s.names.Clear()
		s.named.Store(0)
	}
	s.names.Store(key, known)
	return known, nil
}

// recordName records a spelling unless another server was first, and gives the one that stands.
func (s *Service) recordName(f *folder, record, job string) ([]byte, error) {
	temporary := f.temporary()
	if err := f.writeFile(temporary, []byte(job)); err != nil {
		return nil, err
	}
	err := f.renameNew(temporary, record)
	if err == nil {
		return []byte(job), nil
	}
	f.remove(temporary)
	if errors.Is(err, fs.ErrExist) {
		return f.readFile(record)
	}
	return nil, err
}

// confirmName makes sure, with the job claimed, that the spelling which was
// found before the claim is still the recorded one: meanwhile a server may have
// removed the record of a name that nothing bore, and another may have recorded
// another spelling. Then the error is errHeld, and the job is looked at again.
func (s *Service) confirmName(f *folder, job string) error {
	for name := job; name != "."; name = path.Dir(name) {
		record := path.Join(namesDir, jobKey(name))
		data, err := f.readFile(record)
		if errors.Is(err, fs.ErrNotExist) {
			data, err = s.recordName(f, record, name)
		}
		if err != nil {
			return err
		}
		if string(data) != name {
			s.names.Clear()
			s.named.Store(0)
			return fmt.Errorf("%s is spelled %s meanwhile: %w", name, data, errHeld)
		}
	}
	return nil
}

// Records of spellings are looked through some time after the start, when the
// folders have been served first, and then a few times a day: nobody waits for it.
const (
	pruneFirst = 15 * time.Minute
	pruneEvery = 6 * time.Hour
)

// keepNames removes, until ctx is done, the records of names that no job and no
// folder bears any more, because the shop has put its old jobs away.
func (s *Service) keepNames(ctx context.Context) {
	wait := pruneFirst
	for {
		select {
		case <-time.After(wait):
		case <-ctx.Done():
			return
		}
		wait = pruneEvery
		if err := s.pruneNames(ctx); err != nil {
			s.log.Warn("the names of jobs that are gone cannot be looked through, tried again later", "error", err)
		}
	}
}

// pruneNames removes the records of names that nothing bears. It removes one
// only while it holds the job's claim, and whoever claims a job confirms its
// name after that: a record is never missed while something is published under it.
func (s *Service) pruneNames(ctx context.Context) error {
	f, err := s.open()
	if err != nil {
		return err
	}
	defer f.close()
	records, err := f.readDir(namesDir)
	if err != nil {
		return err
	}
	borne := map[string]bool{}
	for _, state := range states() {
		if err := bearers(f, state, "", 0, borne); err != nil {
			return err
		}
	}
	removed := 0
	for _, e := range records {
		if borne[e.Name()] || ctx.Err() != nil {
			continue
		}
		gone, err := s.pruneName(f, e.Name())
		if err != nil && !errors.Is(err, errHeld) && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if gone {
			removed++
		}
	}
	if removed > 0 {
		s.log.Info("names that no job bears any more are forgotten", "names", removed)
	}
	return nil
}

// bearers collects the keys of all jobs and folders below a state's folder.
func bearers(f *folder, state, below string, depth int, borne map[string]bool) error {
	if depth > maxDepth+1 {
		return nil
	}
	entries, err := f.readDir(path.Join(state, below))
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !e.IsDir() || below != "" && isRevision(e.Name()) {
			continue
		}
		name := path.Join(below, e.Name())
		borne[jobKey(name)] = true
		if err := bearers(f, state, name, depth+1, borne); err != nil {
			return err
		}
	}
	return nil
}

// pruneName removes one record, with the claim on its job held, unless its name
// is borne after all or a job below it is in work. A crash in between leaves a
// claim without an original, which the next sweep releases.
func (s *Service) pruneName(f *folder, key string) (gone bool, err error) {
	record := path.Join(namesDir, key)
	data, err := f.readFile(record)
	if err != nil {
		return false, err
	}
	name := string(data)
	if jobKey(name) != key {
		return false, nil // not ours: whoever meets it says so
	}
	// The sweep takes over what this server left behind; this claim it leaves alone.
	s.pruning.Store(key)
	defer s.pruning.Store("")
	cl, err := s.acquire(f, key, card{Schema: cardSchema, ID: nonce(), Job: name, File: name, Server: s.name})
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, s.release(f, cl)) }()
	found, err := findClaims(f)
	if err != nil {
		return false, err
	}
	for _, other := range found {
		if other.key == key {
			continue
		}
		c, err := readCard(f, other.dir())
		if err != nil || strings.HasPrefix(fold(c.Job), fold(name)+"/") {
			return false, nil // in work, or not to be told: the next time
		}
	}
	for _, state := range states() {
		if _, err := f.lstat(path.Join(state, name)); !errors.Is(err, fs.ErrNotExist) {
			return false, err
		}
	}
	if err := f.remove(record); err != nil {
		return false, err
	}
	s.names.Delete(key)
	return true, nil
}
