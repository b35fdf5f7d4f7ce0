package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trueup/pipeline"
	"trueup/pipeline/install"
	"trueup/pipeline/settings"
	"trueup/pipeline/watch"
)

// logFlags say where the service's log goes.
type logFlags struct {
	file        string
	asJSON, all bool
	metrics     string
}

func (l *logFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&l.file, "log-file", "", "log to `FILE`, rotated, instead of standard error")
	cmd.Flags().BoolVar(&l.asJSON, "log-json", false, "log one JSON object a line")
	cmd.Flags().BoolVar(&l.all, "log-all", false, "log every step")
	cmd.Flags().StringVar(&l.metrics, "metrics", "", "serve /metrics and /health on this loopback `ADDRESS`, such as 127.0.0.1:9117")
}

// open returns the log and what closes it.
func (l *logFlags) open(w io.Writer) (*slog.Logger, func(), error) {
	if l.metrics != "" {
		if err := watch.CheckMetrics(l.metrics); err != nil {
			return nil, nil, err
		}
	}
	log, closer, err := watch.NewLog(w, watch.LogOptions{File: l.file, JSON: l.asJSON, Debug: l.all})
	if err != nil {
		return nil, nil, err
	}
	return log, func() {
		if closer != nil {
			_ = closer.Close() // the log is of no more use
		}
	}, nil
}

// arguments are these flags again, for the installed service.
func (l *logFlags) arguments() ([]string, error) {
	var args []string
	if l.file != "" {
		abs, err := filepath.Abs(l.file)
		if err != nil {
			return nil, err
		}
		args = append(args, "--log-file", abs)
	}
	if l.asJSON {
		args = append(args, "--log-json")
	}
	if l.all {
		args = append(args, "--log-all")
	}
	if l.metrics != "" {
		if err := watch.CheckMetrics(l.metrics); err != nil {
			return nil, err
		}
		args = append(args, "--metrics", l.metrics)
	}
	return args, nil
}

// newService prepares the service of a shop with its settings in force.
func newService(shop, file string, log *slog.Logger) (*watch.Service, error) {
	if err := needShop(shop); err != nil {
		return nil, err
	}
	if file != "" {
		abs, err := filepath.Abs(file)
		if err != nil {
			return nil, err
		}
		file = abs
	}
	self, err := os.Executable()
	if err != nil {
		return nil, fmt.Errorf("the program cannot find its own file to start workers: %w", err)
	}
	load := func() (settings.Settings, watch.Processor, error) {
		s, err := readSettings(self, shop, file, log)
		if err != nil {
			return s, nil, err
		}
		var text bytes.Buffer
		if err := s.WriteTOML(&text); err != nil {
			return s, nil, err
		}
		return s, watch.NewIsolated(watch.Isolation{
			Command: []string{self, workerName}, Init: text.Bytes(), Memory: s.Watch.JobMemory, Log: log}), nil
	}
	s, processor, err := load()
	if err != nil {
		return nil, err
	}
	return watch.New(shop, watch.Options{
		Settings: pipeline.WatchSettings(&s), Processor: processor, SettingsFile: file, Log: log,
		Report: s.Report, Version: version(),
		Reload: func(string) (watch.Settings, watch.Processor, error) {
			s, processor, err := load()
			if err != nil {
				return watch.Settings{}, nil, err
			}
			return pipeline.WatchSettings(&s), processor, nil
		},
	})
}

// Bounds of reading a settings file. Common practice, no source.
const (
	settingsTime   = 10 * time.Second
	settingsMemory = 512 << 20
)

// readSettings reads a shop's settings in a worker process: a file of some kilobytes
// can be made to take the memory of a whole machine. What comes back is the text of
// the program's own writer.
func readSettings(self, shop, file string, log *slog.Logger) (settings.Settings, error) {
	in := watch.Reading{Kind: watch.ReadingSettings, Path: file, Name: file}
	if file == "" {
		name := filepath.Join(shop, pipeline.SettingsFile)
		in = watch.Reading{Kind: watch.ReadingShopSettings, Path: shop, Name: name}
	}
	worker := watch.NewIsolated(watch.Isolation{Command: []string{self, workerName}, Memory: settingsMemory, Log: log})
	defer worker.Close()
	ctx, cancel := context.WithTimeout(context.Background(), settingsTime)
	defer cancel()
	text, err := worker.Read(ctx, in)
	if err != nil {
		return settings.Settings{}, err
	}
	return settings.Parse(in.Name, text)
}

// workerProcessor is what a worker process does.
type workerProcessor struct{ watch.Processor }

// Read reads a workbook or a settings file.
func (workerProcessor) Read(_ context.Context, in watch.Reading) ([]byte, error) {
	switch in.Kind {
	case watch.ReadingDecisions:
		return watch.ReadDecisionsFile(in.Path)
	case watch.ReadingSettings, watch.ReadingShopSettings:
		shop, file := "", in.Path
		if in.Kind == watch.ReadingShopSettings {
			shop, file = in.Path, ""
		}
		s, err := loadShop(shop, file)
		if err != nil {
			return nil, err
		}
		var text bytes.Buffer
		err = s.WriteTOML(&text)
		return text.Bytes(), err
	}
	return nil, fmt.Errorf("a reading of the kind %q is not known", in.Kind)
}

// workerName is the hidden command that works on templates for the service, in
// a process of its own, so that no drawing can take the service down with it.
const workerName = "worker"

func workerCommand() *cobra.Command {
	return &cobra.Command{
		Use:    workerName,
		Short:  "Work on templates for the service; started by it",
		Hidden: true,
		Args:   none,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return watch.ServeWork(cmd.InOrStdin(), cmd.OutOrStdout(), func(text []byte) (watch.Processor, error) {
				s, err := settings.Parse("the service's settings", text)
				if err != nil {
					return nil, err
				}
				return workerProcessor{pipeline.Processor(&s)}, nil
			})
		},
	}
}

// serve runs the service, and its metrics when an address is given, until ctx
// is done.
func serve(ctx context.Context, s *watch.Service, metrics string, log *slog.Logger) error {
	return install.Serve(ctx, func(ctx context.Context) error {
		if metrics != "" {
			go func() {
				if err := s.ServeMetrics(ctx, metrics); err != nil && ctx.Err() == nil {
					log.Error("metrics are not served", "address", metrics, "error", err)
				}
			}()
		}
		if err := s.Run(ctx); err != nil && !errors.Is(err, context.Canceled) {
			return err
		}
		return nil
	})
}

func serviceCommand() *cobra.Command {
	var o install.Options
	var logs logFlags
	var file string
	cmd := &cobra.Command{
		Use:   "service install SHOP | print SHOP | start | stop | status | uninstall",
		Short: "Keep a shop served by the system's service manager",
		Long: `Installs, starts, stops or removes the service that runs trueup watch, under systemd,
the Windows service manager or launchd. It runs as an ordinary user: the owner of the
shop folder, or the one named with --user.

print shows what install would set up, to be read before: the systemd unit, on other
systems the account and the command line. It changes nothing and needs no rights.`,
		Example: `  trueup service print --user stone /srv/stone
  sudo trueup service install --user stone /srv/stone
  sudo trueup service start
  trueup service status`,
		ValidArgs: install.Actions(),
	}
	cmd.Flags().StringVar(&o.Name, "name", "trueup", "`NAME` of the service, for several shops on one server")
	cmd.Flags().StringVar(&o.User, "user", "", "`USER` the service runs as (default the owner of SHOP)")
	cmd.Flags().StringVar(&file, "settings", "", "settings `FILE` instead of SHOP/trueup.toml")
	completeFiles(cmd, "settings", "toml")
	logs.add(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		actions := strings.Join(install.Actions(), ", ")
		if len(args) == 0 {
			return fmt.Errorf("say what to do with the service: %s; `trueup service --help` shows examples", actions)
		}
		if !slices.Contains(install.Actions(), args[0]) {
			return fmt.Errorf("the service knows no %q, only %s; `trueup service --help` shows examples", args[0], actions)
		}
		switch wants := install.NeedsShop(args[0]); {
		case wants && len(args) == 1:
			return fmt.Errorf("the SHOP folder is missing: `trueup service %s SHOP`", args[0])
		case wants && len(args) > 2:
			return fmt.Errorf("trueup service %s takes one SHOP folder, and %q is left over; put a name with spaces in quotes", args[0], args[2])
		case !wants && len(args) > 1:
			return fmt.Errorf("trueup service %s takes no folder; --name says which service, when it is not called trueup", args[0])
		case wants:
			o.Shop = args[1]
		}
		var err error
		if o.Args, err = serviceArguments(logs, file); err != nil {
			return err
		}
		if logs.file != "" {
			o.Writable = []string{filepath.Dir(logs.file)}
		}
		o.Network = logs.metrics != ""
		if o.Shop != "" {
			s, err := loadShop(o.Shop, file)
			if err != nil {
				return err
			}
			o.Memory = s.Watch.MostMemory()
		}
		said, err := install.Control(args[0], o)
		if err != nil {
			return err
		}
		out := cmd.ErrOrStderr()
		if args[0] == "print" || args[0] == "status" {
			out = cmd.OutOrStdout()
		}
		_, err = fmt.Fprintln(out, said)
		return err
	}
	return cmd
}

// serviceArguments are the options of trueup watch as the service is to have them.
func serviceArguments(logs logFlags, settingsFile string) ([]string, error) {
	args, err := logs.arguments()
	if err != nil || settingsFile == "" {
		return args, err
	}
	if _, err := settings.Load(settingsFile); err != nil {
		return nil, err
	}
	abs, err := filepath.Abs(settingsFile)
	return append(args, "--settings", abs), err
}

func statusCommand() *cobra.Command {
	var asJSON, alarm bool
	cmd := &cobra.Command{
		Use:   "status SHOP",
		Short: "Show how a shop's service does",
		Long: `Shows which servers are alive, what waits and why, what lacks a decision, what was done
today and the last failures. It changes nothing and needs no running server.

The exit code is 0 once the folder could be read, however the shop does. With --check
it is 1 when nobody serves the shop, a server is in trouble, gives no sign of life or
hangs, a job is in work for too long, the settings file is not in force, or the disk is
nearly full: for a monitor. Each reason is a line of standard error.`,
		Example:           "  trueup status /srv/stone\n  trueup status --json /srv/stone | jq .waiting",
		Args:              one("the SHOP folder"),
		ValidArgsFunction: folders,
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document to standard output")
	cmd.Flags().BoolVar(&alarm, "check", false, "exit with 1 when the shop is not served as it should be")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if err := needShop(args[0]); err != nil {
			return err
		}
		st, err := watch.ReadStatus(args[0])
		if err != nil {
			return err
		}
		if asJSON {
			e := json.NewEncoder(cmd.OutOrStdout())
			e.SetEscapeHTML(false)
			err = e.Encode(st)
		} else {
			err = st.Write(cmd.OutOrStdout())
		}
		if alarms := st.Alarms(); alarm && err == nil && len(alarms) > 0 {
			for _, a := range alarms {
				fmt.Fprintln(cmd.ErrOrStderr(), watch.Printable(a))
			}
			return verdict(exitReview)
		}
		return err
	}
	return cmd
}
