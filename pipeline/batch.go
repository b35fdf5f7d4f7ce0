package pipeline

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"trueup/pipeline/safefs"
	"trueup/pipeline/settings"
	"trueup/report"
)

// Batch checks the items with the given number of workers and hands each
// Outcome to done in the order of the items, from one goroutine. When out is not
// empty, each report is written to out/JOB. At most a few outcomes are held at
// once, however many items there are. A cancelled ctx ends the batch with its
// cause after the items in work; an error of done ends it too.
func Batch(ctx context.Context, items []Item, workers int, out string, s *settings.Settings, done func(Item, *Outcome) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	type slot struct {
		item   Item
		result chan *Outcome
	}
	// The queue keeps the order; its length bounds what waits for a slow item.
	run := newShopRun(s)
	run.occupied = isTemplateOf(items)
	queue := make(chan slot, 2*workers)
	free := make(chan struct{}, workers)
	go func() {
		defer close(queue)
		for _, it := range items {
			sl := slot{it, make(chan *Outcome, 1)}
			select {
			case <-ctx.Done():
				return
			case free <- struct{}{}:
			}
			go func() {
				sl.result <- run.checkFile(ctx, it, out)
				<-free
			}()
			select {
			case <-ctx.Done():
				return
			case queue <- sl:
			}
		}
	}()
	for sl := range queue {
		if err := done(sl.item, <-sl.result); err != nil {
			cancel(err)
			return err
		}
	}
	return context.Cause(ctx)
}

// checkFile processes one file and, when out is not empty, writes its report to
// out/JOB. Whatever goes wrong is the Outcome's verdict failed.
func (run *shopRun) checkFile(ctx context.Context, it Item, out string) *Outcome {
	o := run.open(ctx, it)
	if out == "" {
		return o
	}
	dir := filepath.Join(out, filepath.FromSlash(it.Job))
	err := os.MkdirAll(dir, 0o755)
	if err == nil {
		err = run.occupied(dir)
	}
	if err == nil {
		err = o.Write(dir, nil, nil)
	}
	if err != nil {
		err = plainly(err)
		err = fmt.Errorf("%s: the report cannot be written: %w; free the place or choose another folder with --out", it.File, err)
		return &Outcome{Result: report.FailedResult(o.Result.Source, it.Job, 0, err), shop: run}
	}
	return o
}

func (run *shopRun) open(ctx context.Context, it Item) *Outcome {
	fail := func(err error) *Outcome {
		return &Outcome{Result: report.FailedResult(report.Source{File: it.File}, it.Job, 0, err), shop: run}
	}
	if it.Fault != nil {
		return fail(it.Fault)
	}
	f, info, err := safefs.OpenPath(it.Path)
	if errors.Is(err, safefs.ErrNotFile) {
		return fail(fmt.Errorf("%s: is %w; name a drawing", it.File, notFile(err)))
	}
	if err != nil {
		var pe *fs.PathError
		if errors.As(err, &pe) {
			err = pe.Err // the message names the file once, as the caller knows it
		}
		return fail(fmt.Errorf("%s: cannot be opened: %w; check that it is there and may be read", it.File, err))
	}
	defer f.Close()
	return run.process(ctx, Input{File: it.File, Job: it.Job, Drawing: f, Size: info.Size()})
}

// notFile says what stands where a file was named, without the call and the path.
func notFile(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

// plainly says what a call of the system found, without the call and the
// temporary name that it was made with: the place is named by what wraps it.
func plainly(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &link) && strings.HasPrefix(filepath.Base(link.New), temporaryMark):
		return fmt.Errorf("%s: %w: the earlier report stays; close the file in other programs", link.Old, link.Err)
	case errors.As(err, &link):
		return fmt.Errorf("%s: %w", link.New, link.Err)
	case errors.As(err, &path):
		place := path.Path
		if strings.HasPrefix(filepath.Base(place), temporaryMark) {
			place = filepath.Dir(place)
		}
		return fmt.Errorf("%s: %w", place, path.Err)
	}
	return err
}
