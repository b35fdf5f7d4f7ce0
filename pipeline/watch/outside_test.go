//go:build outside

package watch

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// These tests take long, or need a file system of their own. The scripts
// testdata/outside/service_*.sh run them.

var flagSoak = flag.Duration("soak", 30*time.Minute, "how long the service is soaked")

// TestSoak drops good, bad and hostile files for a long time, archives what is
// published, and looks whether memory, handles and goroutines stay flat.
func TestSoak(t *testing.T) {
	const metrics = "127.0.0.1:19117"
	t.Setenv("TRUEUP_TEST_METRICS", metrics)
	r := seeded(t)
	shop := realShop(t)
	archive := shop + " archive"
	t.Cleanup(func() { os.RemoveAll(archive) })
	s := startServer(t, shop)
	brought := map[string]bool{}
	drop := func(n int) {
		words := fmt.Sprintf("%d%s", n, strings.Repeat(" stone", r.IntN(3000)))
		content := dxf(words)
		switch r.IntN(12) {
		case 0:
			content = dxf("panic " + words)
		case 1:
			content = dxf("failed " + words)
		case 2:
			content = words // never ends
		case 3:
			content = fmt.Sprintf("%d\x00\xff%s", n, strings.Repeat("\x00", r.IntN(100_000)))
		case 4:
			content = dxf("review " + words)
		case 5:
			if n%20 == 0 {
				content = dxf("slow " + words)
			}
		}
		brought[content] = true
		put(t, shop, fmt.Sprintf("drop/day %d/top %d.dxf", n/100, n), content)
		switch r.IntN(30) {
		case 0:
			os.Symlink("/etc/passwd", filepath.Join(shop, fmt.Sprintf("drop/link %d.dxf", n)))
		case 1:
			put(t, shop, fmt.Sprintf("drop/photo %d.jpg", n), "x")
		case 2:
			os.MkdirAll(filepath.Join(shop, fmt.Sprintf("drop/folder %d.dxf/deeper", n)), 0o777)
		case 3: // yesterday's leftovers are tidied up
			for _, e := range must(os.ReadDir(filepath.Join(shop, dropDir))) {
				if strings.HasPrefix(e.Name(), "link") || strings.HasPrefix(e.Name(), "photo") || strings.HasPrefix(e.Name(), "folder") {
					os.RemoveAll(filepath.Join(shop, dropDir, e.Name()))
				}
			}
		}
	}
	var samples []sample
	start := time.Now()
	sampled := start
	for n := 0; time.Since(start) < *flagSoak; n++ {
		drop(n)
		time.Sleep(time.Duration(r.IntN(300)) * time.Millisecond)
		if time.Since(sampled) > max(*flagSoak/60, 2*time.Second) {
			sampled = time.Now()
			move(t, shop, archive)
			v := takeSample(t, s.cmd.Process.Pid, metrics)
			samples = append(samples, v)
			t.Logf("%6s  %5d dropped  memory %6d kB  handles %3d  goroutines %3d", time.Since(start).Round(time.Second), n+1, v.memory, v.handles, v.goroutines)
		}
	}
	for deadline := time.Now().Add(2 * time.Minute); len(templatesIn(t, shop)) > 0; time.Sleep(time.Second) {
		if time.Now().After(deadline) {
			t.Fatalf("left: %v", templatesIn(t, shop))
		}
	}
	wantWhole(t, shop)
	move(t, shop, archive)
	found := map[string]int{}
	for _, name := range tree(t, archive, ".") {
		if path.Base(name) == originalFile {
			found[get(t, archive, name)]++
		}
	}
	for content := range brought {
		if found[content] != 1 {
			t.Errorf("a content of %d bytes stands %d times", len(content), found[content])
		}
	}
	t.Logf("%d contents, each exactly once", len(brought))
	judgeSamples(t, samples)
	s.stop(t)
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// templatesIn are the templates still in drop/ or in work.
func templatesIn(t *testing.T, shop string) (list []string) {
	for place := range originals(t, shop) {
		info, err := os.Lstat(filepath.Join(shop, place))
		if err == nil && info.Mode().IsRegular() && (strings.HasPrefix(place, dropDir) || strings.HasPrefix(place, workDir)) {
			list = append(list, place)
		}
	}
	return list
}

// move archives all published folders, as a shop does at the end of the year.
func move(t *testing.T, shop, archive string) {
	t.Helper()
	for _, state := range states() {
		for _, name := range tree(t, shop, state) {
			if path.Base(name) != cardFile {
				continue
			}
			dir := path.Dir(name)
			to := filepath.Join(archive, dir)
			if err := errors.Join(os.MkdirAll(filepath.Dir(to), 0o777), os.Rename(filepath.Join(shop, dir), to)); err != nil {
				t.Fatal(err)
			}
		}
	}
}

type sample struct{ memory, handles, goroutines int }

func takeSample(t *testing.T, pid int, metrics string) (v sample) {
	t.Helper()
	fmt.Sscan(procField(pid, "VmRSS"), &v.memory)
	fds, err := os.ReadDir(fmt.Sprintf("/proc/%d/fd", pid))
	if err != nil {
		t.Fatalf("the service has ended: %v", err)
	}
	v.handles = len(fds)
	r, err := http.Get("http://" + metrics + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(body)) {
		fmt.Sscanf(line, "go_goroutines %d", &v.goroutines)
	}
	return v
}

// judgeSamples compares the last third with the middle one: what grows without
// end grows between them.
func judgeSamples(t *testing.T, samples []sample) {
	t.Helper()
	third := len(samples) / 3
	if third < 3 {
		t.Fatalf("only %d samples", len(samples))
	}
	mean := func(list []sample, of func(sample) int) float64 {
		sum := 0
		for _, v := range list {
			sum += of(v)
		}
		return float64(sum) / float64(len(list))
	}
	for _, q := range []struct {
		name  string
		of    func(sample) int
		share float64
		slack float64
	}{
		{"memory, kB", func(v sample) int { return v.memory }, 0.15, 4096},
		{"handles", func(v sample) int { return v.handles }, 0.1, 10},
		{"goroutines", func(v sample) int { return v.goroutines }, 0.1, 10},
	} {
		middle, last := mean(samples[third:2*third], q.of), mean(samples[2*third:], q.of)
		t.Logf("%s: middle third %.0f, last third %.0f", q.name, middle, last)
		if last > middle*(1+q.share)+q.slack {
			t.Errorf("%s grew from %.0f to %.0f", q.name, middle, last)
		}
	}
}

// TestFullDisk fills the shop's file system to the brim while templates come in,
// and frees it. -shop names a small file system, such as a tmpfs of 16 MB.
func TestFullDisk(t *testing.T) {
	shop := realShop(t)
	s := startServer(t, shop)
	m := newTemplater(t, rand.New(rand.NewPCG(1, 1)), shop)
	for range 20 {
		m.drop()
	}
	ballast := filepath.Join(filepath.Dir(shop), "ballast")
	w, err := os.Create(ballast)
	if err != nil {
		t.Fatal(err)
	}
	block := make([]byte, 64<<10)
	written := 0
	for err == nil && written < 1<<30 {
		var n int
		n, err = w.Write(block)
		written += n
	}
	w.Close()
	if !errors.Is(err, syscall.ENOSPC) {
		t.Fatalf("after %d bytes: %v, want a full file system; name a small one with -shop", written, err)
	}
	t.Logf("full after %d bytes of ballast", written)
	time.Sleep(5 * time.Second)
	wantWhole(t, shop)
	left := len(templatesIn(t, shop))
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	for range 20 {
		m.drop()
	}
	m.settled(time.Minute)
	m.wantAll()
	t.Logf("%d templates waited while it was full", left)
	s.stop(t)
}
