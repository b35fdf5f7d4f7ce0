package main

import (
	"errors"
	"fmt"
	"os/exec"
	"strconv"
	"testing"
)

// exitOf returns the exit code of a finished command as a word.
func exitOf(err error) string {
	var ee *exec.ExitError
	switch {
	case err == nil:
		return "0"
	case errors.As(err, &ee):
		return strconv.Itoa(ee.ExitCode())
	default:
		return err.Error()
	}
}

func TestExitCode(t *testing.T) {
	for _, tc := range []struct {
		err  error
		want int
	}{
		{nil, 0},
		{verdict(exitReview), 1},
		{errors.New("no such file"), 2},
		{verdict(exitFailed), 3},
		{fmt.Errorf("wrapped: %w", verdict(exitFailed)), 3},
	} {
		if got := exitCode(tc.err); got != tc.want {
			t.Errorf("%v: code %d, want %d", tc.err, got, tc.want)
		}
	}
}
