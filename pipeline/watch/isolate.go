package watch

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"strings"
	"sync"
	"time"

	"trueup/report"
)

// Isolation says how templates are worked on in processes of their own.
type Isolation struct {
	Command []string // program and arguments of a worker: something that calls ServeWork
	Env     []string // as for exec.Cmd; nil: that of this process
	Init    []byte   // handed to every worker first, such as the settings in force
	Memory  int64    // bytes that a worker may use; 0: no limit
	Log     *slog.Logger
}

// Isolated is a Processor that has templates worked on in worker processes, so
// that whatever a drawing does to one (endless memory, a stack without end, a
// fault of the runtime) is the failure of that template only. Workers are kept
// for the next template; one that overruns its time is killed.
//
// Close it when no more work is to come.
type Isolated struct {
	o      Isolation
	mu     sync.Mutex
	idle   []*worker
	closed bool
}

// NewIsolated makes an Isolated; workers start when they are needed.
func NewIsolated(o Isolation) *Isolated {
	if o.Log == nil {
		o.Log = slog.Default()
	}
	return &Isolated{o: o}
}

// workerJobs is after how many templates a worker makes room for a fresh one.
const workerJobs = 200

// greeting is the first message to a worker.
type greeting struct {
	Init   []byte
	Memory int64
}

// errand is what a worker is asked to do: the work on a template, or a reading.
type errand struct {
	Work    Work
	Reading *Reading
}

// reply is a worker's answer to an errand.
type reply struct {
	Outcome Outcome
	Data    []byte // of a reading
	Error   string
	Passing bool // the error can pass by itself
}

// errPassing is a fault in a worker of the kind that passes.
var errPassing = errors.New("can pass by itself")

// Process hands the template to a worker.
func (p *Isolated) Process(ctx context.Context, in Work) (Outcome, error) {
	w, err := p.get()
	if err != nil {
		return Outcome{}, fmt.Errorf("worker: %w", err)
	}
	stop := context.AfterFunc(ctx, w.kill)
	answer, err := w.ask(errand{Work: in})
	if !stop() {
		w.end()
		return Outcome{}, ctx.Err()
	}
	if err != nil {
		return p.autopsy(w, in)
	}
	p.put(w)
	switch {
	case answer.Passing:
		return Outcome{}, fmt.Errorf("%w: %s", errPassing, answer.Error)
	case answer.Error != "":
		return Outcome{}, errors.New(answer.Error)
	}
	return answer.Outcome, nil
}

// autopsy tells why a worker died over a template.
func (p *Isolated) autopsy(w *worker, in Work) (Outcome, error) {
	state := w.end()
	last := w.lastWords()
	p.o.Log.Error("a worker died; the original is kept", "job", in.Job, "state", state.String(), "stderr", last)
	switch code := state.ExitCode(); {
	case code == exitMemory:
		return Outcome{Verdict: report.Failed, Error: fmt.Sprintf(
			"%s: needs more memory than the limit of %d MB; simplify the drawing, or raise the limit in %s", in.File, p.o.Memory>>20, settingsFile)}, nil
	case code == -1, last == "": // by somebody who perhaps knew nothing of the template
		return Outcome{}, fmt.Errorf("worker ended by %s", state)
	}
	reason, _, _ := strings.Cut(last, "\n")
	return Outcome{Verdict: report.Failed, Error: fmt.Sprintf(
		"%s: an internal fault stopped the work on it (%s); send the file with the service's log to whoever looks after the service", in.File, reason)}, nil
}

func (p *Isolated) get() (*worker, error) {
	p.mu.Lock()
	if n := len(p.idle); n > 0 {
		w := p.idle[n-1]
		p.idle = p.idle[:n-1]
		p.mu.Unlock()
		return w, nil
	}
	p.mu.Unlock()
	return p.start()
}

func (p *Isolated) put(w *worker) {
	w.jobs++
	p.mu.Lock()
	keep := !p.closed && w.jobs < workerJobs
	if keep {
		p.idle = append(p.idle, w)
	}
	p.mu.Unlock()
	if !keep {
		w.end()
	}
}

// Close ends the idle workers; those at work end after it.
func (p *Isolated) Close() error {
	p.mu.Lock()
	idle := p.idle
	p.idle, p.closed = nil, true
	p.mu.Unlock()
	var ends sync.WaitGroup
	for _, w := range idle {
		ends.Go(func() { w.end() })
	}
	ends.Wait()
	return nil
}

// worker is a worker process.
type worker struct {
	cmd    *exec.Cmd
	in     io.WriteCloser
	out    *json.Decoder
	stderr words
	jobs   int
}

func (p *Isolated) start() (*worker, error) {
	w := &worker{cmd: exec.Command(p.o.Command[0], p.o.Command[1:]...)}
	env := p.o.Env
	if env == nil {
		env = os.Environ()
	}
	for _, e := range env {
		if !strings.HasPrefix(e, "NOTIFY_SOCKET=") { // systemd hears from the service only
			w.cmd.Env = append(w.cmd.Env, e)
		}
	}
	w.cmd.Stderr = &w.stderr
	var err error
	if w.in, err = w.cmd.StdinPipe(); err != nil {
		return nil, err
	}
	out, err := w.cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	w.out = json.NewDecoder(bufio.NewReader(out))
	if err := w.cmd.Start(); err != nil {
		return nil, err
	}
	if err := json.NewEncoder(w.in).Encode(greeting{p.o.Init, p.o.Memory}); err != nil {
		w.kill()
		w.end()
		return nil, errors.Join(err, errors.New(w.lastWords()))
	}
	return w, nil
}

// ask hands an errand over and waits for the answer.
func (w *worker) ask(in errand) (reply, error) {
	if err := json.NewEncoder(w.in).Encode(in); err != nil {
		return reply{}, err
	}
	var answer reply
	err := w.out.Decode(&answer)
	return answer, err
}

func (w *worker) kill() { w.cmd.Process.Kill() }

// endGrace is what a worker has to end by itself once nothing more is to come. It has
// nothing to save; one that somebody stopped would stay for good.
const endGrace = time.Second

// end closes a worker's input, on which it ends, and waits for that.
func (w *worker) end() *os.ProcessState {
	w.in.Close()
	late := time.AfterFunc(endGrace, w.kill)
	defer late.Stop()
	w.cmd.Wait() // its error is told by the state
	return w.cmd.ProcessState
}

func (w *worker) lastWords() string { return w.stderr.String() }

// words keeps the first bytes that a worker writes to its standard error: there
// the runtime says what was wrong, before the stacks.
type words struct {
	mu sync.Mutex
	b  bytes.Buffer
}

// wordsKept of a worker's standard error are kept.
const wordsKept = 8 << 10

func (t *words) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if room := wordsKept - t.b.Len(); room > 0 {
		t.b.Write(p[:min(room, len(p))])
	}
	return len(p), nil
}

func (t *words) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.b.String()
}
