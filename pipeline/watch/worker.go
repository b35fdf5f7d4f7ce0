package watch

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"runtime/metrics"
	"time"
)

// exitMemory is the exit code of a worker that reached its memory limit.
const exitMemory = 86

// ServeWork is the life of a worker process of Isolated: it reads templates from
// r, has them worked on, and answers to w, until r ends. Nothing else may write to w.
// prepare makes the processor from Isolation.Init.
//
// When the memory limit is passed, or r ends in the middle of work because the
// service is gone, the process exits at once.
func ServeWork(r io.Reader, w io.Writer, prepare func(init []byte) (Processor, error)) error {
	in := json.NewDecoder(r)
	var hello greeting
	if err := in.Decode(&hello); err != nil {
		if errors.Is(err, io.EOF) {
			return nil
		}
		return fmt.Errorf("worker: %w", err)
	}
	p, err := prepare(hello.Init)
	if err != nil {
		return fmt.Errorf("worker: %w", err)
	}
	if hello.Memory > 0 {
		debug.SetMemoryLimit(hello.Memory)
		debug.SetGCPercent(workerGC)
		debug.SetMaxStack(int(hello.Memory / stackShare)) // a stack without end ends as what it is
		go watchMemory(hello.Memory)
	}
	works := make(chan errand)
	busy := make(chan struct{}, 1)
	go func() {
		defer close(works)
		for {
			var work errand
			if err := in.Decode(&work); err != nil {
				if len(busy) > 0 {
					os.Exit(1) // nobody waits for the answer any more
				}
				return
			}
			busy <- struct{}{}
			works <- work
		}
	}()
	out := json.NewEncoder(w)
	for work := range works {
		answer := answerTo(p, work)
		if err := out.Encode(answer); err != nil {
			return fmt.Errorf("worker: %w", err)
		}
		<-busy
	}
	return nil
}

// answerTo does one errand.
func answerTo(p Processor, in errand) reply {
	var answer reply
	var err error
	if in.Reading == nil {
		answer.Outcome, err = p.Process(context.Background(), in.Work)
	} else if r, ok := p.(Reader); ok {
		answer.Data, err = r.Read(context.Background(), *in.Reading)
	} else {
		err = errors.New("this worker reads no files")
	}
	answer.Error, answer.Passing = text(err), err != nil && passes(err)
	return answer
}

// workerGC lets a worker's heap grow to five times what lives before it is cleared: what
// lives is small, so that the default spends a fifth of the time on clearing. The limit
// on memory holds all the same.
const workerGC = 400

// stackShare is the part of the memory limit that one stack may grow to.
const stackShare = 4

// memoryGlance is how often a worker looks at its memory: between two glances
// it can take some hundred megabytes more than it may.
const memoryGlance = 20 * time.Millisecond

// watchMemory ends the process when it holds more memory than the limit.
func watchMemory(limit int64) {
	samples := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	for {
		metrics.Read(samples)
		if held := samples[0].Value.Uint64() - samples[1].Value.Uint64(); held > uint64(limit) {
			fmt.Fprintf(os.Stderr, "memory limit of %d bytes passed\n", limit)
			os.Exit(exitMemory)
		}
		time.Sleep(memoryGlance)
	}
}
