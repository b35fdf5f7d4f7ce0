// Package install puts the service of a shop under the care of the system's
// service manager: systemd, the Windows service manager, or launchd.
//
// The service runs as an ordinary user, never as root or LocalSystem.
package install

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/kardianos/service"
)

// Options describe the service to be installed.
type Options struct {
	Name     string   // of the service; empty: trueup
	Shop     string   // the shop folder
	User     string   // who it runs as; empty: the owner of the shop folder, on Windows LocalService
	Writable []string // further folders it may write, such as that of its log file
	Args     []string // further arguments of "trueup watch"
	Network  bool     // it serves metrics on a loopback address
}

// Actions are what Control can do.
func Actions() []string { return []string{"install", "uninstall", "start", "stop", "status"} }

// Control does one of Actions and returns what to tell the user. Only install
// needs a shop folder.
func Control(action string, o Options) (string, error) {
	if o.Name == "" {
		o.Name = "trueup"
	}
	if action == "install" {
		if err := o.complete(); err != nil {
			return "", err
		}
	}
	svc, err := service.New(nothing{}, o.config())
	if err != nil {
		return "", fmt.Errorf("service %s: %w", o.Name, err)
	}
	switch action {
	case "install":
		err = svc.Install()
	case "uninstall":
		err = svc.Uninstall()
	case "start":
		err = svc.Start()
	case "stop":
		err = svc.Stop()
	case "status":
		return status(svc, o.Name)
	default:
		return "", fmt.Errorf("service: no action %q; one of %s", action, strings.Join(Actions(), ", "))
	}
	if err != nil {
		return "", fmt.Errorf("service %s: %s: %w", o.Name, action, err)
	}
	return fmt.Sprintf("service %s: %s done", o.Name, action), nil
}

func status(svc service.Service, name string) (string, error) {
	st, err := svc.Status()
	switch {
	case errors.Is(err, service.ErrNotInstalled):
		return fmt.Sprintf("service %s: not installed", name), nil
	case err != nil:
		return "", fmt.Errorf("service %s: status: %w", name, err)
	case st == service.StatusRunning:
		return fmt.Sprintf("service %s: running", name), nil
	case st == service.StatusStopped:
		return fmt.Sprintf("service %s: stopped", name), nil
	}
	return fmt.Sprintf("service %s: unknown to %s", name, svc.Platform()), nil
}

// complete checks the shop folder and settles who the service runs as.
func (o *Options) complete() error {
	abs, err := filepath.Abs(o.Shop)
	if err != nil {
		return fmt.Errorf("shop folder %s: %w", o.Shop, err)
	}
	if info, err := os.Stat(filepath.Join(abs, "drop")); err != nil || !info.IsDir() {
		return fmt.Errorf("shop folder %s: there is no drop/ in it; set it up with trueup init", abs)
	}
	o.Shop = abs
	for i, dir := range o.Writable {
		if o.Writable[i], err = filepath.Abs(dir); err != nil {
			return err
		}
	}
	if o.User != "" {
		return nil
	}
	if o.User, err = defaultUser(abs); err != nil {
		return err
	}
	return nil
}

func (o Options) config() *service.Config {
	c := &service.Config{
		Name:        o.Name,
		DisplayName: "trueup " + o.Name,
		Description: "Checks stone top templates dropped into " + o.Shop,
		UserName:    o.User,
		Arguments:   append([]string{"watch"}, append(o.Args, o.Shop)...),
		Option: service.KeyValue{
			"OnFailure":              "restart", // Windows
			"OnFailureDelayDuration": "5s",
			"OnFailureResetPeriod":   60,
			"KeepAlive":              true, // launchd
			"RunAtLoad":              true,
		},
	}
	if runtime.GOOS == "linux" {
		c.Option["SystemdScript"] = o.unit("{{Path | cmdEscape}}")
	}
	return c
}

// Serve runs the service, under the Windows service manager in the way that it
// wants, elsewhere just so.
func Serve(ctx context.Context, run func(context.Context) error) error {
	if runtime.GOOS != "windows" || service.Interactive() {
		return run(ctx)
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	p := &program{run: func() error { return run(ctx) }, cancel: cancel, ended: make(chan error, 1)}
	svc, err := service.New(p, &service.Config{Name: "trueup"})
	if err != nil {
		return err
	}
	return svc.Run()
}

// program is the service as a service manager starts and stops it.
type program struct {
	run    func() error
	cancel func()
	ended  chan error
}

func (p *program) Start(svc service.Service) error {
	go func() {
		err := p.run()
		p.ended <- err
		if err != nil {
			svc.Stop()
		}
	}()
	return nil
}

func (p *program) Stop(service.Service) error {
	p.cancel()
	return <-p.ended
}

// nothing is for controlling a service that this process does not run.
type nothing struct{}

func (nothing) Start(service.Service) error { return nil }
func (nothing) Stop(service.Service) error  { return nil }
