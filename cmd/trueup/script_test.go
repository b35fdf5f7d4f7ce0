package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the scripts run the real command by its name.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"trueup": func() { os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs whole jobs as a person would type them: testdata/script/*.txtar.
// $DEMO is the folder of the demo templates.
func TestScripts(t *testing.T) {
	demo, err := filepath.Abs(filepath.Join(repository, "testdata", "demo"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: filepath.Join("testdata", "script"),
		Setup: func(env *testscript.Env) error {
			env.Setenv("DEMO", demo)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"code": code},
	})
}

// code WANT ARGS... runs trueup and wants that exit code.
func code(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code WANT ARGS...")
	}
	got := exitOf(ts.Exec("trueup", args[1:]...))
	if got != args[0] {
		ts.Fatalf("trueup %v ended with %s, want %s", args[1:], got, args[0])
	}
}
