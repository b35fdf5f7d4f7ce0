// Command trueup checks digital templates of stone tops before a slab is cut.
//
// It only reads flags, shows progress and turns errors into exit codes: 0 all
// ready, 1 something to review, 2 wrong use or settings, 3 a file failed. The
// work is in package pipeline and below.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"
)

// The exit codes, part of the command's contract.
const (
	exitReady  = 0
	exitReview = 1
	exitUsage  = 2
	exitFailed = 3
)

// verdict is a finished run that ends in an exit code other than 0 although
// nothing went wrong in the program itself.
type verdict int

func (v verdict) Error() string { return fmt.Sprintf("exit code %d", int(v)) }

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), endings()...)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// endings are the signals that end a command in order. One that the user has had
// ignored, as nohup does with a hang-up, stays so.
func endings() []os.Signal {
	list := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		list = append(list, syscall.SIGHUP)
	}
	return list
}

// exitCode maps what a command returned to the process's exit code.
func exitCode(err error) int {
	var v verdict
	switch {
	case err == nil:
		return exitReady
	case errors.As(err, &v):
		return int(v)
	default:
		return exitUsage
	}
}
