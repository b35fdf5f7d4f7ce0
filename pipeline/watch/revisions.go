package watch

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strconv"

	"trueup/report"
)

// revision is a published revision of a job.
type revision struct {
	state  string // one of states
	job    string
	number int
}

func (r revision) dir() string { return path.Join(r.state, r.job, strconv.Itoa(r.number)) }

// revisionsOf lists a job's published revisions, newest first. What bears a
// number but holds no original (a folder of other jobs), or another job's, is listed in taken only.
func revisionsOf(f *folder, job string) (list []revision, taken int, err error) {
	for _, state := range states() {
		entries, err := f.readDir(path.Join(state, job))
		if err != nil {
			return nil, 0, err
		}
		for _, e := range entries {
			n, ok := revisionNumber(e.Name())
			if !ok {
				continue
			}
			taken = max(taken, n)
			r := revision{state, job, n}
			if e.IsDir() && ofJob(f, r) {
				list = append(list, r)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b revision) int { return cmp.Compare(b.number, a.number) })
	return list, taken, nil
}

// ofJob tells a revision's folder from one of other jobs, and from one that somebody
// made of another revision's.
func ofJob(f *folder, r revision) bool {
	c, err := readCard(f, r.dir())
	if err == nil {
		return misplaced(r, c) == ""
	}
	return f.exists(path.Join(r.dir(), originalFile)) || f.exists(path.Join(r.dir(), cardFile))
}

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

// sameContent tells whether a file of the shop holds the bytes of another.
func sameContent(f *folder, a, b string) (bool, error) {
	ra, err := f.open(a)
	if err != nil {
		return false, err
	}
	defer ra.Close()
	rb, err := f.open(b)
	if err != nil {
		return false, err
	}
	defer rb.Close()
	const block = 256 << 10
	bufA, bufB := make([]byte, block), make([]byte, block)
	for {
		n, errA := io.ReadFull(ra, bufA)
		m, errB := io.ReadFull(rb, bufB)
		endA, endB := ended(errA), ended(errB)
		switch { // what cannot be read is not known to differ: faults first
		case errA != nil && !endA:
			return false, errA
		case errB != nil && !endB:
			return false, errB
		case string(bufA[:n]) != string(bufB[:m]):
			return false, nil
		case endA && endB:
			return true, nil
		}
	}
}

func ended(err error) bool { return errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) }

// storedHash is the SHA-256 of a revision's original: what its job.json says,
// or, where that cannot be read, what the original gives. It is "" when the original has gone.
func storedHash(f *folder, r revision) (string, error) {
	original := path.Join(r.dir(), originalFile)
	if _, err := f.lstat(original); errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if c, err := readCard(f, r.dir()); err == nil {
		return c.SHA256, nil // "" of one that was too large to be read
	}
	sum, _, err := hashFile(f, original)
	return sum, err
}

// measured is the part of a result document that says of what bytes it is.
type measured struct {
	Source struct {
		SHA256 string `json:"sha256"`
	} `json:"source"`
}

// readMeasured reads of what bytes the result document in a folder is; nil when it has none.
func readMeasured(f *folder, dir string) (*measured, error) { return readResultAs[measured](f, dir) }

// readResult reads the result document in a folder; nil when it has none.
func readResult(f *folder, dir string) (*report.Result, error) {
	return readResultAs[report.Result](f, dir)
}

func readResultAs[T any](f *folder, dir string) (*T, error) {
	data, err := f.readFile(path.Join(dir, resultFile))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var result T
	if err := json.Unmarshal(data, &result); err != nil {
		return nil, fmt.Errorf("%s: %w", path.Join(dir, resultFile), err)
	}
	return &result, nil
}
