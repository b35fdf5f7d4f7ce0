package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// The packaging sets both, since it builds without the version control of the
// machine: go build -ldflags "-X main.release=1.2.3 -X main.commit=0f3a...".
var (
	release = ""
	commit  = ""
)

func versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version and how it was built",
		Args:  none,
		RunE: func(cmd *cobra.Command, _ []string) error {
			fmt.Fprintln(cmd.OutOrStdout(), version())
			return nil
		},
	}
}

// version names the release, the commit it was built from and the platform.
func version() string {
	v, from := release, commit
	if info, ok := debug.ReadBuildInfo(); ok {
		if v == "" {
			v = info.Main.Version
		}
		if from == "" {
			from = revision(info.Settings)
		}
	}
	if v == "" || v == "(devel)" {
		v = "development build"
	}
	if from != "" {
		v += ", commit " + from
	}
	return fmt.Sprintf("trueup %s, %s %s/%s", v, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}

// revision is the commit that the Go tool found where it built the program.
func revision(found []debug.BuildSetting) string {
	commit, changed := "", ""
	for _, s := range found {
		switch s.Key {
		case "vcs.revision":
			commit = s.Value
		case "vcs.modified":
			if s.Value == "true" {
				changed = " with changes"
			}
		}
	}
	if commit == "" {
		return ""
	}
	return commit + changed
}
