//go:build unix

package watch

import (
	"errors"
	"os"
	"syscall"
	"testing"
)

// A worker that somebody stopped does not hear that its work is over: it is ended with
// the others, and does not hold up the end of the service.
func TestStoppedWorkerIsEnded(t *testing.T) {
	p := NewIsolated(Isolation{
		Command: []string{os.Args[0]}, Env: append(os.Environ(), childWorker+"=1"),
		Init: []byte("settings"), Memory: 256 << 20, Log: testService(t, t.TempDir(), fake{}).log,
	})
	if _, err := p.Read(t.Context(), Reading{Path: "good"}); err != nil {
		t.Fatal(err)
	}
	if len(p.idle) != 1 {
		t.Fatalf("%d idle workers, want 1", len(p.idle))
	}
	process := p.idle[0].cmd.Process
	if err := process.Signal(syscall.SIGSTOP); err != nil {
		t.Fatal(err)
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	if err := process.Signal(syscall.Signal(0)); !errors.Is(err, os.ErrProcessDone) {
		t.Errorf("the worker lives on: %v", err)
	}
}
