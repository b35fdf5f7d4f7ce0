package watch

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"trueup/report"
)

// childWorker makes the test binary a worker.
const childWorker = "TRUEUP_TEST_WORKER"

// workChild is a worker whose behaviour the job's name decides.
func workChild() int {
	err := ServeWork(os.Stdin, os.Stdout, func(init []byte) (Processor, error) {
		if string(init) == "bad" {
			return nil, errors.New("bad settings")
		}
		return childReader{ProcessorFunc(func(ctx context.Context, in Work) (Outcome, error) {
			return misbehave(in, string(init))
		})}, nil
	})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

// childReader reads as badly as the path says.
type childReader struct{ ProcessorFunc }

func (childReader) Read(_ context.Context, in Reading) ([]byte, error) {
	o, err := misbehave(Work{Job: in.Path}, "")
	return []byte(o.Verdict), err
}

// A file that breaks its reader is told as that, and hurts nobody else.
func TestIsolatedReading(t *testing.T) {
	p := NewIsolated(Isolation{
		Command: []string{os.Args[0]}, Env: append(os.Environ(), childWorker+"=1"),
		Init: []byte("settings"), Memory: 256 << 20, Log: testService(t, t.TempDir(), fake{}).log,
	})
	defer p.Close()
	for _, tc := range []struct {
		path, name, want string
		passes           bool
	}{
		{"good", "", "", false},
		{"memory", "trueup.toml", "trueup.toml: takes more than 256 MB to read", false},
		{"memory", "", "takes more than 256 MB to read", false},
		{"panic", "", "cannot be read: it breaks the program", false},
		{"stack", "", "cannot be read: it breaks the program", false},
		{"killed", "", "worker ended by", true},
		{"full", "", "no space left", true},
		{"error", "", "no such font", false},
		{"endless", "a", "a: takes too long to read", false},
		{"good", "", "", false},
	} {
		t.Run(tc.path, func(t *testing.T) {
			ctx := t.Context()
			if tc.path == "endless" {
				short, cancel := context.WithTimeout(ctx, 100*time.Millisecond)
				defer cancel()
				ctx = short
			}
			data, err := p.Read(ctx, Reading{Path: tc.path, Name: tc.name})
			switch {
			case tc.want == "" && (err != nil || string(data) != string(report.Ready)):
				t.Errorf("%q, %v", data, err)
			case tc.want != "" && (err == nil || !strings.HasPrefix(err.Error(), tc.want) && !strings.Contains(err.Error(), tc.want) || passes(err) != tc.passes):
				t.Errorf("error %v, want %q; passes: %v", err, tc.want, passes(err))
			}
		})
	}
}

func misbehave(in Work, init string) (Outcome, error) {
	switch in.Job {
	case "panic":
		panic("no such layer")
	case "stack":
		return Outcome{Error: fmt.Sprint(deep(1))}, nil
	case "memory":
		var held [][]byte
		for {
			b := make([]byte, 32<<20)
			for i := range b {
				b[i] = 1
			}
			held = append(held, b)
			if len(held) > 1000 {
				return Outcome{}, errors.New("there was no limit")
			}
		}
	case "endless":
		for {
			time.Sleep(time.Second)
		}
	case "killed":
		self, err := os.FindProcess(os.Getpid())
		if err == nil {
			err = self.Kill()
		}
		if err != nil {
			return Outcome{}, err
		}
		select {}
	case "full":
		return Outcome{}, fmt.Errorf("clean.dxf: %w", syscall.ENOSPC)
	case "error":
		return Outcome{}, errors.New("no such font")
	}
	return Outcome{Verdict: report.Ready, Error: init + " by " + fmt.Sprint(os.Getpid())}, nil
}

// deep calls itself until the runtime has enough of it.
func deep(n int) int {
	if n == 0 {
		return 0
	}
	return deep(n+1) + 1
}

func TestIsolated(t *testing.T) {
	p := NewIsolated(Isolation{
		Command: []string{os.Args[0]}, Env: append(os.Environ(), childWorker+"=1"),
		Init: []byte("settings"), Memory: 256 << 20, Log: testService(t, t.TempDir(), fake{}).log,
	})
	defer p.Close()
	good := func() string {
		t.Helper()
		o, err := p.Process(t.Context(), Work{Job: "good"})
		if err != nil || o.Verdict != report.Ready || !strings.HasPrefix(o.Error, "settings by ") {
			t.Fatalf("%+v, %v", o, err)
		}
		return o.Error
	}
	if first := good(); first != good() {
		t.Error("the second template was given to another worker than the first")
	}
	for _, tc := range []struct {
		job, failed, err string
		passes           bool
	}{
		{"panic", "no such layer", "", false},
		{"stack", "stack exceeds", "", false},
		{"memory", "more memory than the limit of 256 MB", "", false},
		{"killed", "", "worker ended by", false},
		{"full", "", "no space left", true},
		{"error", "", "no such font", false},
	} {
		t.Run(tc.job, func(t *testing.T) {
			o, err := p.Process(t.Context(), Work{Job: tc.job, File: "a.dxf"})
			switch {
			case tc.failed != "" && (err != nil || o.Verdict != report.Failed || !strings.Contains(o.Error, tc.failed) || !strings.HasPrefix(o.Error, "a.dxf: ")):
				t.Errorf("%+v, %v", o, err)
			case tc.err != "" && (err == nil || !strings.Contains(err.Error(), tc.err) || passes(err) != tc.passes):
				t.Errorf("%+v, %v, passes: %v", o, err, passes(err))
			}
			good()
		})
	}
	t.Run("endless", func(t *testing.T) {
		ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
		defer cancel()
		if o, err := p.Process(ctx, Work{Job: "endless"}); !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("%+v, %v", o, err)
		}
		good()
	})
}

func TestIsolatedWithoutWorkers(t *testing.T) {
	for name, o := range map[string]Isolation{
		"no program":   {Command: []string{filepath.Join(t.TempDir(), "none")}},
		"bad settings": {Command: []string{os.Args[0]}, Env: append(os.Environ(), childWorker+"=1"), Init: []byte("bad")},
	} {
		o.Log = testService(t, t.TempDir(), fake{}).log
		p := NewIsolated(o)
		if got, err := p.Process(t.Context(), Work{Job: "good"}); err == nil && got.Verdict == report.Ready {
			t.Errorf("%s: %+v", name, got)
		}
		p.Close()
	}
}
