package watch

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

var (
	flagMany    = flag.Int("many", 150, "templates dropped at once")
	flagLatency = flag.Int("latency", 5, "templates dropped one after the other on an idle service")
)

// TestManyAtOnce drops a folder with many templates in one rename.
func TestManyAtOnce(t *testing.T) {
	shop := realShop(t)
	batch := filepath.Join(filepath.Dir(shop), filepath.Base(shop)+" batch")
	t.Cleanup(func() { os.RemoveAll(batch) })
	for i := range *flagMany {
		put(t, batch, fmt.Sprintf("%02d/top %d.dxf", i%50, i), dxf(fmt.Sprint(i, strings.Repeat(" stone", 3000))))
	}
	s := startServer(t, shop)
	start := time.Now()
	if err := os.Rename(batch, filepath.Join(shop, dropDir, "batch")); err != nil {
		t.Fatal(err)
	}
	m := newTemplater(t, nil, shop)
	m.settled(time.Minute)
	took := time.Since(start)
	got := originals(t, shop)
	if len(got) != *flagMany {
		t.Errorf("%d originals, want %d", len(got), *flagMany)
	}
	contents := map[string]bool{}
	for place, content := range got {
		contents[content] = true
		if !strings.HasPrefix(place, readyDir+"/batch/") || !strings.HasSuffix(place, "/1/"+originalFile) {
			t.Errorf("an original in %s", place)
		}
	}
	if len(contents) != *flagMany {
		t.Errorf("%d contents, want %d", len(contents), *flagMany)
	}
	wantWhole(t, shop)
	t.Logf("%d templates in %s, %.0f a second; peak memory %s", *flagMany, took.Round(time.Millisecond),
		float64(*flagMany)/took.Seconds(), procField(s.cmd.Process.Pid, "VmHWM"))
	s.stop(t)
}

// TestLatency measures from the rename into drop/ to the published folder.
func TestLatency(t *testing.T) {
	shop := realShop(t)
	s := startServer(t, shop)
	var times []time.Duration
	time.Sleep(time.Second) // the start is not measured
	for i := range *flagLatency {
		part := filepath.Join(shop, fmt.Sprintf("part%d", i))
		if err := os.WriteFile(part, []byte(dxf(fmt.Sprint(i))), 0o666); err != nil {
			t.Fatal(err)
		}
		start := time.Now()
		if err := os.Rename(part, filepath.Join(shop, dropDir, fmt.Sprintf("top %d.dxf", i))); err != nil {
			t.Fatal(err)
		}
		want := filepath.Join(shop, readyDir, fmt.Sprintf("top %d", i), "1", resultFile)
		for _, err := os.Stat(want); err != nil; _, err = os.Stat(want) {
			if !errors.Is(err, fs.ErrNotExist) {
				t.Fatal(err)
			}
			if time.Since(start) > time.Minute {
				t.Fatalf("%s does not come", want)
			}
			time.Sleep(200 * time.Microsecond)
		}
		times = append(times, time.Since(start)-childSettle)
	}
	slices.Sort(times)
	t.Logf("from rename to published, settle time apart: median %s, p99 %s, most %s",
		times[len(times)/2], times[len(times)*99/100], times[len(times)-1])
	s.stop(t)
}

// procField is a field of a process's status, as Linux gives it.
func procField(pid int, field string) string {
	data, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/status")
	if err != nil {
		return "unknown"
	}
	for line := range strings.Lines(string(data)) {
		if name, value, ok := strings.Cut(line, ":"); ok && name == field {
			return strings.TrimSpace(value)
		}
	}
	return "unknown"
}
