package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"unicode"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"trueup/pipeline/settings"
)

// run carries out one command line and returns the exit code.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	root := newRoot()
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	var v verdict
	if err != nil && !errors.As(err, &v) {
		fmt.Fprintf(stderr, "trueup: %v\n", err)
	}
	return exitCode(err)
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "trueup",
		Short: "Trues up digital templates of stone tops before a slab is cut",
		Long: `trueup reads the DXF templates of stone tops, closes their outlines, measures every
piece, checks what will crack, will not fit, cannot be cut or will not meet at the
seam, and writes a report to decide from and a clean drawing for the machines.

Start here:
  trueup check FOLDER     check every template below a folder, reports in ./trueup-out
  trueup layers FILE      see which layers a drawing has and what trueup takes them for
  trueup init SHOP        make the folders of a shop, then: trueup watch SHOP

Exit codes: 0 all ready, 1 something to review, 2 wrong use or settings, 3 a file failed.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(cmd, args[0])
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			fmt.Fprintf(cmd.ErrOrStderr(), "%s\n\n%s", cmd.Long, commandList(cmd))
			return verdict(exitUsage)
		},
	}
	root.SuggestionsMinimumDistance = 2
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		var bad *pflag.InvalidValueError
		if errors.As(err, &bad) {
			return fmt.Errorf("--%s %s: not of the kind %s; `%s --help` shows what is allowed",
				bad.GetFlag().Name, bad.GetValue(), kindWord(bad.GetFlag().Value.Type()), cmd.CommandPath())
		}
		var unknown *pflag.NotExistError
		if errors.As(err, &unknown) {
			name := unknown.GetSpecifiedName()
			dashes := "--"
			if unknown.GetSpecifiedShortnames() != "" {
				dashes = "-"
			}
			return fmt.Errorf("no option %s%s%s; `%s --help` shows what is allowed", dashes, name, nearOption(cmd, name), cmd.CommandPath())
		}
		return fmt.Errorf("%w; `%s --help` shows what is allowed", err, cmd.CommandPath())
	})
	root.AddCommand(checkCommand(), layersCommand(), rulesCommand(), figuresCommand(), settingsCommand(), versionCommand(), manualCommand(), workerCommand())
	root.AddCommand(shopCommands()...)
	root.Version = version()
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		if c.Name() == "completion" {
			c.Short = "Print what makes the Tab key complete, for a shell"
		}
	}
	callOptions(root)
	root.SetVersionTemplate("{{.Version}}\n")
	return root
}

// callOptions calls options so in the help: flags are what a rule raises.
func callOptions(root *cobra.Command) {
	root.SetUsageTemplate(strings.NewReplacer("Global Flags:", "Options of all commands:", "Flags:", "Options:", "Available Commands:", "Commands:").
		Replace(root.UsageTemplate()))
	var below func(c *cobra.Command)
	below = func(c *cobra.Command) {
		c.DisableFlagsInUseLine = true
		name, rest, _ := strings.Cut(c.Use, " ")
		c.Use = strings.TrimSpace(name + " [OPTION]... " + rest)
		for _, sub := range c.Commands() {
			below(sub)
		}
	}
	for _, c := range root.Commands() {
		below(c)
	}
	root.DisableFlagsInUseLine = true
}

func unknownCommand(cmd *cobra.Command, word string) error {
	s := fmt.Sprintf("no command %q", word)
	if near := cmd.SuggestionsFor(word); len(near) > 0 {
		s += " (did you mean " + near[0] + "?)"
	}
	return errors.New(s + "; `trueup` alone lists them")
}

// atLeast is cobra.MinimumNArgs with a message that says what to do.
func atLeast(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) < n {
			return fmt.Errorf("%s is missing; `%s --help` shows examples", what, cmd.CommandPath())
		}
		return nil
	}
}

// one asks for a single argument, named by what, with a message that says what
// to do.
func one(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch len(args) {
		case 0:
			return fmt.Errorf("%s is missing; `%s --help` shows examples", what, cmd.CommandPath())
		case 1:
			return nil
		default:
			return fmt.Errorf("%s takes one at a time, and %q is left over; `%s --help` shows examples", cmd.CommandPath(), args[1], cmd.CommandPath())
		}
	}
}

// none refuses arguments with a message that says what to do.
func none(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return fmt.Errorf("%s takes options only, and %q is none; `%s --help` shows examples", cmd.CommandPath(), args[0], cmd.CommandPath())
	}
	return nil
}

// kindWord names the kind of an option's value as people do.
func kindWord(kind string) string {
	switch kind {
	case "int":
		return "whole number"
	case "bool":
		return "true or false"
	default:
		return kind
	}
}

// nearOption names the option that an unknown one may have been meant for.
func nearOption(cmd *cobra.Command, name string) string {
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if !f.Hidden {
			names = append(names, f.Name)
		}
	})
	if near := settings.Nearest(name, names); near != "" {
		return " (did you mean --" + near + "?)"
	}
	return ""
}

// commandList is a line a command.
func commandList(root *cobra.Command) string {
	var b strings.Builder
	b.WriteString("Commands, each explained by --help:\n")
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() && c.Name() != "help" {
			fmt.Fprintf(&b, "  %-11s %s\n", c.Name(), c.Short)
		}
	}
	return b.String()
}

// typed is a word of a command line that people can copy: in quotes where the
// shells would split or expand it.
func typed(word string) string {
	special := "\"'`$&|;<>()*?[]!#{}^%~"
	if runtime.GOOS != "windows" {
		special += `\`
	}
	if word != "" && !strings.ContainsFunc(word, unicode.IsSpace) && !strings.ContainsAny(word, special) {
		return word
	}
	if runtime.GOOS == "windows" {
		return `"` + word + `"`
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// settingsFlag adds --settings and returns what loads them.
func settingsFlag(cmd *cobra.Command) func() (*settings.Settings, error) {
	file := cmd.Flags().String("settings", "", "settings `FILE` (TOML) instead of the built-in ones")
	completeFiles(cmd, "settings", "toml")
	return func() (*settings.Settings, error) {
		if *file == "" {
			s := settings.Default()
			return &s, nil
		}
		s, err := settings.Load(*file)
		return &s, err
	}
}

// completeFiles lets the shell complete an option with files of an extension.
func completeFiles(cmd *cobra.Command, option, extension string) {
	if err := cmd.MarkFlagFilename(option, extension); err != nil {
		panic(err) // the option was added a line before
	}
}

// Completions of arguments that are drawings or shop folders.
func drawings(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"dxf", "DXF"}, cobra.ShellCompDirectiveFilterFileExt
}

func folders(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return nil, cobra.ShellCompDirectiveFilterDirs
}
