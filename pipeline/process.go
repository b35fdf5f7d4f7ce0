// Package pipeline runs a template through every stage: read, settle the unit,
// make pieces, check, compute set-up figures, decide the verdict, and write the
// files of a report.
//
// In go a DXF and the shop's settings; out come an Outcome and, in a folder of
// the caller's, report.xlsx, clean.dxf, marked.dxf and result.json. The package
// has no view on where templates come from: the check command walks folders,
// package watch serves a shop's folder.
package pipeline

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"runtime/debug"
	"time"

	"trueup/dxfio"
	"trueup/dxfio/piece"
	"trueup/pipeline/settings"
	"trueup/report"
	"trueup/rules"
	"trueup/rules/shop"
	"trueup/rules/support"
)

// Input is one template to process.
type Input struct {
	File     string    // as named in messages and in the result document
	Job      string    // path of the job, slash separated, without .dxf; may be empty
	Revision int       // 0 outside a shop's folders
	Drawing  io.Reader // the DXF
	Size     int64     // bytes of the file when known, 0 otherwise
	Carried  []Carried // decisions accepted in earlier revisions
	Released string    // the revision of this job that was released, "" when none was
}

// Carried is a decision of an earlier revision; it holds for the flag with the
// same key, or with a key next to it (see rules.SameKey), but not for one of another
// piece while its own is still there by name.
type Carried struct {
	Key      string
	Decision report.Decision
	Piece    string // that the flag was about
}

// Outcome is what became of a template. Result is never nil; the others are nil
// when the template failed before them.
type Outcome struct {
	Result   *report.Result
	Template *piece.Template
	Setups   map[string]*shop.Setup
	drawing  *dxfio.Drawing // local millimetres
	shop     *shopRun
}

// Process runs one template through every stage. It never panics and always
// gives an Outcome: a bad drawing, a fault in a stage, the job time of the
// settings and a cancelled ctx all end as the verdict failed with one sentence.
func Process(ctx context.Context, in Input, s *settings.Settings) *Outcome {
	return newShopRun(s).process(ctx, in)
}

func (run *shopRun) process(ctx context.Context, in Input) *Outcome {
	s := run.settings
	digest := &tally{hash: sha256.New()}
	source := func() report.Source {
		return report.Source{File: in.File, SHA256: hex.EncodeToString(digest.hash.Sum(nil)), Bytes: digest.bytes}
	}
	limit := time.Duration(s.JobTime * float64(time.Second))
	work, cancel := context.WithTimeoutCause(ctx, limit, fmt.Errorf(
		"%s: not done after %v; simplify the drawing, or raise job_time in the settings", in.File, limit))
	defer cancel()

	done := make(chan *Outcome, 1)
	go func() {
		defer func() {
			if r := recover(); r != nil {
				slog.Error("a stage panicked", "file", in.File, "panic", r, "stack", string(debug.Stack()))
				err := fmt.Errorf("%s: a fault in trueup stopped this template (%v); keep the file and report it", in.File, r)
				done <- &Outcome{Result: report.FailedResult(source(), in.Job, in.Revision, err), shop: run}
			}
		}()
		out, err := run.stages(work, in, digest, source)
		if err != nil {
			out = &Outcome{Result: report.FailedResult(source(), in.Job, in.Revision, err), shop: run}
		}
		done <- out
	}()
	select {
	case out := <-done:
		return out
	case <-work.Done():
		// Every stage up to the result looks at the context in its long loops and
		// ends soon; until then it runs on here, and its result is dropped.
		src := report.Source{File: in.File}
		return &Outcome{Result: report.FailedResult(src, in.Job, in.Revision, context.Cause(work)), shop: run}
	}
}

func (run *shopRun) stages(ctx context.Context, in Input, digest *tally, source func() report.Source) (*Outcome, error) {
	s := run.settings
	from := &contextReader{ctx, io.TeeReader(in.Drawing, digest)}
	assumed, _ := dxfio.ParseUnit(s.Units)
	raw, err := dxfio.Read(from, dxfio.Options{
		File: in.File, Limits: s.Reading, AreaLayer: s.Pieces.Roles.Cutting, AssumedUnit: assumed, Size: in.Size})
	if err == nil || digest.bytes < s.Reading.FileBytes {
		// The reader stops at the end mark or at a fault; the digest is of the whole file.
		if _, rest := io.Copy(io.Discard, io.LimitReader(from, s.Reading.FileBytes)); rest != nil && err == nil {
			err = fmt.Errorf("%s: %w", in.File, rest)
		}
	}
	if cause := context.Cause(ctx); cause != nil {
		return nil, cause
	}
	if err != nil {
		return nil, err
	}
	t, local, err := makeTemplate(ctx, raw, s)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", in.File, err)
	}
	if cause := context.Cause(ctx); cause != nil {
		return nil, cause
	}
	withoutSpecks(raw, t, s)
	setups := map[string]*shop.Setup{}
	for i := range t.Pieces {
		if cause := context.Cause(ctx); cause != nil {
			return nil, cause
		}
		setup := shop.SetUp(&t.Pieces[i], t, &s.Shop)
		setups[t.Pieces[i].ID] = &setup
	}
	findings := rules.Run(&rules.Input{
		Template: t, Settings: &s.Rules, Shop: &s.Shop, Setups: setups, Released: in.Released, Context: ctx,
		Role: func(layer string) piece.Role { role, _ := s.Pieces.Roles.Of(layer); return role },
	})
	if cause := context.Cause(ctx); cause != nil {
		return nil, cause
	}
	result := report.Build(report.Input{
		Source: source(), Job: in.Job, Revision: in.Revision, Template: t, Findings: findings,
		Setups: setups, Shop: &s.Shop, Decisions: decisions(findings.Flags, in.Carried, t), SeamSupported: seamSupported(t, s),
	})
	if len(t.Pieces) == 0 {
		result.Error = fmt.Sprintf("%s: %s", in.File, whyNoPiece(raw, t, &s.Pieces.Roles))
	}
	return &Outcome{Result: result, Template: t, Setups: setups, drawing: local, shop: run}, nil
}

// decisions finds, for each flag, the decision that was made about it before.
// An exact key wins over a neighbouring one, and each decision serves once. Both the key
// and the measure are those that somebody looked at: a flaw that has become worse
// since, or has wandered off in small steps, is decided anew.
//
// Keys hold no name of a piece, since A and B change places when a piece is added.
// A name that somebody gave does not: what was accepted of VAN 1 is not accepted of
// its twin VAN 2, as long as there is a VAN 1.
func decisions(flags []rules.Flag, carried []Carried, t *piece.Template) map[string]report.Decision {
	given := map[string]bool{}
	for i := range t.Pieces {
		given[t.Pieces[i].ID] = !piece.Lettered(t.Pieces[i].ID)
	}
	keys, before := make([]string, len(flags)), make([]string, len(carried))
	for i := range flags {
		keys[i] = flags[i].Key
	}
	for i := range carried {
		before[i] = carried[i].Key
	}
	pairs := rules.NewPairing(len(carried), len(flags))
	pairs.Fits = func(b, n int) bool {
		f := &flags[n]
		if r, known := rules.Find(f.Rule); known && r.ReturnOnly {
			return false
		}
		if was := carried[b].Piece; was != f.Piece && given[was] {
			return false
		}
		return !rules.Worse(carried[b].Decision.Measured, f.Measured, f.Limit, f.NoLimit, f.Unit)
	}
	pairs.Equal(before, keys)
	pairs.Near(before, keys)
	out := map[string]report.Decision{}
	for n, b := range pairs.Was {
		if b >= 0 {
			out[keys[n]] = carried[b].Decision
		}
	}
	return out
}

// seamSupported tells report which seams have support under them.
func seamSupported(t *piece.Template, s *settings.Settings) func(string) (bool, bool) {
	return func(id string) (bool, bool) {
		for i := range t.Seams {
			if t.Seams[i].ID == id && s.Shop.Saw.Fold(t, &t.Seams[i]) {
				return false, false // what carries it is not in the plan
			}
			if t.Seams[i].ID == id {
				return support.SeamSupported(t, &t.Seams[i], s.Rules.Support.Bearing)
			}
		}
		return false, false
	}
}

// tally hashes and counts the bytes of a file as they pass.
type tally struct {
	hash interface {
		io.Writer
		Sum([]byte) []byte
	}
	bytes int64
}

func (t *tally) Write(p []byte) (int, error) {
	t.bytes += int64(len(p))
	return t.hash.Write(p)
}

// contextReader stops reading when its context is done.
type contextReader struct {
	ctx context.Context
	r   io.Reader
}

func (r *contextReader) Read(p []byte) (int, error) {
	if r.ctx.Err() != nil {
		return 0, context.Cause(r.ctx)
	}
	n, err := r.r.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		err = fmt.Errorf("reading stopped: %w; copy the file again", err)
	}
	return n, err
}
