//go:build unix

package watch

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sort"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"trueup/report"
)

// The protocol of a claim (doc.go) is checked by trying all that can happen: the
// service's own code runs over a real file system, and before every single call of the
// system that looks a name up, one of the deeds below is done, by a templater, by a second
// server, or by a kill. Two deeds at two instants are tried as well. Then a fresh service
// settles what is left, and what must always be true is looked at.

// flagModel thins the instants out: 1 tries every one.
var flagModel = flag.Int("model", 30, "try a deed at every so manieth instant of the protocol's check")

// The drawing bears the name of a file that every released folder has, so that an exchange of
// its folder for a link would lead to another job's.
const (
	modelName  = "sub/" + originalFile
	modelDrop  = dropDir + "/" + modelName
	victimDir  = readyDir + "/victim/1"
	modelFirst = "first"
	modelOther = "another"
)

// world is a shop with one settled drawing in drop/ and one released job.
type world struct {
	t    *testing.T
	shop string
	held *os.File      // the templater's own file, which he keeps open
	turn chan struct{} // the service may make calls side by side: one instant after the other
	n    int           // instants so far
	plan map[int]func(w *world)

	s    *Service
	dead atomic.Bool
	end  context.CancelFunc
	told *sync.Map // digests that a processor was handed: one that a kill left behind may still run
	last string    // what the templater put at the name last; "" once he took it away
	hung string    // what would have waited for ever
}

func newWorld(t *testing.T, plan map[int]func(*world)) *world {
	w := &world{t: t, shop: newShop(t), turn: make(chan struct{}, 1), plan: plan, told: new(sync.Map), last: dxf(modelFirst)}
	put(t, w.shop, modelDrop, w.last)
	sum := sha256.Sum256([]byte(dxf("victim")))
	c := card{Schema: cardSchema, ID: "victim", Job: "victim", File: "victim.dxf", Revision: 1, SHA256: hex.EncodeToString(sum[:])}
	for name, content := range map[string]string{originalFile: dxf("victim"), "clean.dxf": "victim", "marked.dxf": "victim", reportFile: "victim", cardFile: string(c.bytes()),
		resultFile: jsonText(t, report.Result{Job: "victim", Revision: 1, Source: report.Source{SHA256: c.SHA256}})} {
		put(t, w.shop, victimDir+"/"+name, content)
	}
	var err error
	if w.held, err = os.OpenFile(w.at(modelDrop), os.O_RDWR, 0); err != nil {
		t.Fatal(err)
	}
	w.s = testService(t, w.shop, w.processor())
	w.s.before = func(string, string) error {
		if w.dead.Load() {
			return errDown
		}
		return nil
	}
	return w
}

func (w *world) at(name string) string { return filepath.Join(w.shop, filepath.FromSlash(name)) }

// processor is the fake that notes what it was handed.
func (w *world) processor() Processor {
	return ProcessorFunc(func(ctx context.Context, in Work) (Outcome, error) {
		w.told.Store(in.SHA256, true)
		return fake{}.Process(ctx, in)
	})
}

// step is an instant. A killed service makes no further call: its goroutines end here,
// and what they put off for the end is refused.
func (w *world) step(op, name string) {
	w.turn <- struct{}{}
	if !w.dead.Load() {
		w.n++
		if deed := w.plan[w.n]; deed != nil {
			deed(w)
		}
	}
	dead := w.dead.Load()
	<-w.turn
	if dead {
		w.end() // a goroutine that only waits for one that ended here goes no further either
		runtime.Goexit()
	}
}

// take is the service's part: it looks, finds the drawing ready, and takes it to its end.
func (w *world) take() {
	if err := w.s.prepare(); err != nil {
		w.t.Fatal(err)
	}
	w.s.step = w.step
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		w.look()
	}()
	<-ended
}

func (w *world) look() {
	ctx, end := context.WithCancel(w.t.Context())
	defer end()
	w.end = end
	f, err := w.s.open()
	if err != nil {
		return // killed at once
	}
	defer f.close()
	in := newIntake(func(string, string) {})
	now := time.Now()
	if err := in.scan(f, now); err != nil {
		w.t.Error(err)
		return
	}
	for _, c := range in.ready(f, now.Add(in.settle)) {
		w.s.take(ctx, *c)
	}
}

// A deed is something that another one does at an instant.
type deed struct {
	name string
	do   func(w *world)
	undo func(w *world) // a second deed that belongs to it; nil for none
}

// templaterDeeds are done with the rights of one who may write into drop/ only.
func templaterDeeds() []deed {
	moved := func(w *world, other func(name string) error) {
		if os.Rename(w.at(modelDrop), w.at("drop/away.tmp")) == nil {
			w.last = ""
			os.Remove(w.at("drop/away.tmp"))
		}
		if err := other(w.at(modelDrop)); err != nil && !errors.Is(err, fs.ErrExist) && !errors.Is(err, fs.ErrNotExist) {
			w.t.Error(err)
		}
	}
	link := func(w *world) {
		if err := errors.Join(os.Rename(w.at("drop/sub"), w.at("drop/aside")), os.Symlink("../"+victimDir, w.at("drop/sub"))); err != nil {
			w.t.Error(err)
		}
	}
	return []deed{
		{"replaces the file", func(w *world) {
			put(w.t, w.shop, "drop/sub/new.tmp", dxf(modelOther))
			if err := os.Rename(w.at("drop/sub/new.tmp"), w.at(modelDrop)); err != nil {
				w.t.Error(err)
			}
			w.last = dxf(modelOther)
		}, nil},
		{"touches the file", func(w *world) { touch(w.at(modelDrop)) }, nil}, // gone: nothing to touch
		{"writes into the file", func(w *world) {
			if file, err := os.OpenFile(w.at(modelDrop), os.O_WRONLY|os.O_APPEND, 0); err == nil {
				fmt.Fprint(file, dxf("more"))
				file.Close()
				w.last = dxf(modelFirst) + dxf("more")
			}
		}, nil},
		{"writes through the open file, its time set back", func(w *world) {
			info, err := w.held.Stat()
			if err == nil {
				_, err = w.held.WriteAt([]byte("998"), 0)
			}
			if err == nil {
				os.Chtimes(w.at(modelDrop), info.ModTime(), info.ModTime())
			}
			if _, there := os.Lstat(w.at(modelDrop)); there == nil {
				w.last = "998" + dxf(modelFirst)[3:]
			} else {
				w.last = "" // it may be too late: taken and copied already
			}
		}, nil},
		{"exchanges the file for a pipe", func(w *world) {
			moved(w, func(name string) error { return syscall.Mkfifo(name, 0o666) })
		}, func(w *world) { os.Remove(w.at(modelDrop)) }},
		{"exchanges the file for a link", func(w *world) {
			moved(w, func(name string) error { return os.Symlink("../../"+victimDir+"/"+originalFile, name) })
		}, func(w *world) { os.Remove(w.at(modelDrop)) }},
		{"exchanges the file for a folder", func(w *world) {
			moved(w, func(name string) error { return os.Mkdir(name, 0o777) })
		}, nil},
		{"exchanges the folder for a link", link, func(w *world) {
			if err := errors.Join(os.Remove(w.at("drop/sub")), os.Rename(w.at("drop/aside"), w.at("drop/sub"))); err != nil {
				w.t.Error(err)
			}
		}},
		{"exchanges the folder for another", func(w *world) {
			put(w.t, w.shop, "drop/two/"+originalFile, dxf(modelOther))
			if err := errors.Join(os.Rename(w.at("drop/sub"), w.at("drop/aside")), os.Rename(w.at("drop/two"), w.at("drop/sub"))); err != nil {
				w.t.Error(err)
			}
			w.last = dxf(modelOther)
		}, nil},
		{"removes the file", func(w *world) {
			if os.Remove(w.at(modelDrop)) == nil {
				w.last = ""
			}
		}, nil},
	}
}

// kill ends the service between two calls of the system.
var kill = deed{"kills the service", func(w *world) { w.dead.Store(true) }, nil}

// otherServers are deeds of a second server: it takes what it finds ready, as a living
// neighbour; or it takes this one for dead, while this one only stood still.
func otherServers() []deed {
	other := func(w *world) *Service {
		s := testService(w.t, w.shop, w.processor())
		s.owner = owner{"elsewhere", 1, "1"}
		s.name = s.owner.String()
		if err := s.prepare(); err != nil {
			w.t.Fatal(err)
		}
		return s
	}
	return []deed{
		{"a second server takes what it finds", func(w *world) {
			s := other(w)
			second := &world{t: w.t, shop: w.shop, turn: make(chan struct{}, 1), s: s, told: w.told}
			second.take()
		}, nil},
		{"a second server takes over", func(w *world) {
			s := other(w)
			f, err := s.open()
			if err != nil {
				w.t.Fatal(err)
			}
			defer f.close()
			found, err := findClaims(f)
			if err != nil {
				w.t.Fatal(err)
			}
			for _, c := range found {
				cl, err := s.takeOver(f, c)
				if err != nil {
					w.t.Error(err)
					continue
				}
				s.attend(w.t.Context(), cl)
			}
		}, nil},
	}
}

// settled lets a fresh service do what is left to do, and says what is not as it must be.
func (w *world) settled() (faults []string) {
	defer w.held.Close()
	if w.hung != "" {
		return []string{w.hung}
	}
	run(w.t, testService(w.t, w.shop, w.processor()), Default().Settle+40*time.Second)
	return w.faults()
}

// faults are what must never be, whatever was done.
func (w *world) faults() (list []string) {
	fault := func(format string, a ...any) { list = append(list, fmt.Sprintf(format, a...)) }
	victims := tree(w.t, w.shop, readyDir+"/victim")
	for _, name := range victims {
		if content := get(w.t, w.shop, name); !strings.Contains(content, "victim") {
			fault("another's release was changed: %s", filepath.Base(name))
		}
	}
	if len(victims) != 6 {
		fault("another's release was changed: %d files", len(victims))
	}
	mine, err := w.held.Stat()
	if err != nil {
		w.t.Fatal(err)
	}
	stands := map[string]int{}
	for place, content := range originals(w.t, w.shop) {
		if strings.HasPrefix(place, victimDir) {
			continue
		}
		info, err := os.Lstat(w.at(place))
		if err != nil {
			w.t.Fatal(err)
		}
		if !info.Mode().IsRegular() {
			continue // lies in drop/, told as what it is
		}
		stands[content]++
		if strings.HasPrefix(place, dropDir) || strings.HasPrefix(place, claimsDir) {
			fault("not taken to its end: %s", place)
			continue
		}
		if os.SameFile(info, mine) {
			fault("the published original is still the templater's file")
		}
		sum := sha256.Sum256([]byte(content))
		if _, told := w.told.Load(hex.EncodeToString(sum[:])); !told {
			fault("published with other bytes than were worked on")
		}
	}
	for content, n := range stands {
		if n > 1 {
			fault("%q stands %d times", content, n)
		}
	}
	if w.last != "" && stands[w.last] == 0 {
		fault("%q is lost", w.last)
	}
	if left := tree(w.t, w.shop, claimsDir); left != nil {
		fault("left in claims: %v", left)
	}
	return list
}

// explore tries deeds at all instants of a taking, and gives the faults by what was done.
func explore(t *testing.T, every int, deeds []deed, second func(first deed) []deed, window int, take func(*world)) map[string][]string {
	found := map[string][]string{}
	try := func(name string, plan map[int]func(*world)) (reached bool) {
		synctest.Test(t, func(t *testing.T) {
			w := newWorld(t, plan)
			take(w)
			last := 0
			for at := range plan {
				last = max(last, at)
			}
			reached = w.n >= last
			for _, fault := range w.settled() {
				found[fault] = append(found[fault], name)
			}
		})
		return reached
	}
	for _, d := range deeds {
		for i := 1 + len(d.name)%every; try(fmt.Sprintf("%d: %s", i, d.name), map[int]func(*world){i: d.do}); i += every {
			for _, d2 := range second(d) {
				for j := i + 1; j <= i+window; j++ {
					if !try(fmt.Sprintf("%d: %s, %d: %s", i, d.name, j, d2.name), map[int]func(*world){i: d.do, j: d2.do}) {
						break
					}
				}
			}
		}
	}
	return found
}

// alone is for deeds that are tried one at a time.
func alone(deed) []deed { return nil }

// undone tries the second deed that belongs to a first.
func undone(d deed) []deed {
	if d.undo == nil {
		return nil
	}
	return []deed{{"takes it back", d.undo, nil}}
}

func wantNone(t *testing.T, found map[string][]string) {
	t.Helper()
	var faults []string
	for fault := range found {
		faults = append(faults, fault)
	}
	sort.Strings(faults)
	for _, fault := range faults {
		t.Errorf("%s: %d times, such as at %s", fault, len(found[fault]), found[fault][0])
	}
}

// TestProtocol tries every deed at every instant, and deeds with their undoing, kills and
// second servers shortly after.
func TestProtocol(t *testing.T) {
	every := *flagModel
	take := (*world).take
	t.Run("one templater", func(t *testing.T) { wantNone(t, explore(t, every, templaterDeeds(), alone, 0, take)) })
	t.Run("done and undone", func(t *testing.T) { wantNone(t, explore(t, every, templaterDeeds(), undone, 4, take)) })
	t.Run("a kill", func(t *testing.T) { wantNone(t, explore(t, every, []deed{kill}, alone, 0, take)) })
	t.Run("a deed and a kill", func(t *testing.T) {
		wantNone(t, explore(t, 3*every, templaterDeeds(), func(deed) []deed { return []deed{kill} }, 3, take))
	})
	t.Run("a second server", func(t *testing.T) { wantNone(t, explore(t, every, otherServers(), alone, 0, take)) })
	t.Run("a second server and a kill", func(t *testing.T) {
		wantNone(t, explore(t, every, otherServers(), func(deed) []deed { return []deed{kill} }, 3, take))
	})
	t.Run("a second server and a templater", func(t *testing.T) {
		wantNone(t, explore(t, 3*every, templaterDeeds(), func(deed) []deed { return otherServers() }, 2, take))
	})
}

// takeOldWay is the service's part as it once was: names below a folder that cannot be
// left but in which links are followed, a look, a rename, and reading by path again.
func (w *world) takeOldWay() {
	root, err := os.OpenRoot(w.shop)
	if err != nil {
		w.t.Fatal(err)
	}
	defer root.Close()
	read := func(name string) ([]byte, bool) {
		w.step("open", name)
		if info, err := root.Stat(name); err == nil && info.Mode()&fs.ModeNamedPipe != 0 {
			w.hung = "waits for the writer of a pipe for ever"
			return nil, false
		}
		data, err := root.ReadFile(name)
		return data, err == nil
	}
	w.step("lstat", modelDrop)
	before, err := root.Lstat(modelDrop)
	if err != nil || !before.Mode().IsRegular() {
		return
	}
	if _, ok := read(modelDrop); !ok { // its end
		return
	}
	const claimed = claimsDir + "/old/" + originalFile
	root.MkdirAll(filepath.Dir(claimed), 0o777)
	w.step("lstat", modelDrop)
	now, err := root.Lstat(modelDrop)
	if err != nil || !now.Mode().IsRegular() || now.Size() != before.Size() || !now.ModTime().Equal(before.ModTime()) {
		root.RemoveAll(filepath.Dir(claimed))
		return
	}
	w.step("rename", modelDrop)
	if root.Rename(modelDrop, claimed) != nil {
		root.RemoveAll(filepath.Dir(claimed))
		return
	}
	first, ok := read(claimed) // hashed
	if !ok {
		if w.hung == "" { // given back
			w.step("rename", claimed)
			root.Rename(claimed, modelDrop)
			root.RemoveAll(filepath.Dir(claimed))
		}
		return
	}
	sum := sha256.Sum256(first)
	w.told.Store(hex.EncodeToString(sum[:]), true)
	w.step("write", claimed)
	c := card{Schema: cardSchema, ID: "old", Job: "sub/original", File: modelName, Revision: 1, SHA256: hex.EncodeToString(sum[:])}
	files := map[string]string{"clean.dxf": "", "marked.dxf": "", reportFile: "", cardFile: string(c.bytes()),
		resultFile: jsonText(w.t, report.Result{Job: "sub/original", Revision: 1, Source: report.Source{SHA256: c.SHA256}})}
	for name, content := range files {
		root.WriteFile(filepath.Join(filepath.Dir(claimed), name), []byte(content), 0o666)
	}
	root.MkdirAll("ready/sub/original", 0o777)
	w.step("rename", "ready")
	root.Rename(filepath.Dir(claimed), "ready/sub/original/1")
}

// The check finds, in the old way, each of the faults that the protocol is there for.
func TestProtocolFindsTheOldFaults(t *testing.T) {
	found := explore(t, 1, templaterDeeds(), undone, 3, (*world).takeOldWay)
	for _, want := range []string{
		"another's release was changed: ",
		"waits for the writer of a pipe for ever",
		"the published original is still the templater's file",
		"published with other bytes than were worked on",
	} {
		if !slices.ContainsFunc(keysOf(found), func(fault string) bool { return strings.HasPrefix(fault, want) }) {
			t.Errorf("not found: %s; found %v", want, keysOf(found))
		}
	}
}

func keysOf(m map[string][]string) (list []string) {
	for k := range m {
		list = append(list, k)
	}
	sort.Strings(list)
	return list
}
