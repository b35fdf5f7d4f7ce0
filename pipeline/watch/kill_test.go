package watch

import (
	"bufio"
	"bytes"
	"context"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"
)

// The scale of the tests that kill real processes. The scripts in
// testdata/outside raise it.
var (
	flagKills   = flag.Int("kills", 4, "how often a server is killed")
	flagFiles   = flag.Int("files", 60, "templates to drop")
	flagServers = flag.Int("servers", 2, "servers on one folder")
	flagShop    = flag.String("shop", "", "folder in which shops are made; empty: a temporary one")
	flagSeed    = flag.Uint64("seed", 0, "seed of the random tests; 0: from the clock")
)

// childShop names, in the environment, the shop that a child process serves.
const childShop = "TRUEUP_TEST_SHOP"

// childPause is, in the environment, how long a child works on a template.
const childPause = "TRUEUP_TEST_PAUSE"

// childSettle is short, but longer than a writer in these tests pauses.
const childSettle = 100 * time.Millisecond

// TestMain lets the test binary be the server that tests start and kill.
func TestMain(m *testing.M) {
	if shop := os.Getenv(childShop); shop != "" {
		os.Exit(serveChild(shop))
	}
	if os.Getenv(childWorker) != "" {
		os.Exit(workChild())
	}
	flag.Parse()
	os.Exit(m.Run())
}

// serveChild is a server with short times and the fake processor, until SIGTERM.
func serveChild(shop string) int {
	set := Default()
	set.Settle, set.Rescan = childSettle, 500*time.Millisecond
	set.Heartbeat, set.Stale = 200*time.Millisecond, 3*time.Second
	set.Register, set.Decisions = time.Second, time.Second
	set.Patience, set.JobTime = 5*time.Second, 3*time.Second
	if n, err := strconv.Atoi(os.Getenv("TRUEUP_TEST_WORKERS")); err == nil {
		set.Workers = n
	}
	ctx, cancel := signal.NotifyContext(context.Background(), os.Interrupt)
	defer cancel()
	s, err := New(shop, Options{Settings: set, Processor: childProcessor(), Log: slog.New(slog.NewTextHandler(os.Stderr, nil)), Version: "test"})
	if err == nil {
		if address := os.Getenv("TRUEUP_TEST_METRICS"); address != "" {
			go s.ServeMetrics(ctx, address)
		}
		err = s.Run(ctx)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

// childProcessor is the fake one, slowed down where the environment says so.
func childProcessor() Processor {
	pause, err := time.ParseDuration(os.Getenv(childPause))
	if err != nil {
		return fake{}
	}
	return fake{calls: func(Work) { time.Sleep(pause) }}
}

// server is a child process that serves a shop.
type server struct {
	cmd *exec.Cmd
	log *os.File
}

func startServer(t *testing.T, shop string) *server {
	t.Helper()
	log, err := os.CreateTemp(t.TempDir(), "log")
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childShop+"="+shop)
	cmd.Stderr = log
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	s := &server{cmd, log}
	t.Cleanup(func() {
		s.kill()
		if t.Failed() {
			log.Seek(0, io.SeekStart)
			text, _ := io.ReadAll(io.LimitReader(log, 20_000))
			t.Logf("log of server %d:\n%s", cmd.Process.Pid, text)
		}
		log.Close()
	})
	return s
}

func (s *server) kill() {
	s.cmd.Process.Kill()
	s.cmd.Wait()
}

// stop ends a server in order, where processes can be told to stop.
func (s *server) stop(t *testing.T) {
	t.Helper()
	if runtime.GOOS == "windows" {
		s.kill()
		return
	}
	// One that was started an instant ago does not listen yet, and is just ended.
	for since := time.Now(); time.Since(since) < 10*time.Second; time.Sleep(5 * time.Millisecond) {
		if text, err := os.ReadFile(s.log.Name()); err != nil || bytes.Contains(text, []byte("msg=watching")) {
			break
		}
	}
	if err := s.cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if err := s.cmd.Wait(); err != nil {
		t.Errorf("told to stop, the server ended with: %v", err)
	}
}

// realShop is a shop folder for tests with processes.
func realShop(t *testing.T) string {
	t.Helper()
	if *flagShop == "" {
		return newShop(t)
	}
	dir, err := os.MkdirTemp(*flagShop, "shop")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	if err := Init(dir, ""); err != nil {
		t.Fatal(err)
	}
	return dir
}

func seeded(t *testing.T) *rand.Rand {
	t.Helper()
	seed := *flagSeed
	if seed == 0 {
		seed = uint64(time.Now().UnixNano())
	}
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

// templater drops files in the ways that people and programs do, and keeps
// account of every content it has brought.
type templater struct {
	t       *testing.T
	r       *rand.Rand
	shop    string
	brought map[string][]string // job: contents, the newest last
	n       int
}

func newTemplater(t *testing.T, r *rand.Rand, shop string) *templater {
	return &templater{t, r, shop, map[string][]string{}, 0}
}

// drop brings one file: a new job, a new revision, or the newest revision's content
// once more, which is no further one. An older revision's content would be, since it
// says that the newest does not hold.
func (m *templater) drop() {
	m.t.Helper()
	m.n++
	job := fmt.Sprintf("site %d/top %d", m.n%7, m.n)
	if m.n > 10 && m.r.IntN(4) == 0 {
		n := 1 + m.r.IntN(m.n-1)
		job = fmt.Sprintf("site %d/top %d", n%7, n)
	}
	words := fmt.Sprintf("%s, %d%s", job, m.n, strings.Repeat(" stone", m.r.IntN(2000)))
	switch m.r.IntN(8) {
	case 0, 1:
		words = "review " + words
	case 2:
		words = "failed " + words
	case 3:
		words = "panic " + words
	}
	content := dxf(words)
	known := m.brought[job]
	again := len(known) > 0 && m.r.IntN(3) == 0
	if again {
		content = known[len(known)-1]
	}
	if m.bring(path.Join(dropDir, job+".dxf"), content) && !again {
		m.brought[job] = append(known, content)
	}
}

// bring writes the file where no file of that name waits: all at once by a
// rename, or bit by bit under its own name.
func (m *templater) bring(name, content string) bool {
	m.t.Helper()
	full := filepath.Join(m.shop, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
		m.t.Fatal(err)
	}
	if m.r.IntN(2) == 0 {
		part := full + ".part"
		if err := os.WriteFile(part, []byte(content), 0o666); err != nil {
			m.t.Fatal(err)
		}
		defer os.Remove(part)
		return os.Link(part, full) == nil // unlike a rename, a link replaces nothing
	}
	w, err := os.OpenFile(full, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return false
	}
	defer w.Close()
	b := bufio.NewWriterSize(w, 512)
	for len(content) > 0 {
		n := min(len(content), 4096)
		if _, err := b.WriteString(content[:n]); err != nil {
			m.t.Fatal(err)
		}
		content = content[n:]
		time.Sleep(time.Duration(m.r.IntN(2)) * time.Millisecond)
	}
	if err := b.Flush(); err != nil {
		m.t.Fatal(err)
	}
	return true
}

// settled waits until nothing is left in drop/ and in work, for as long as there
// is something done within the given time.
func (m *templater) settled(limit time.Duration) {
	m.t.Helper()
	left, since := -1, time.Now()
	for {
		looked := time.Now()
		list := tree(m.t, m.shop, dropDir, claimsDir)
		if len(list) == 0 {
			return
		}
		if len(list) != left {
			left, since = len(list), time.Now()
		}
		if time.Since(since) > limit {
			m.t.Fatalf("nothing done for %s; %d are left, such as %v", limit, left, list[:min(3, left)])
		}
		time.Sleep(max(50*time.Millisecond, 20*time.Since(looked)))
	}
}

// wantAll checks that every content brought stands exactly once, under its own
// job, with revisions counted from 1 without a gap, and that nothing else does.
func (m *templater) wantAll() {
	m.t.Helper()
	wantWhole(m.t, m.shop)
	for place, content := range originals(m.t, m.shop) { // a kill is no drawing's fault
		if said := strings.Contains(content, "failed") || strings.Contains(content, "panic"); said != strings.HasPrefix(place, failedDir+"/") {
			m.t.Errorf("%s: it failed, or did not, against what its words say: %.40q", place, content)
		}
	}
	stands := map[string]map[string]int{}
	numbers := map[string]map[string]bool{}
	for place, content := range originals(m.t, m.shop) {
		parts := strings.Split(place, "/")
		job := strings.Join(parts[1:len(parts)-2], "/")
		if stands[job] == nil {
			stands[job], numbers[job] = map[string]int{}, map[string]bool{}
		}
		stands[job][content]++
		numbers[job][parts[len(parts)-2]] = true
	}
	total := 0
	for job, contents := range m.brought {
		for _, content := range contents {
			total++
			if n := stands[job][content]; n != 1 {
				m.t.Errorf("%s: a content of %d bytes stands %d times, want once", job, len(content), n)
			}
		}
		for n := 1; n <= len(contents); n++ {
			if !numbers[job][strconv.Itoa(n)] {
				m.t.Errorf("%s: no revision %d of %d", job, n, len(contents))
			}
		}
		if len(stands[job]) != len(contents) {
			m.t.Errorf("%s: %d contents stand, %d were brought", job, len(stands[job]), len(contents))
		}
	}
	if len(stands) != len(m.brought) {
		m.t.Errorf("%d jobs stand, %d were brought", len(stands), len(m.brought))
	}
	m.t.Logf("%d drops, %d jobs, %d contents, each exactly once", m.n, len(m.brought), total)
}

// TestKilledOften kills a server so often that hardly a template is done in one life:
// the same ones are at work each time it dies. Every good one is ready in the end.
func TestKilledOften(t *testing.T) {
	shop := realShop(t)
	m := newTemplater(t, seeded(t), shop)
	for range 20 {
		m.drop()
	}
	t.Setenv(childPause, "150ms")
	for range 2 * suspectAfter {
		s := startServer(t, shop)
		for since := time.Now(); time.Since(since) < 20*time.Second; time.Sleep(time.Millisecond) {
			if at, _ := filepath.Glob(filepath.Join(shop, claimsDir, "*", "*", atWorkFile)); len(at) > 0 {
				break
			}
		}
		s.kill()
	}
	t.Setenv(childPause, "")
	s := startServer(t, shop)
	m.settled(time.Minute)
	m.wantAll()
	s.stop(t)
}

// TestKilled kills one of the servers on a folder at random instants while
// templates come in, and starts it again each time.
func TestKilled(t *testing.T) {
	for _, servers := range []int{1, *flagServers} {
		t.Run(fmt.Sprintf("%d servers", servers), func(t *testing.T) {
			r := seeded(t)
			shop := realShop(t)
			m := newTemplater(t, r, shop)
			running := make([]*server, servers)
			for i := range running {
				running[i] = startServer(t, shop)
			}
			for kill := range *flagKills {
				for range (*flagFiles + *flagKills - 1) / *flagKills {
					m.drop()
				}
				time.Sleep(time.Duration(r.IntN(300)) * time.Millisecond)
				i := r.IntN(servers)
				running[i].kill()
				if kill%10 == 0 {
					wantWhole(t, shop)
				}
				running[i] = startServer(t, shop)
			}
			m.settled(time.Minute)
			m.wantAll()
			for _, s := range running {
				s.stop(t)
			}
		})
	}
}
