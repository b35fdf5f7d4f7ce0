package watch

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"

	"trueup/report"
)

// Options are what a Service needs beside its folder.
type Options struct {
	Settings  Settings
	Processor Processor
	// SettingsFile is read instead of the shop's own trueup.toml; absolute.
	SettingsFile string
	// Reload reads the settings file again after it has changed. An error
	// keeps what is in force. nil: the settings stay.
	Reload  func(file string) (Settings, Processor, error)
	Log     *slog.Logger    // nil: slog.Default
	Report  report.Settings // how the register looks; zero: report.Default
	Version string          // shown in the status
}

// Service watches one shop's folders.
type Service struct {
	shop    string // absolute
	name    string // of this server: owner.String
	owner   owner
	version string
	log     *slog.Logger
	reload  func(file string) (Settings, Processor, error)

	mu   sync.Mutex // guards the two below, which a reload replaces together
	set  Settings
	proc Processor

	look report.Settings
	// settingsAt is the settings file where that is not the shop's own.
	settingsAt string
	names      sync.Map      // job key: spelling
	named      atomic.Int64  // how many of them, about
	count      atomic.Uint64 // numbers the scratch and stage folders of this process
	running    atomic.Int64  // processors at work, abandoned ones too
	ledger     ledger
	slots      slots         // for the processor
	reviewed   chan struct{} // something may have changed in review/
	spoiled    chan struct{} // something may have happened to the register
	rightsSaid atomic.Bool   // that rights cannot be set on this share

	// For tests: faults of the file system, no events but the rescan, a light register.
	before        func(op, name string) error
	step          func(op, name string) // before every call of the system that looks a name up
	noEvents      bool
	writeRegister func(w io.Writer, rows []report.RegisterRow, look report.Settings) error
}

// New prepares a service over the shop folder, which trueup init has set up.
func New(shop string, o Options) (*Service, error) {
	if o.Processor == nil {
		return nil, errors.New("watch: no processor")
	}
	abs, err := filepath.Abs(shop)
	if err != nil {
		return nil, fmt.Errorf("shop folder %s: %w", shop, err)
	}
	if o.Log == nil {
		o.Log = slog.Default()
	}
	if o.Report == (report.Settings{}) {
		o.Report = report.Default()
	}
	me := self()
	return &Service{
		shop: abs, name: me.String(), owner: me, version: o.Version, log: o.Log, reload: o.Reload, look: o.Report, settingsAt: o.SettingsFile,
		set: o.Settings, proc: o.Processor, ledger: newLedger(), reviewed: make(chan struct{}, 1), spoiled: make(chan struct{}, 1), writeRegister: report.Register,
	}, nil
}

func (s *Service) settings() Settings {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.set
}

func (s *Service) processor() Processor {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.proc
}

func (s *Service) open() (*folder, error) {
	f, err := openFolder(s.shop, s.name, s.before)
	if err == nil {
		f.root.Step = s.step
	}
	return f, err
}

// prepare makes the folders that the service itself needs below an existing drop/.
func (s *Service) prepare() error {
	f, err := s.open()
	if err != nil {
		return err
	}
	defer f.close()
	for _, dir := range append(states(), claimsDir, scratchDir+"/"+s.name, stageDir, namesDir, serversDir) {
		err := f.makeShared(dir)
		if errors.Is(err, fs.ErrPermission) {
			return fmt.Errorf("shop folder %s: %s cannot be made: %w; give the folder and all below it to the user who serves it, or serve it as its owner", s.shop, dir, fs.ErrPermission)
		}
		if err != nil {
			return fmt.Errorf("shop folder %s: %w", s.shop, err)
		}
	}
	if err := f.ownWork(); err != nil {
		s.log.Warn("others may look into the service's own folder; give it to the service's user", "name", workDir, "error", err)
	}
	if err := s.adopt(f); err != nil {
		return fmt.Errorf("shop folder %s: %w", s.shop, err)
	}
	return nil
}

// The service ends within endTime of being told to, whatever hangs: a share that does
// not answer, a folder that does not return. The system may then not have to kill it,
// and what was in work is taken over by the next start. It leaves a part of the 5 s
// that are promised to the end of the process.
const endTime = 4500 * time.Millisecond

// giveBackTime is what giving back may take after the shutdown time is over.
const giveBackTime = time.Second

// Run works until ctx is done. Then templates in work get the shutdown time to
// finish, and what is not finished is given back to drop/. The error is that
// the folder cannot be used at the start; what fails later is waited out.
func (s *Service) Run(ctx context.Context) error {
	ended := make(chan error, 1)
	go func() { ended <- s.serve(ctx) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	timer := time.NewTimer(endTime)
	defer timer.Stop()
	select {
	case err := <-ended:
		return err
	case <-timer.C:
		s.log.Error("something hangs; the service ends all the same, and what is in work is taken over by the next start", "server", s.name)
		return nil
	}
}

func (s *Service) serve(ctx context.Context) error {
	if err := s.prepare(); err != nil {
		return err
	}
	s.log.Info("watching", "shop", s.shop, "server", s.name, "version", s.version)
	work, stopWork := context.WithCancel(context.WithoutCancel(ctx))
	defer stopWork()
	l := newLoop(s, work)
	var helpers sync.WaitGroup
	helpers.Go(func() { s.beat(ctx) })
	helpers.Go(func() { s.visitOffice(ctx, l) })
	registered, stopRegister := context.WithCancel(work)
	defer stopRegister()
	var last sync.WaitGroup
	last.Go(func() { s.keepRegister(registered) })
	if !s.noEvents {
		helpers.Go(func() { s.events(ctx, l.wake) })
	}
	l.run(ctx)
	l.drain(min(s.settings().Shutdown, endTime-2*giveBackTime), stopWork)
	helpers.Wait()
	stopRegister() // only now: it writes what was published last
	last.Wait()
	closeProcessor(s.processor())
	s.farewell()
	s.log.Info("stopped", "server", s.name)
	return nil
}
