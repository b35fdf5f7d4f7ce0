package watch

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"trueup/report"
)

// dxf is the smallest text that ends as a DXF ends. The words tell the fake
// processor what to make of it and tell contents apart.
func dxf(words string) string { return "999\n" + words + "\n  0\nEOF\n" }

// fake is a processor whose outcome the drawing's words decide: "review",
// "failed", "panic", "slow"; anything else is ready. It writes what a real one writes.
type fake struct{ calls func(in Work) }

func (p fake) Process(ctx context.Context, in Work) (Outcome, error) {
	if p.calls != nil {
		p.calls(in)
	}
	data, err := os.ReadFile(in.Original)
	if err != nil {
		return Outcome{}, err
	}
	sum := sha256.Sum256(data)
	if got := hex.EncodeToString(sum[:]); got != in.SHA256 || int64(len(data)) != in.Bytes {
		return Outcome{}, fmt.Errorf("told of %s with %d bytes, found %s with %d", in.SHA256, in.Bytes, got, len(data))
	}
	o := Outcome{Verdict: report.Ready, Counts: Counts{Pieces: 1}}
	words := string(data)
	switch {
	case strings.Contains(words, "panic"):
		panic("words say so")
	case strings.Contains(words, "slow"):
		<-ctx.Done()
		return Outcome{}, ctx.Err()
	case strings.Contains(words, "failed"):
		return Outcome{Verdict: report.Failed, Error: in.File + ", line 2: words say so; drop another"}, nil
	case strings.Contains(words, "review"):
		o.Verdict, o.Stops = report.Review, 1
	}
	result := report.Result{Schema: report.Schema, Job: in.Job, Revision: in.Revision, Verdict: o.Verdict,
		Source: report.Source{File: in.File, SHA256: in.SHA256, Bytes: in.Bytes}}
	text, err := json.Marshal(result)
	if err != nil {
		return Outcome{}, err
	}
	for _, name := range []string{reportFile, "clean.dxf", "marked.dxf", resultFile} {
		if err := os.WriteFile(filepath.Join(in.OutDir, name), text, 0o666); err != nil {
			return Outcome{}, err
		}
	}
	return o, nil
}

// testService is a service over a shop folder without events, silent unless a test fails.
func testService(t *testing.T, shop string, p Processor) *Service {
	t.Helper()
	set := Default()
	set.Workers = 2
	set.Heartbeat = time.Minute
	set.Patience, set.JobTime = 30*time.Second, 20*time.Second
	var log bytes.Buffer
	s, err := New(shop, Options{Settings: set, Processor: p, Log: slog.New(slog.NewTextHandler(&lockedBuffer{b: &log}, nil))})
	if err != nil {
		t.Fatal(err)
	}
	s.noEvents = true
	s.writeRegister = func(w io.Writer, rows []report.RegisterRow, _ report.Settings) error {
		return json.NewEncoder(w).Encode(rows)
	}
	// A process number that no system gives: to the next service this one is dead.
	s.owner = owner{machine(), 1 << 30, nonce()}
	s.name = s.owner.String()
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("the service's log:\n%s", log.String())
		}
	})
	return s
}

func newShop(t *testing.T) string {
	t.Helper()
	shop := filepath.Join(fastDir(t), "shop")
	if err := Init(shop, "# settings\n"); err != nil {
		t.Fatal(err)
	}
	return shop
}

// fastDir is a folder for one test, in memory where the system has such a file
// system: the service syncs at every step.
func fastDir(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "trueup")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// put writes a file below the shop folder.
func put(t *testing.T, shop, name, content string) {
	t.Helper()
	full := filepath.Join(shop, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(full, []byte(content), 0o666); err != nil {
		t.Fatal(err)
	}
}

func get(t *testing.T, shop, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(shop, filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// run runs the service for a while of the bubble's time, then stops it in order.
func run(t *testing.T, s *Service, for_ time.Duration) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), for_)
	defer cancel()
	if err := s.Run(ctx); err != nil {
		t.Fatal(err)
	}
}

// tree lists the files of a shop, without what the service keeps for itself.
func tree(t *testing.T, shop string, tops ...string) []string {
	t.Helper()
	var list []string
	for _, top := range tops {
		err := filepath.WalkDir(filepath.Join(shop, top), func(p string, e fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if !e.IsDir() {
				rel, err := filepath.Rel(shop, p)
				list = append(list, filepath.ToSlash(rel))
				return err
			}
			return nil
		})
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			t.Fatal(err)
		}
	}
	slices.Sort(list)
	return list
}

// originals finds every original of a shop: templates in drop/, and original.dxf
// wherever it stands. It gives content by place.
func originals(t *testing.T, shop string) map[string]string {
	t.Helper()
	found := map[string]string{}
	// In a claim the templater's file is the original as long as it stands, and what lies
	// beside it a copy.
	claimed := func(name string) bool {
		_, err := os.Lstat(filepath.Join(shop, path.Dir(name), droppedFile))
		return err == nil
	}
	for _, name := range tree(t, shop, append(states(), dropDir, workDir)...) {
		base := path.Base(name)
		if base == originalFile && (claimed(name) || path.Base(path.Dir(name)) == releaseDir || remains(t, shop, path.Dir(name))) {
			continue
		}
		if info, err := os.Lstat(filepath.Join(shop, name)); err != nil || !info.Mode().IsRegular() {
			continue // reading a pipe would wait for ever
		}
		if base == originalFile || base == droppedFile || strings.HasPrefix(name, dropDir+"/") && kindOfName(base) == nameTemplate {
			found[name] = get(t, shop, name)
		}
	}
	return found
}

// remains tells a folder of review/ in the claim of a decision that is carried out: what
// lies in it was published as copies, and is about to go.
func remains(t *testing.T, shop, dir string) bool {
	t.Helper()
	if path.Base(dir) != takenDir {
		return false
	}
	var claimed card
	if err := json.Unmarshal([]byte(get(t, shop, path.Join(path.Dir(dir), cardFile))), &claimed); err != nil {
		return false
	}
	for _, name := range tree(t, shop, readyDir, returnedDir) {
		if path.Base(name) == cardFile && strings.Contains(get(t, shop, name), `"claim": "`+claimed.ID+`"`) {
			return true
		}
	}
	return false
}

// wantWhole checks that every published folder is whole and says the truth
// about itself, and that nothing else is in sight.
func wantWhole(t *testing.T, shop string) {
	t.Helper()
	folders := map[string][]string{}
	for _, name := range tree(t, shop, states()...) {
		folders[path.Dir(name)] = append(folders[path.Dir(name)], path.Base(name))
	}
	for dir, files := range folders {
		var c card
		if err := json.Unmarshal([]byte(get(t, shop, path.Join(dir, cardFile))), &c); err != nil {
			t.Errorf("%s: %v", dir, err)
			continue
		}
		want := []string{"clean.dxf", cardFile, "marked.dxf", originalFile, reportFile, resultFile}
		if strings.HasPrefix(dir, failedDir) {
			want = []string{cardFile, originalFile, reasonFile}
		}
		files = slices.DeleteFunc(files, func(name string) bool { return name == supersededFile || name == newerFile })
		if !slices.Equal(files, want) {
			t.Errorf("%s holds %v, want %v", dir, files, want)
			continue
		}
		original := get(t, shop, path.Join(dir, originalFile))
		sum := sha256.Sum256([]byte(original))
		if c.SHA256 != hex.EncodeToString(sum[:]) {
			t.Errorf("%s: %s is not of %s", dir, cardFile, originalFile)
		}
		if got := path.Join(strings.SplitN(dir, "/", 2)[0], c.Job, fmt.Sprint(c.Revision)); got != dir {
			t.Errorf("%s: %s says %s", dir, cardFile, got)
		}
		if strings.HasPrefix(dir, failedDir) {
			continue
		}
		var result report.Result
		if err := json.Unmarshal([]byte(get(t, shop, path.Join(dir, resultFile))), &result); err != nil {
			t.Errorf("%s: %v", dir, err)
		}
		if result.Job != c.Job || result.Revision != c.Revision || result.Source.SHA256 != c.SHA256 {
			t.Errorf("%s: the result is of %s revision %d", dir, result.Job, result.Revision)
		}
	}
}

// lockedBuffer is a log that several goroutines write.
type lockedBuffer struct {
	mu sync.Mutex
	b  *bytes.Buffer
}

func (l *lockedBuffer) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

// jsonText is a value as a JSON document.
func jsonText(t *testing.T, v any) string {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
