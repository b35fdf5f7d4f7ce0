// Package install puts the service of a shop under the care of the system's
// service manager: systemd, the Windows service manager, or launchd.
//
// In go a shop folder, a user and the options of trueup watch; out come a service
// of the system that runs it, or, for review, what would be set up. The service
// runs as an ordinary user, never as root or LocalSystem, and errors say what an
// administrator has to do.
package install

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

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
	Memory   int64    // most memory that it may take, workers and all, bytes; 0: no limit

	program string // the file of this program, settled by complete
}

// Actions are what Control can do.
func Actions() []string {
	return []string{"install", "print", "uninstall", "start", "stop", "status"}
}

// NeedsShop tells which of Actions are about a shop folder; the others know the
// service by its name.
func NeedsShop(action string) bool { return action == "install" || action == "print" }

// Control does one of Actions and returns what to tell the user: of print what
// install would set up, of status how the service does, of the others what was
// done and what comes next.
func Control(action string, o Options) (string, error) {
	if !slices.Contains(Actions(), action) {
		return "", fmt.Errorf("the service knows no %q, only %s", action, strings.Join(Actions(), ", "))
	}
	if o.Name == "" {
		o.Name = "trueup"
	}
	if !plainName(o.Name) {
		return "", fmt.Errorf("service %q: a name is made of letters, digits, hyphens and underscores; choose another with --name", o.Name)
	}
	if NeedsShop(action) {
		if err := o.complete(); err != nil {
			return "", err
		}
	}
	if action == "print" {
		return o.plan(), nil
	}
	if err := managed(runtime.GOOS, service.Platform()); err != nil {
		return "", fmt.Errorf("service %s: %w", o.Name, err)
	}
	svc, err := service.New(nothing{}, o.config())
	if err != nil {
		return "", fmt.Errorf("service %s: %w", o.Name, err)
	}
	said := ""
	switch action {
	case "install":
		err = svc.Install()
		said = fmt.Sprintf("service %s is installed and comes up with the system; `%s service start%s` starts it now%s",
			o.Name, o.program, o.nameOption(), o.doubts())
	case "uninstall":
		err = svc.Uninstall()
		said = fmt.Sprintf("service %s is removed; the shop folder is as it was", o.Name)
	case "start":
		err = svc.Start()
		said = fmt.Sprintf("service %s is started; `trueup status SHOP` says how it does", o.Name)
	case "stop":
		err = svc.Stop()
		said = fmt.Sprintf("service %s is stopped; what it had not finished lies in drop/ again", o.Name)
	case "status":
		return o.status(svc)
	}
	if err != nil {
		return "", fmt.Errorf("service %s: %s: %w; %s", o.Name, action, err, o.remedy(action, err))
	}
	return said, nil
}

// managed refuses a Linux that no systemd runs: other managers would run the
// service as root and without its limits.
func managed(system, manager string) error {
	if system == "linux" && manager != "linux-systemd" {
		return errors.New("systemd does not run this system, and trueup installs itself into no other service manager of Linux; have `trueup watch SHOP` started, as an ordinary user, by what runs this system")
	}
	return nil
}

// remedy is what to do about a service manager that refused.
func (o Options) remedy(action string, err error) string {
	why := "look into the system's log"
	if runtime.GOOS == "linux" {
		why = "`systemctl status " + o.Name + "` and `journalctl -u " + o.Name + "` say why"
	}
	switch {
	case errors.Is(err, fs.ErrPermission) && runtime.GOOS == "windows":
		return "run it in a terminal opened as administrator"
	case errors.Is(err, fs.ErrPermission):
		return "run it with sudo"
	case strings.Contains(err.Error(), "already exists"):
		return "`trueup service uninstall` removes the one there; another shop's service gets a --name of its own"
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, service.ErrNotInstalled):
		return "no service of this name is installed; `trueup service install SHOP` does it, --name says which"
	case action != "install" && runtime.GOOS != "windows":
		return why + "; without sudo the system may refuse, and a service that was never installed it does not know"
	}
	return why
}

func (o Options) nameOption() string {
	if o.Name == "trueup" {
		return ""
	}
	return " --name " + o.Name
}

// plainName tells whether a service manager takes a name for a name and nothing more.
func plainName(name string) bool {
	return name != "" && len(name) <= 100 && name[0] != '-' && strings.Trim(name, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_") == ""
}

func (o Options) status(svc service.Service) (string, error) {
	st, err := svc.Status()
	switch {
	case errors.Is(err, service.ErrNotInstalled):
		return fmt.Sprintf("service %s: not installed", o.Name), nil
	case err != nil:
		return "", fmt.Errorf("service %s: %w; %s", o.Name, err, o.remedy("status", err))
	case st == service.StatusRunning:
		return fmt.Sprintf("service %s: running", o.Name), nil
	case st == service.StatusStopped:
		return fmt.Sprintf("service %s: stopped", o.Name), nil
	}
	return fmt.Sprintf("service %s: unknown to %s", o.Name, svc.Platform()), nil
}

// complete checks the shop folder and settles who the service runs as.
func (o *Options) complete() error {
	abs, err := filepath.Abs(o.Shop)
	if err != nil {
		return fmt.Errorf("shop folder %s: %w", o.Shop, err)
	}
	info, err := os.Stat(filepath.Join(abs, "drop"))
	if errors.Is(err, fs.ErrPermission) {
		return fmt.Errorf("shop folder %s: cannot be looked at: %w; run this as a user who may", abs, fs.ErrPermission)
	}
	if err != nil || !info.IsDir() {
		return fmt.Errorf("shop folder %s: there is no drop/ in it; `trueup init` makes it a shop folder", abs)
	}
	o.Shop = abs
	for i, dir := range o.Writable {
		if o.Writable[i], err = filepath.Abs(dir); err != nil {
			return err
		}
	}
	if o.program, err = os.Executable(); err != nil {
		return fmt.Errorf("the program cannot find its own file to install: %w", err)
	}
	if o.User == "" {
		o.User, err = defaultUser(abs)
		return err
	}
	return checkUser(o.User)
}

func (o Options) config() *service.Config {
	c := &service.Config{
		Name:        o.Name,
		DisplayName: o.displayName(),
		Description: o.description(),
		UserName:    o.User,
		Executable:  o.program,
		Arguments:   o.arguments(),
		Option: service.KeyValue{
			"OnFailure":              "restart", // Windows
			"OnFailureDelayDuration": restartAfter.String(),
			"OnFailureResetPeriod":   60,
			"KeepAlive":              true, // launchd
			"RunAtLoad":              true,
		},
	}
	if runtime.GOOS == "linux" {
		c.Option["SystemdScript"] = o.unit(quotePath(o.program))
	}
	return c
}

// restartAfter is the pause before a service that ended is started again.
const restartAfter = 5 * time.Second

func (o Options) displayName() string { return "trueup " + o.Name }

func (o Options) description() string { return "Checks stone top templates dropped into " + o.Shop }

// arguments of the program as a service.
func (o Options) arguments() []string {
	return append(append([]string{"watch"}, o.Args...), o.Shop)
}

// plan is what install would set up, for review: on Linux the systemd unit as it
// would be written, elsewhere what the service manager would be told.
func (o Options) plan() string {
	if runtime.GOOS == "linux" {
		return fmt.Sprintf("# /etc/systemd/system/%s.service\n%s", o.Name, strings.TrimSuffix(o.unit(quotePath(o.program)), "\n"))
	}
	return o.registration()
}

// registration is what a service manager without unit files is told.
func (o Options) registration() string {
	line := make([]string, 0, len(o.Args)+3)
	for _, a := range append([]string{o.program}, o.arguments()...) {
		line = append(line, `"`+a+`"`)
	}
	var b strings.Builder
	for _, row := range [][2]string{
		{"name", o.Name}, {"shown as", o.displayName()}, {"description", o.description()}, {"account", o.User},
		{"start", "with the system"}, {"after a fault", fmt.Sprintf("started again after %s", restartAfter)}, {"command line", strings.Join(line, " ")},
	} {
		fmt.Fprintf(&b, "%-15s %s\n", row[0], row[1])
	}
	return strings.TrimSuffix(b.String(), "\n")
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
