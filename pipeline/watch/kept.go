package watch

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"

	"trueup/pipeline/safefs"
)

// kept is what the service remembers, where only it can write, of a revision that it
// published: by it a release is made, whatever the office's folder holds by then. It is
// found by the digest of the revision's result, and says whose folder that is.
type kept struct {
	Schema int               `json:"schema"`
	Card   card              `json:"card"`
	Files  map[string]string `json:"files"` // name: SHA-256, of all but the card and the workbook
}

const keptSchema = 1

// keptName is the place of the record of a revision with that result.
func keptName(place, resultSHA256 string) string { return path.Join(place, resultSHA256+".json") }

// isRemark tells the pages that the service writes beside a revision and takes away
// again, as things go: they are no part of it.
func isRemark(name string) bool {
	return slices.Contains([]string{missingFile, supersededFile, newerFile, notTakenFile, decidedFile, noteFile, notReleasedFile}, name)
}

// keep remembers a complete folder that is about to be published. One without a result,
// because it failed, needs no remembering: it is never released. place is keptDir, but for adopt.
// known are digests that are known already, by name.
func keep(f *folder, place, dir string, c card, known map[string]string) error {
	entries, err := f.readDir(dir)
	if err != nil {
		return err
	}
	k := kept{Schema: keptSchema, Card: c, Files: map[string]string{}}
	for _, e := range entries {
		switch name := e.Name(); {
		case !e.Type().IsRegular(), name == cardFile, name == reportFile, name == droppedFile, isRemark(name):
		default:
			sum := known[name]
			if sum == "" {
				if sum, _, err = hashFile(f, path.Join(dir, name)); err != nil {
					return err
				}
			}
			k.Files[name] = sum
		}
	}
	if k.Files[resultFile] == "" {
		return nil
	}
	return k.write(f, place)
}

func (k kept) write(f *folder, place string) error {
	data, err := json.Marshal(k)
	if err != nil {
		return err
	}
	if err := f.replaceFile(keptName(place, k.Files[resultFile]), data); err != nil {
		return err
	}
	return f.syncDir(place) // a revision without its record could never be released
}

// notKept says that a folder in review/ is not what the service published.
type notKept struct{ why string }

func (e notKept) Error() string { return e.why }

// keptOf is the record of a revision, by its result as it stands. The error is a notKept
// where the result is not one that the service wrote, or wrote for another job or revision
// than the folder's name says: somebody renamed, exchanged or copied folders.
func (s *Service) keptOf(f *folder, r revision) (kept, []byte, error) {
	dir := r.dir()
	data, err := f.readFile(path.Join(dir, resultFile))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return kept{}, nil, notKept{path.Join(dir, resultFile) + " is not there: put it back as it was published, or drop the drawing again"}
	case errors.Is(err, safefs.ErrLink), errors.Is(err, safefs.ErrNotFile), errors.Is(err, safefs.ErrTooLarge):
		return kept{}, nil, notKept{fmt.Sprintf("%s is %v: put it back as it was published, or drop the drawing again", path.Join(dir, resultFile), rootCause(err))}
	case err != nil:
		return kept{}, nil, err
	}
	text, err := f.readFile(keptName(keptDir, digest(data)))
	if errors.Is(err, fs.ErrNotExist) {
		return kept{}, nil, notKept{path.Join(dir, resultFile) + " is not the one that the service wrote: put it back as it was published, or drop the drawing again"}
	}
	if err != nil {
		return kept{}, nil, err
	}
	var k kept
	if err := json.Unmarshal(text, &k); err != nil {
		return kept{}, nil, fmt.Errorf("%s: %w; put the file back, or drop the drawing again", keptName(keptDir, digest(data)), err)
	}
	if why := misplaced(r, k.Card); why != "" {
		return kept{}, nil, notKept{dir + " " + why}
	}
	return k, data, nil
}

// adopt remembers what an earlier release of the program published and did not remember:
// once, before the first decision is carried out.
func (s *Service) adopt(f *folder) error {
	if f.exists(keptDir) {
		return nil
	}
	stage := f.temporary()
	if err := f.mkdirAll(stage); err != nil {
		return err
	}
	for _, state := range []string{reviewDir, returnedDir} {
		err := new(shelf).visit(f, []string{state}, func(_ *shelvedDir, one filed) error {
			r := one.revision
			c, err := readCard(f, r.dir())
			if err != nil {
				c = card{Schema: cardSchema, ID: nonce(), Job: r.job, File: r.job + ".dxf", Revision: r.number, Server: s.name}
			}
			if err := keep(f, stage, r.dir(), c, nil); err != nil {
				s.log.Warn("what was published before cannot be remembered; its decisions are not carried out", "folder", r.dir(), "error", err)
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	err := f.rename(stage, keptDir)
	if err != nil && f.exists(keptDir) { // another server was first
		f.removeScratch(stage)
		return nil
	}
	return err
}

// digest is the SHA-256 of bytes as records have it.
func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// differs says which file of a folder in review/ is not what the service published; ""
// for none. It is asked before the folder is taken, so that it is not taken in vain.
func (s *Service) differs(f *folder, dir string, k kept) (string, error) {
	for _, name := range slices.Sorted(maps.Keys(k.Files)) {
		sum, _, err := hashFile(f, path.Join(dir, name))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return name + " is not there", nil
		case unreadable(err):
			return fmt.Sprintf("%s is %v", name, rootCause(err)), nil
		case err != nil:
			return "", err
		case sum != k.Files[name]:
			return name + " is not the one that the service wrote", nil
		}
	}
	return "", nil
}
