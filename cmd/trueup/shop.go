package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"trueup/dxfio/piece"
	"trueup/pipeline"
	"trueup/pipeline/settings"
	"trueup/pipeline/watch"
)

// shopCommands are the commands that work on a shop's folder.
func shopCommands() []*cobra.Command {
	return []*cobra.Command{initCommand(), watchCommand(), statusCommand(), serviceCommand()}
}

func initCommand() *cobra.Command {
	var sample string
	cmd := &cobra.Command{
		Use:   "init SHOP",
		Short: "Make the folders of a shop and its settings file",
		Long: `Makes drop, review, ready, returned and failed below SHOP and writes trueup.toml
with every setting explained. What is there already stays as it is.

With --from, the layers of a drawing of yours are looked up first, and those without
a role are listed in trueup.toml for you to place.`,
		Example:           "  trueup init /srv/stone\n  trueup init --from kitchen.dxf /srv/stone",
		Args:              one("the SHOP folder"),
		ValidArgsFunction: folders,
	}
	cmd.Flags().StringVar(&sample, "from", "", "a `DRAWING` of yours to look up the layers of")
	completeFiles(cmd, "from", "dxf")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		s := settings.Default()
		there := fileExists(filepath.Join(args[0], pipeline.SettingsFile))
		if there && sample != "" {
			return fmt.Errorf("%s is there already and stays as it is; move it away first, or see what `trueup layers %s` says and put it in by hand",
				filepath.Join(args[0], pipeline.SettingsFile), typed(sample))
		}
		head, open := "", ""
		if sample != "" {
			f, err := openDrawing(sample)
			if err != nil {
				return err
			}
			defer f.Close()
			doc, err := layersOf(cmd.Context(), f, &s)
			if err != nil {
				return err
			}
			head = layerNotes(doc)
			if names := doc.withoutRole(); len(names) > 0 {
				open = fmt.Sprintf("%s without a role: %s; name them in trueup.toml under pieces.roles\n",
					count(len(names), "layer"), watch.Printable(strings.Join(names, ", ")))
			}
		}
		var text bytes.Buffer // of trueup.toml
		text.WriteString(head)
		if err := s.WriteTOML(&text); err != nil {
			return err
		}
		if err := watch.Init(args[0], text.String()); err != nil {
			return err
		}
		wrote := "wrote " + filepath.Join(args[0], pipeline.SettingsFile)
		if there {
			wrote = filepath.Join(args[0], pipeline.SettingsFile) + " was there already and is as it was"
		}
		fmt.Fprintf(cmd.ErrOrStderr(), "%s\n%sthe shop folder is ready; put templates into %s and start: trueup watch %s\n",
			wrote, open, filepath.Join(args[0], "drop"), typed(args[0]))
		return nil
	}
	return cmd
}

func fileExists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// layerNotes lists what a drawing's layers were taken for, as TOML comments.
func layerNotes(doc *layersDocument) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# Layers found in %s:\n", watch.Printable(doc.File))
	for _, l := range doc.Layers {
		role := l.Role
		switch {
		case role == string(piece.NoRole) && l.CurveLength > 0:
			role = "NO ROLE: add its name under pieces.roles below"
		case role == string(piece.NoRole):
			role = "no curves, no role needed"
		case l.Doubtful != nil:
			role += ", doubtful: name it under " + strings.Join(l.Doubtful, " or ") + " in pieces.roles below"
		}
		fmt.Fprintf(&b, "#   %-24s %s\n", watch.Printable(l.Name), role)
	}
	b.WriteString("\n")
	return b.String()
}

func watchCommand() *cobra.Command {
	var file string
	var logs logFlags
	cmd := &cobra.Command{
		Use:   "watch SHOP",
		Short: "Serve a shop's folder until stopped",
		Long: `Takes the templates that arrive in SHOP/drop, publishes each one's report in review,
ready or failed, and reads the office's decisions from the workbooks in review.
Stops on an interrupt, after the templates in work.

Settings come from SHOP/trueup.toml and are taken up without a restart.`,
		Example:           "  trueup init /srv/stone\n  trueup watch /srv/stone",
		Args:              one("the SHOP folder"),
		ValidArgsFunction: folders,
	}
	cmd.Flags().StringVar(&file, "settings", "", "settings `FILE` instead of SHOP/trueup.toml")
	completeFiles(cmd, "settings", "toml")
	logs.add(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		log, done, err := logs.open(cmd.ErrOrStderr())
		if err != nil {
			return err
		}
		defer done()
		s, err := newService(args[0], file, log)
		if err != nil {
			return err
		}
		if screenOf(cmd.ErrOrStderr()).width > 0 {
			fmt.Fprintf(cmd.ErrOrStderr(), "serving %s until Ctrl-C; templates go into %s\n", args[0], filepath.Join(args[0], "drop"))
		}
		return serve(cmd.Context(), s, logs.metrics, log)
	}
	return cmd
}

// loadShop reads the settings of a shop, from file when it is given.
func loadShop(shop, file string) (settings.Settings, error) {
	if file != "" {
		return settings.Load(file)
	}
	return pipeline.ShopSettings(shop)
}

// plain is an error of the file system without the path, which the message
// around it names already.
func plain(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

// needShop refuses a folder that trueup init has not made.
func needShop(shop string) error {
	info, err := os.Stat(filepath.Join(shop, "drop"))
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) || err == nil && !info.IsDir() {
		return fmt.Errorf("%s is not a shop folder: there is no drop/ in it. Is the share there? `trueup init %s` makes a new one", shop, typed(shop))
	}
	if err != nil {
		return fmt.Errorf("shop folder %s cannot be looked at: %w; check its rights, or run this as a user who may", shop, plain(err))
	}
	return nil
}
