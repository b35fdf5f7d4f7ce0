package pipeline

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"time"

	"trueup/dxfio"
	"trueup/pipeline/safefs"
	"trueup/pipeline/settings"
	"trueup/pipeline/watch"
	"trueup/report"
)

// Processor returns what the service does with one template: the same stages as
// the check command, with the revision before it, the decisions carried over
// and the released revision taken into account.
//
// It keeps from one template to the next what a batch keeps: type, styles, compressors.
func Processor(s *settings.Settings) watch.Processor {
	run := newShopRun(s)
	return watch.ProcessorFunc(func(ctx context.Context, in watch.Work) (watch.Outcome, error) {
		o, err := run.serve(ctx, in)
		if err != nil {
			return watch.Outcome{}, err
		}
		n := report.Counts(o.Result)
		return watch.Outcome{Verdict: o.Result.Verdict, Error: o.Result.Error, Counts: watch.Counts{
			Pieces: len(o.Result.Pieces), Stops: n.Stop, Warnings: n.Warn, Notes: n.Note,
			Repairs: len(o.Result.Repairs), Unchecked: len(o.Result.Unchecked),
		}}, nil
	})
}

func (run *shopRun) serve(ctx context.Context, in watch.Work) (*Outcome, error) {
	earlier, err := readResult(in.Earlier)
	if err != nil {
		return nil, err
	}
	released, err := readResult(in.Released)
	if err != nil {
		return nil, err
	}
	f, _, err := safefs.OpenPath(in.Original)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	input := Input{File: in.File, Job: in.Job, Revision: in.Revision, Drawing: f, Size: in.Bytes}
	for _, c := range in.Carried {
		input.Carried = append(input.Carried, Carried{c.Key, c.Decision, c.Piece})
	}
	if released != nil {
		input.Released = fmt.Sprintf("revision %d", released.Revision)
	}
	o := run.process(ctx, input)
	if ctx.Err() != nil {
		return nil, context.Cause(ctx) // told to stop: the template is given back, not failed
	}
	return o, o.write(in.OutDir, earlier, nil, false)
}

// resultBytes is more than any result has.
const resultBytes = 256 << 20

// readResult reads a result document; no path or no file gives nil.
func readResult(path string) (*report.Result, error) {
	if path == "" {
		return nil, nil
	}
	file, info, err := safefs.OpenPath(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer file.Close()
	data, err := safefs.ReadAll(file, info, resultBytes)
	if err != nil {
		return nil, err
	}
	var r report.Result
	if err := json.Unmarshal(data, &r); err != nil {
		return nil, fmt.Errorf("%s: %w; put the file back as it was published", path, err)
	}
	return &r, nil
}

// SettingsFile is the name of a shop's settings in its folder.
const SettingsFile = "trueup.toml"

// ShopSettings reads SHOP/trueup.toml; without one the built-in settings hold.
func ShopSettings(shop string) (settings.Settings, error) {
	dir, err := safefs.OpenDir(shop)
	if errors.Is(err, fs.ErrNotExist) {
		return settings.Default(), nil
	}
	if err != nil {
		return settings.Settings{}, err
	}
	defer dir.Close()
	if _, err := dir.Lstat(SettingsFile); errors.Is(err, fs.ErrNotExist) {
		return settings.Default(), nil
	}
	return settings.LoadFrom(dir, SettingsFile, filepath.Join(shop, SettingsFile))
}

// fingerprint tells settings apart that can give another result or report; how
// the service runs does not. It is "", not known, of settings that cannot be written.
func fingerprint(s *settings.Settings) string {
	relevant := *s
	relevant.Watch = watch.Settings{}
	text, err := json.Marshal(relevant)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

// WatchSettings returns the service's settings with the one job time that holds
// for every command.
func WatchSettings(s *settings.Settings) watch.Settings {
	w := s.Watch
	w.JobTime = time.Duration(s.JobTime * float64(time.Second))
	w.Made = fingerprint(s)
	if w.MostBytes = s.Reading.FileBytes; w.MostBytes <= 0 {
		w.MostBytes = dxfio.DefaultLimits().FileBytes
	}
	return w
}
