package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// release is set by the packaging: go build -ldflags "-X main.release=1.2.3".
var release = ""

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
	v, revision := release, ""
	if info, ok := debug.ReadBuildInfo(); ok {
		if v == "" {
			v = info.Main.Version
		}
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				revision = ", commit " + s.Value
			}
		}
	}
	if v == "" || v == "(devel)" {
		v = "development build"
	}
	return fmt.Sprintf("trueup %s%s, %s %s/%s", v, revision, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
