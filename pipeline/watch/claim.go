package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strconv"
	"strings"

	"trueup/pipeline/safefs"
)

// errHeld says that somebody else works on the job.
var errHeld = errors.New("the job is in work")

// errLost says that a claim was taken over by another server, which took this
// one for dead. What stood there is that server's now.
var errLost = errors.New("the claim was taken over by another server")

// claim is a job held by this server: the folder claims/KEY/gN-SERVER.
type claim struct {
	key        string
	generation int
	card       card
	taken      safefs.Info // the templater's file as it was when it was copied
}

func (c claim) dir(server string) string {
	return path.Join(claimsDir, c.key, "g"+strconv.Itoa(c.generation)+"-"+server)
}

// acquire makes a claim on a job. It is built aside and put in place by one
// rename, which fails when a claim stands there: errHeld. An empty folder
// claims/KEY is no claim and may be replaced or removed by anybody at any time.
func (s *Service) acquire(f *folder, key string, c card) (claim, error) {
	cl := claim{key: key, generation: 1, card: c}
	place := path.Join(claimsDir, key)
	if entries, err := f.readDir(place); err != nil {
		return claim{}, err
	} else if len(entries) > 0 {
		return claim{}, errHeld
	}
	stage := f.temporary()
	err := f.mkdirAll(path.Join(stage, path.Base(cl.dir(s.name))))
	if err == nil {
		err = f.writeFile(path.Join(stage, path.Base(cl.dir(s.name)), cardFile), c.bytes())
	}
	if err == nil {
		err = f.rename(stage, place)
		if err != nil && f.remove(place) == nil {
			err = f.rename(stage, place) // an empty folder cannot be replaced by a rename everywhere
		}
	}
	if err == nil {
		return cl, f.syncDir(claimsDir)
	}
	f.removeScratch(stage)
	if entries, readErr := f.readDir(place); readErr == nil && len(entries) > 0 {
		return claim{}, errHeld
	}
	return claim{}, fmt.Errorf("claim in %s: %w", place, err)
}

// release gives up a claim from which the original has gone. It refuses while
// the original stands there.
func (s *Service) release(f *folder, cl claim) error {
	if err := f.removeScratch(cl.dir(s.name)); err != nil {
		return err
	}
	f.remove(path.Join(claimsDir, cl.key)) // an empty folder left behind is no claim
	return nil
}

// holds tells whether the claim is still this server's. It is asked after a
// failure, to tell a lost claim from a fault.
func (s *Service) holds(f *folder, cl claim) bool {
	_, err := f.lstat(cl.dir(s.name))
	return !errors.Is(err, fs.ErrNotExist)
}

// suspectAfter is how many servers end over a template before it has to wait until
// nothing else does. A server ends because it is killed, or with its machine; a
// drawing cannot end it, since worker processes bear what drawings do. So this is
// never held against a drawing, but if one did find a way, it would hold up no other.
const suspectAfter = 3

// suspect tells a claim that has to wait for all others.
func (c claim) suspect() bool { return c.card.Crashes >= suspectAfter }

// foundClaim is a claim folder as the sweep meets it.
type foundClaim struct {
	key, name  string
	generation int
	owner      string
}

func (c foundClaim) dir() string { return path.Join(claimsDir, c.key, c.name) }

// findClaims lists all claims, of whatever server, and removes folders that are none.
func findClaims(f *folder) ([]foundClaim, error) {
	keys, err := f.readDir(claimsDir)
	if err != nil {
		return nil, err
	}
	var found []foundClaim
	for _, k := range keys {
		entries, err := f.readDir(path.Join(claimsDir, k.Name()))
		if err != nil {
			return nil, err
		}
		if len(entries) == 0 {
			f.remove(path.Join(claimsDir, k.Name()))
		}
		for _, e := range entries {
			generation, owner, ok := strings.Cut(e.Name(), "-")
			n, err := strconv.Atoi(strings.TrimPrefix(generation, "g"))
			if !ok || err != nil || !e.IsDir() {
				continue
			}
			found = append(found, foundClaim{k.Name(), e.Name(), n, owner})
		}
	}
	return found, nil
}

// takeOver makes a dead server's claim this server's. The rename succeeds for
// one server only, and cuts the old owner off should it come back to life.
func (s *Service) takeOver(f *folder, found foundClaim) (claim, error) {
	cl := claim{key: found.key, generation: found.generation + 1}
	if err := f.rename(found.dir(), cl.dir(s.name)); err != nil {
		return claim{}, err
	}
	c, err := readCard(f, cl.dir(s.name))
	if err != nil {
		s.log.Error("a recovered claim has no readable job.json; its original is filed under another name", "claim", found.dir(), "error", err)
		c = card{Schema: cardSchema, ID: nonce(), Job: "recovered-" + found.key, File: "recovered-" + found.key + ".dxf"}
	}
	if f.exists(path.Join(cl.dir(s.name), atWorkFile)) {
		c.Crashes++
		if err := f.replaceFile(path.Join(cl.dir(s.name), cardFile), c.bytes()); err != nil {
			return claim{}, err // the claim is this server's, and found again by the next sweep
		}
		f.remove(path.Join(cl.dir(s.name), atWorkFile))
	}
	cl.card = c
	return cl, nil
}
