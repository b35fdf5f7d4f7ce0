package watch

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"trueup/report"
)

// TestPassingFaults lets a kind of operation fail for two minutes, in the middle
// of work, and expects the work to be done once the fault has passed.
func TestPassingFaults(t *testing.T) {
	for _, tc := range []struct {
		name string
		err  error
		ops  []string // nil: all
	}{
		{"disk full", syscall.ENOSPC, []string{"write", "mkdir"}},
		{"quota", syscall.EDQUOT, []string{"write", "mkdir"}},
		{"read-only", syscall.EROFS, []string{"write", "mkdir", "rename", "remove"}},
		{"permission denied", syscall.EACCES, []string{"rename", "write"}},
		{"too many open files", syscall.EMFILE, []string{"open", "read", "readdir", "write", "sync"}},
		{"share gone", syscall.EIO, nil},
		{"sync fails", syscall.EIO, []string{"sync"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				s := testService(t, shop, fake{})
				var faulty atomic.Bool
				s.before = func(op, name string) error {
					if faulty.Load() && (tc.ops == nil || slices.Contains(tc.ops, op)) {
						return tc.err
					}
					return nil
				}
				ctx, cancel := context.WithCancel(t.Context())
				ended := make(chan error, 1)
				go func() { ended <- s.Run(ctx) }()
				time.Sleep(time.Second)
				put(t, shop, "drop/a.dxf", dxf("a"))
				put(t, shop, "drop/b.dxf", dxf("review"))
				faulty.Store(true)
				time.Sleep(2 * time.Minute)
				if got := originals(t, shop); len(got) != 2 {
					t.Errorf("originals during the fault: %v", places(got))
				}
				wantWhole(t, shop)
				faulty.Store(false)
				time.Sleep(2 * time.Minute) // longer than the longest pause
				if got, want := places(originals(t, shop)), []string{"ready/a/1/original.dxf", "review/b/1/original.dxf"}; !slices.Equal(got, want) {
					t.Errorf("originals %v, want %v", got, want)
				}
				wantWhole(t, shop)
				cancel()
				if err := <-ended; err != nil {
					t.Error(err)
				}
			})
		})
	}
}

// TestShopGoneAndBack moves the whole folder away, as a share that is gone, with
// an empty folder in its place, as a mount point shows it.
func TestShopGoneAndBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		s := testService(t, shop, fake{})
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Run(ctx) }()
		time.Sleep(time.Second)
		put(t, shop, "drop/a.dxf", dxf("a"))
		time.Sleep(time.Second)
		away := shop + " away"
		if err := errors.Join(os.Rename(shop, away), os.Mkdir(shop, 0o777)); err != nil {
			t.Fatal(err)
		}
		time.Sleep(5 * time.Minute)
		if h := s.ledger.snapshot(); !strings.Contains(h.Trouble, "no drop/") {
			t.Errorf("trouble %q, want that drop/ is not there", h.Trouble)
		}
		if err := errors.Join(os.Remove(shop), os.Rename(away, shop)); err != nil { // Remove: nothing was made in it
			t.Fatal(err)
		}
		time.Sleep(5 * time.Minute)
		if got := get(t, shop, "ready/a/1/original.dxf"); got != dxf("a") {
			t.Errorf("published %q", got)
		}
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}

func TestStartWithoutShop(t *testing.T) {
	s := testService(t, t.TempDir(), fake{})
	if err := s.Run(t.Context()); !errors.Is(err, errNoShop) {
		t.Errorf("got %v, want that there is no drop/", err)
	}
}

// Who may not write into the folder is told at the start, and by what to change it.
func TestStartWithoutRights(t *testing.T) {
	s := testService(t, newShop(t), fake{})
	s.before = func(op, name string) error {
		if op == "mkdir" {
			return syscall.EACCES
		}
		return nil
	}
	if err := s.Run(t.Context()); !errors.Is(err, os.ErrPermission) || !strings.Contains(err.Error(), "give the folder and all below it to the user who serves it") {
		t.Errorf("got %v", err)
	}
}

func TestProcessorFaults(t *testing.T) {
	for _, tc := range []struct {
		name string
		err  error
		full bool // the disk is full, though the processor does not say so in its error
		want string
	}{
		{"an unknown fault is the template's in the end", errors.New("no such font"), false, "failed/a/1"},
		{"a fault that can pass is waited for", fmt.Errorf("clean.dxf: %w", syscall.ENOSPC), false, "ready/a/1"},
		{"a full disk behind an unknown fault is waited for", errors.New("zip: write error"), true, "ready/a/1"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/a.dxf", dxf("a"))
				start := time.Now()
				over := func() bool { return time.Since(start) > 5*time.Minute }
				s := testService(t, shop, ProcessorFunc(func(ctx context.Context, in Work) (Outcome, error) {
					if !over() {
						return Outcome{}, tc.err
					}
					return fake{}.Process(ctx, in)
				}))
				s.before = func(op, name string) error {
					if tc.full && op == "write" && strings.HasPrefix(name, scratchDir) && !over() {
						return syscall.ENOSPC
					}
					return nil
				}
				run(t, s, 10*time.Minute)
				if got := places(originals(t, shop)); !slices.Equal(got, []string{tc.want + "/original.dxf"}) {
					t.Errorf("original in %v, want %s", got, tc.want)
				}
				wantWhole(t, shop)
			})
		})
	}
}

// TestStop stops the service while a template is in work that takes too long.
func TestStop(t *testing.T) {
	for _, tc := range []struct {
		name  string
		taken bool // a new file of the same name came meanwhile
		want  []string
	}{
		{"given back", false, []string{"drop/hill/a.dxf"}},
		{"its name is taken: stays claimed", true, []string{"claim", "drop/hill/a.dxf"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				put(t, shop, "drop/hill/a.dxf", dxf("slow"))
				s := testService(t, shop, fake{})
				s.set.JobTime = time.Hour
				ctx, cancel := context.WithCancel(t.Context())
				ended := make(chan error, 1)
				go func() { ended <- s.Run(ctx) }()
				time.Sleep(5 * time.Second)
				if err := os.Remove(filepath.Join(shop, "drop/hill")); err != nil { // the folder was cleaned up meanwhile
					t.Fatal(err)
				}
				if tc.taken {
					put(t, shop, "drop/hill/a.dxf", dxf("newer"))
				}
				stopped := time.Now()
				cancel()
				if err := <-ended; err != nil {
					t.Error(err)
				}
				if took := time.Since(stopped); took > s.set.Shutdown+giveBackTime {
					t.Errorf("stopping took %s", took)
				}
				var got []string
				for _, place := range places(originals(t, shop)) {
					if strings.HasPrefix(place, claimsDir) {
						place = "claim"
					}
					got = append(got, place)
				}
				slices.Sort(got)
				if !slices.Equal(got, tc.want) {
					t.Errorf("originals in %v, want %v", got, tc.want)
				}
				run(t, testService(t, shop, ProcessorFunc(quickFake)), time.Minute)
				if got := places(originals(t, shop)); len(got) != len(tc.want) || strings.HasPrefix(got[0], dropDir) {
					t.Errorf("after the next start: %v", got)
				}
				wantWhole(t, shop)
			})
		})
	}
}

// quickFake fails at once what fake would be slow with.
func quickFake(ctx context.Context, in Work) (Outcome, error) {
	done, cancel := context.WithCancel(ctx)
	cancel()
	o, err := fake{}.Process(done, in)
	if errors.Is(err, context.Canceled) {
		return Outcome{Verdict: report.Failed, Error: in.File + ": words say slow"}, nil
	}
	return o, err
}

// TestTwoServers runs two servers over one folder.
func TestTwoServers(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		var calls atomic.Int32
		names := []string{}
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 2)
		for i := range 2 {
			s := testService(t, shop, fake{calls: func(Work) { calls.Add(1) }})
			s.owner = owner{"elsewhere", i + 1, "1"} // a living process on another machine
			s.name = s.owner.String()
			s.set.Rescan = time.Second
			s.set.Heartbeat = 5 * time.Second
			names = append(names, s.name)
			go func() { ended <- s.Run(ctx) }()
		}
		for i := range 100 {
			put(t, shop, fmt.Sprintf("drop/%d.dxf", i), dxf(fmt.Sprint(i)))
			time.Sleep(100 * time.Millisecond)
		}
		time.Sleep(5 * time.Minute)
		if got := originals(t, shop); len(got) != 100 || !strings.HasPrefix(places(got)[0], readyDir) {
			t.Errorf("%d originals, the first in %s", len(got), places(got)[0])
		}
		wantWhole(t, shop)
		if calls.Load() != 100 {
			t.Errorf("worked on %d times, want 100", calls.Load())
		}
		if got := len(tree(t, shop, serversDir)); got != 2 {
			t.Errorf("%d heartbeats of %v, want 2", got, names)
		}
		cancel()
		if err := errors.Join(<-ended, <-ended); err != nil {
			t.Error(err)
		}
	})
}

// TestTakeOver leaves a claim of a server on another machine.
func TestTakeOver(t *testing.T) {
	for _, tc := range []struct {
		name  string
		beats bool
		want  bool // taken over
	}{
		{"no sign of life", false, true},
		{"alive", true, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				shop := newShop(t)
				other := testService(t, shop, fake{})
				other.owner = owner{"elsewhere", 7, "1"}
				other.name = other.owner.String()
				put(t, shop, "drop/a.dxf", dxf("a"))
				if err := other.prepare(); err != nil {
					t.Fatal(err)
				}
				info, err := os.Stat(filepath.Join(shop, "drop/a.dxf"))
				if err != nil {
					t.Fatal(err)
				}
				cl, err := other.claimTemplate(candidate{name: "a.dxf", size: info.Size(), mod: info.ModTime()})
				if err != nil {
					t.Fatal(err)
				}
				start := time.Now()
				stop := make(chan struct{})
				go func() {
					for n := uint64(1); tc.beats; n++ {
						// Windows refuses while the other server reads it: the next beat comes soon.
						if err := other.writeBeat(n); err != nil && !passes(err) {
							t.Error(err)
						}
						select {
						case <-time.After(5 * time.Second):
						case <-stop:
							return
						}
					}
				}()
				s := testService(t, shop, fake{})
				run(t, s, s.set.Stale-s.set.Rescan)
				if _, err := os.Stat(filepath.Join(shop, cl.dir(other.name), droppedFile)); err != nil {
					t.Errorf("taken over after %s already", time.Since(start))
				}
				s = testService(t, shop, fake{})
				run(t, s, s.set.Stale+3*s.set.Rescan)
				_, err = os.Stat(filepath.Join(shop, "ready/a/1/original.dxf"))
				if taken := err == nil; taken != tc.want {
					t.Errorf("taken over: %v, want %v", taken, tc.want)
				}
				// The other server comes back to life and goes on where it stood.
				other.attend(t.Context(), *cl)
				if got := places(originals(t, shop)); !slices.Equal(got, []string{"ready/a/1/original.dxf"}) {
					t.Errorf("originals in %v", got)
				}
				wantWhole(t, shop)
				close(stop)
			})
		})
	}
}

// TestKillsNeverCount lets servers die in the middle of the work on one template, as
// a kill or a power cut makes them: it is never the drawing's fault. Since it could
// be, in a way that nobody thought of, it comes after all others then.
func TestKillsNeverCount(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/a.dxf", dxf("good"))
		const kills = 2 * suspectAfter
		worked := 0
		for range kills {
			ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
			var dead atomic.Bool
			s := testService(t, shop, ProcessorFunc(func(ctx context.Context, in Work) (Outcome, error) {
				worked++
				dead.Store(true)
				cancel()
				return Outcome{}, errDown
			}))
			s.set.Shutdown = 0
			s.before = func(string, string) error {
				if dead.Load() {
					return errDown
				}
				return nil
			}
			if err := s.Run(ctx); err != nil {
				t.Fatal(err)
			}
			cancel()
		}
		if worked != kills {
			t.Errorf("worked on %d times, want %d", worked, kills)
		}
		put(t, shop, "drop/b.dxf", dxf("another"))
		var order []string
		s := testService(t, shop, fake{calls: func(in Work) { order = append(order, in.Job) }})
		s.set.Workers = 1
		other := claim{key: "waits", card: card{Job: "waits"}}
		l := newLoop(s, t.Context())
		l.recover = []claim{{key: "suspect", card: card{Crashes: suspectAfter}}, other}
		if !l.resume(false) || !l.busy["waits"] || len(l.recover) != 1 {
			t.Errorf("in work %v, %d wait: a claim that saw no kill comes first", l.busy, len(l.recover))
		}
		<-l.finished
		run(t, s, time.Minute)
		if want := []string{"ready/a/1/original.dxf", "ready/b/1/original.dxf"}; !slices.Equal(places(originals(t, shop)), want) {
			t.Errorf("originals in %v, want %v", places(originals(t, shop)), want)
		}
		wantWhole(t, shop)
	})
}

// A claim whose job.json was lost with the server is worked on all the same,
// under a name that says so: no drawing stays behind because a note has gone.
func TestTakeOverWithoutCard(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		other := testService(t, shop, fake{})
		put(t, shop, "drop/a.dxf", dxf("a"))
		if err := other.prepare(); err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(filepath.Join(shop, "drop/a.dxf"))
		if err != nil {
			t.Fatal(err)
		}
		cl, err := other.claimTemplate(candidate{name: "a.dxf", size: info.Size(), mod: info.ModTime()})
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(shop, cl.dir(other.name), cardFile), []byte("{half a"), 0o666); err != nil {
			t.Fatal(err)
		}
		s := testService(t, shop, fake{})
		run(t, s, 2*s.set.Rescan)
		want := "ready/recovered-" + cl.key + "/1/original.dxf"
		if got := places(originals(t, shop)); !slices.Equal(got, []string{want}) {
			t.Errorf("originals in %v, want %s", got, want)
		}
		wantWhole(t, shop)
	})
}

// Two originals are the same when all their bytes are, at the block's bounds too.
func TestSameContent(t *testing.T) {
	const block = 256 << 10
	shop := newShop(t)
	s := testService(t, shop, fake{})
	f, err := s.open()
	if err != nil {
		t.Fatal(err)
	}
	defer f.close()
	long := strings.Repeat("x", block)
	for _, tc := range []struct {
		a, b string
		want bool
	}{
		{"", "", true}, {"", "x", false}, {"x", "y", false}, {"xy", "x", false},
		{long, long, true}, {long, long + "x", false}, {long + "x", long + "x", true}, {long + "x", long + "y", false}, {long + long, long, false},
	} {
		put(t, shop, "drop/a", tc.a)
		put(t, shop, "drop/b", tc.b)
		if same, err := sameContent(f, "drop/a", "drop/b"); same != tc.want || err != nil {
			t.Errorf("%d and %d bytes: %v, %v, want %v", len(tc.a), len(tc.b), same, err, tc.want)
		}
	}
	// What cannot be read is not known to differ: a folder opens, but gives no bytes.
	put(t, shop, "drop/folder/x", "x")
	for _, pair := range [][2]string{{"drop/a", "drop/none"}, {"drop/none", "drop/a"}, {"drop/folder", "drop/a"}, {"drop/a", "drop/folder"}} {
		for _, content := range []string{"", "x"} {
			put(t, shop, "drop/a", content)
			if same, err := sameContent(f, pair[0], pair[1]); same || err == nil {
				t.Errorf("%v: %v, %v, want an error", pair, same, err)
			}
		}
	}
}

// A program that still had the file open when it was taken may write on: what is
// told of the original is told of all of it, though it had ended properly before.
func TestWriterGoesOn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		put(t, shop, "drop/a.dxf", dxf("a"))
		s := testService(t, shop, fake{})
		const later = "999\nwritten later\n  0\nEOF\n"
		written := false
		s.proc = fake{calls: func(in Work) {
			if written {
				return
			}
			written = true
			held := filepath.Join(filepath.Dir(in.Original), droppedFile)
			file, err := os.OpenFile(held, os.O_APPEND|os.O_WRONLY, 0)
			if err == nil {
				_, err = file.WriteString(later)
				err = errors.Join(err, file.Close())
			}
			if err != nil {
				t.Error(err)
			}
		}}
		run(t, s, time.Minute)
		if !written {
			t.Fatal("nothing was written while the file was worked on")
		}
		var c card
		if err := json.Unmarshal([]byte(get(t, shop, "ready/a/1/"+cardFile)), &c); err != nil {
			t.Fatal(err)
		}
		all := dxf("a") + later
		if sum := sha256.Sum256([]byte(all)); c.SHA256 != hex.EncodeToString(sum[:]) || c.Bytes != int64(len(all)) {
			t.Errorf("the card tells of %d bytes, %s; the original has %d", c.Bytes, c.SHA256, len(all))
		}
		wantWhole(t, shop)
	})
}
