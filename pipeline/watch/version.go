package watch

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// protocol is the number of the rules by which servers share .work/: it counts up when
// what one server leaves there could be misread by another. Signs of life without it
// are of servers from before there was one.
const protocol = 2

// Servers of one protocol agree about the folders whatever their releases. But what a
// drawing is checked for may not depend on which of them happens to take it: where a
// newer one is alive, the older one stands back, says so, and goes on when the newer
// one is gone.

var releaseNumber = regexp.MustCompile(`\bv?(\d+)\.(\d+)\.(\d+)\b`)

// compareReleases orders two servers by protocol, then by the number of their release. A
// build without a number, a developer's, stands back for nobody and nobody for it.
func compareReleases(protocolA int, a string, protocolB int, b string) int {
	if c := cmp.Compare(protocolA, protocolB); c != 0 {
		return c
	}
	numbersA, numbersB := releaseNumber.FindStringSubmatch(firstWords(a)), releaseNumber.FindStringSubmatch(firstWords(b))
	if numbersA == nil || numbersB == nil {
		return 0
	}
	for i := 1; i < len(numbersA); i++ {
		m, _ := strconv.Atoi(numbersA[i])
		n, _ := strconv.Atoi(numbersB[i])
		if c := cmp.Compare(m, n); c != 0 {
			return c
		}
	}
	return 0
}

// firstWords are what stands before the first comma: after it a version names the
// compiler, whose number is not that of the release.
func firstWords(version string) string {
	before, _, _ := strings.Cut(version, ",")
	return before
}

// lookAtReleases finds out, from the signs of life of the other servers, whether this one
// has to stand back, and whether one is there that should and does not know how to.
func (l *loop) lookAtReleases(f *folder, now time.Time, set Settings) error {
	s := l.s
	entries, err := f.readDir(serversDir)
	if err != nil {
		return err
	}
	back, older := "", ""
	for _, e := range entries {
		server, ok := strings.CutSuffix(e.Name(), ".json")
		if !ok || server == s.name {
			continue
		}
		if o, known := parseOwner(server); known && o.dead() {
			continue
		}
		data, err := readSign(f, e.Name())
		var h Heartbeat
		if errors.Is(err, fs.ErrNotExist) || err == nil && json.Unmarshal(data, &h) != nil {
			continue
		}
		if err != nil {
			return err
		}
		if l.seen.stale(server, string(data), now, set.Stale) {
			continue
		}
		switch compareReleases(h.Protocol, h.Version, protocol, s.version) {
		case 1:
			back = fmt.Sprintf("stands back: %s serves the shop with a newer release (%s); stop this one or bring it up to date", ServerStatus{Heartbeat: h}.place(), h.Version)
		case -1:
			if h.Protocol == 0 {
				older = fmt.Sprintf("%s runs an older release (%s) that does not know how to stand back; stop it", ServerStatus{Heartbeat: h}.place(), h.Version)
			}
		}
	}
	s.ledger.troubled(releaseTrouble, older)
	s.stand(back)
	return nil
}

// stand takes note why this server stands back; "" when it does not.
func (s *Service) stand(back string) {
	was := ""
	s.ledger.update(func(h *Heartbeat) { was, h.StandsBack = h.StandsBack, back })
	switch {
	case back == was:
	case back != "":
		s.log.Warn("this server stands back", "why", back)
	default:
		s.log.Info("this server serves the shop again")
		s.ledger.dirty()
	}
}

// standsBack tells whether this server leaves the shop to a newer one.
func (s *Service) standsBack() bool { return s.ledger.snapshot().StandsBack != "" }
