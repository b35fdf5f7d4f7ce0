package watch

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strconv"
	"strings"
	"time"

	"trueup/pipeline/safefs"
	"trueup/report"
)

// Reading is a file that other people write, to be read by a worker: a workbook or
// settings of some kilobytes can be made to take the memory of a whole machine.
type Reading struct {
	Kind string // ReadingDecisions or ReadingSettings
	Path string // to open
	Name string // put before what is said of a file that breaks its reader; "" where the caller names it
}

// The kinds of Reading.
const (
	ReadingDecisions = "decisions" // of a report's workbook; the answer is JSON of report.Decisions
	ReadingSettings  = "settings"  // a settings file; the answer is the same settings as TOML
	// ReadingShopSettings is ReadingSettings of the shop at Path; without a file the built-in ones.
	ReadingShopSettings = "shop settings"
)

// Reader is a Processor that reads files too. The answer is bytes that the service can
// take in without harm. An error is the file's fault.
type Reader interface {
	Read(ctx context.Context, in Reading) ([]byte, error)
}

// Bounds of a reading. Common practice, no source.
const (
	readingTime   = 30 * time.Second
	readingAnswer = 32 << 20 // most bytes of an answer
)

// readDecisions reads the decisions in a workbook of the office's, from a copy in the
// service's own folder, in a worker where the processor has such.
func (s *Service) readDecisions(f *folder, name string) (report.Decisions, error) {
	file, err := f.open(name)
	if err != nil {
		return report.Decisions{}, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return report.Decisions{}, err
	}
	if info.Size() > mostWorkbook {
		return report.Decisions{}, fmt.Errorf("is larger than %d MB, which no report is; put the report back as it was published", mostWorkbook>>20)
	}
	reader, ok := s.processor().(Reader)
	if !ok {
		return report.ReadDecisions(file, info.Size())
	}
	copied := name
	if !strings.HasPrefix(name, workDir+"/") { // not a copy already
		copied = path.Join(scratchDir, s.name, "read-"+strconv.FormatUint(s.count.Add(1), 10)+".xlsx")
		defer f.remove(copied)
		if err := f.copyFrom(file, copied, mostWorkbook); err != nil {
			return report.Decisions{}, err
		}
	}
	ctx, cancel := context.WithTimeout(context.Background(), readingTime)
	defer cancel()
	data, err := reader.Read(ctx, Reading{Kind: ReadingDecisions, Path: f.abs(copied)})
	if err != nil {
		return report.Decisions{}, err
	}
	var d report.Decisions
	return d, json.Unmarshal(data, &d)
}

// copyFrom writes a new file with what is left in r, at most that many bytes.
func (f *folder) copyFrom(r io.Reader, name string, most int64) error {
	if err := f.ask("write", name); err != nil {
		return err
	}
	w, err := f.root.Create(name, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(w, io.LimitReader(r, most))
	return errors.Join(err, w.Close())
}

// ReadDecisionsFile answers a Reading of the kind ReadingDecisions, in a worker.
func ReadDecisionsFile(name string) ([]byte, error) {
	file, info, err := safefs.OpenPath(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	d, err := report.ReadDecisions(file, info.Size())
	if errors.Is(err, fs.ErrNotExist) { // of a part that the workbook lacks: it will not come
		return nil, errors.New(err.Error())
	}
	if err != nil {
		return nil, err
	}
	return json.Marshal(d)
}

// Read hands a file to a worker to be read. A worker that runs out of memory or time
// over it is ended; that is the file's fault.
func (p *Isolated) Read(ctx context.Context, in Reading) ([]byte, error) {
	fault := func(format string, a ...any) error {
		said := fmt.Sprintf(format, a...)
		if in.Name != "" {
			said = in.Name + ": " + said
		}
		return errors.New(said)
	}
	w, err := p.get()
	if err != nil {
		return nil, fmt.Errorf("worker: %w", errors.Join(errPassing, err))
	}
	stop := context.AfterFunc(ctx, w.kill)
	answer, err := w.ask(errand{Reading: &in})
	if !stop() {
		w.end()
		return nil, fault("takes too long to read; put the file back as it was")
	}
	if err != nil {
		state := w.end()
		p.o.Log.Error("a worker died while it read a file", "file", in.Path, "state", state.String(), "stderr", w.lastWords())
		if state.ExitCode() == exitMemory {
			return nil, fault("takes more than %d MB to read; put the file back as it was", p.o.Memory>>20)
		}
		if state.ExitCode() == -1 || w.lastWords() == "" {
			return nil, fmt.Errorf("%w: worker ended by %s", errPassing, state)
		}
		return nil, fault("cannot be read: it breaks the program that reads it; put the file back as it was, and send it to whoever looks after the service")
	}
	switch {
	case answer.Error != "":
		w.end() // what a bad file has left in its memory goes with it
		if answer.Passing {
			return nil, fmt.Errorf("%w: %s", errPassing, answer.Error)
		}
		return nil, errors.New(answer.Error)
	case len(answer.Data) > readingAnswer:
		w.end()
		return nil, fault("gives more than %d MB of answer; put the file back as it was", readingAnswer>>20)
	}
	p.put(w)
	return answer.Data, nil
}
