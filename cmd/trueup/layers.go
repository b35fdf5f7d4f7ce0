package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"trueup/dxfio"
	"trueup/dxfio/piece"
	"trueup/pipeline"
	"trueup/pipeline/safefs"
	"trueup/pipeline/settings"
	"trueup/pipeline/watch"
	"trueup/rules"
)

// layersDocument is what `trueup layers --json` prints. Lengths are in the
// drawing's own units.
type layersDocument struct {
	File   string          `json:"file"`
	Units  string          `json:"units"`
	Layers []layerDocument `json:"layers"`
	Unread []unreadEntry   `json:"unread"`
}

type layerDocument struct {
	Name        string         `json:"name"`
	Role        string         `json:"role"`
	Pattern     string         `json:"pattern"`
	Own         bool           `json:"own,omitempty"`      // the pattern stands in the settings
	Doubtful    []string       `json:"doubtful,omitempty"` // the roles in question
	Why         string         `json:"why,omitempty"`      // what makes it doubtful
	Hidden      bool           `json:"hidden,omitempty"`
	Entities    map[string]int `json:"entities"`
	CurveLength float64        `json:"curve_length"`
}

type unreadEntry struct {
	Type  string `json:"type"`
	Layer string `json:"layer"`
	Why   string `json:"why"`
	Count int    `json:"count"`
}

func layersCommand() *cobra.Command {
	var asJSON, words bool
	cmd := &cobra.Command{
		Use:   "layers FILE",
		Short: "Show the layers of a drawing and the role each one has",
		Long: `Shows what a drawing holds before you set roles: its layers, the role of each and
the pattern or words that gave it, its entities by type, the length of its curves in the
drawing's own units, what is doubtful and what was not read, and why.`,
		Example: "  trueup layers kitchen.dxf\n  trueup layers --json kitchen.dxf | jq '.layers[] | select(.role==\"\")'",
		Args: func(cmd *cobra.Command, args []string) error {
			if words && len(args) == 0 {
				return nil
			}
			return one("the drawing to look into")(cmd, args)
		},
		ValidArgsFunction: drawings,
	}
	load := settingsFlag(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document to standard output")
	cmd.Flags().BoolVar(&words, "words", false, "print the built-in words that give layers their roles")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if words {
			return printWords(cmd.OutOrStdout())
		}
		s, err := load()
		if err != nil {
			return err
		}
		f, err := openDrawing(args[0])
		if err != nil {
			return err
		}
		defer f.Close()
		doc, err := layersOf(cmd.Context(), f, s)
		if err != nil {
			fmt.Fprintf(cmd.ErrOrStderr(), "trueup: %v\n", err)
			return verdict(exitFailed)
		}
		if asJSON {
			e := json.NewEncoder(cmd.OutOrStdout())
			e.SetEscapeHTML(false)
			return e.Encode(doc)
		}
		return doc.print(cmd)
	}
	return cmd
}

// openDrawing opens one drawing. What is wrong with its name is wrong use; what
// is wrong with its content, layersOf tells.
func openDrawing(path string) (*os.File, error) {
	info, err := os.Stat(path)
	if err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s: is a folder; name one drawing in it", path)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: no such file; check the name", path)
	}
	f, _, err := safefs.OpenPath(path)
	if errors.Is(err, safefs.ErrNotFile) {
		return nil, fmt.Errorf("%s: is %w; name a drawing", path, plain(err))
	}
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be opened: %w; check that it may be read", path, plain(err))
	}
	return f, nil
}

func layersOf(ctx context.Context, f *os.File, s *settings.Settings) (*layersDocument, error) {
	name := filepath.Base(f.Name())
	d, err := dxfio.Read(f, dxfio.Options{File: name, Limits: s.Reading, AreaLayer: s.Pieces.Roles.Cutting})
	if err != nil {
		return nil, err
	}
	doc := &layersDocument{File: name, Units: d.Units.String(), Layers: []layerDocument{}, Unread: []unreadEntry{}}
	for _, l := range d.Layers {
		r := s.Pieces.Roles.Read(l.Name)
		entities := l.Entities
		if entities == nil {
			entities = map[string]int{}
		}
		l := layerDocument{Name: l.Name, Role: string(r.Role), Pattern: r.By, Own: r.Own, Hidden: l.Hidden, Entities: entities, CurveLength: l.Length}
		if r.Doubt != nil {
			l.doubt(r.Doubt, piece.DoubtName)
		}
		doc.Layers = append(doc.Layers, l)
	}
	doc.drawnDoubts(ctx, d, s)
	for _, u := range d.Unread {
		doc.Unread = append(doc.Unread, unreadEntry{u.Type, u.Layer, u.Why, u.Count})
	}
	return doc, nil
}

// drawnDoubts adds what the curves say against the roles of their layers. A drawing
// that cannot be made pieces of says nothing more than the names do.
func (d *layersDocument) drawnDoubts(ctx context.Context, raw *dxfio.Drawing, s *settings.Settings) {
	for _, p := range pipeline.Doubts(ctx, raw, s) {
		for i := range d.Layers {
			if d.Layers[i].Name == p.Layer && d.Layers[i].Doubtful == nil {
				d.Layers[i].doubt(p.Roles, "a closed line on it "+p.Why)
			}
		}
	}
}

func (l *layerDocument) doubt(roles []piece.Role, why string) {
	for _, r := range roles {
		l.Doubtful = append(l.Doubtful, string(r))
	}
	l.Why = why
}

// printDoubts says what is doubtful about the layers, why, and the lines that settle it.
func (d *layersDocument) printDoubts(out io.Writer) {
	for i := range d.Layers {
		l := &d.Layers[i]
		if l.Doubtful == nil {
			continue
		}
		var lines []string
		for _, r := range l.Doubtful {
			lines = append(lines, rules.SettingOf(piece.Role(r), watch.Printable(l.Name)))
		}
		fmt.Fprintf(out, "\nDoubtful: %s, taken for %s: %s. Say what it is with one of these lines under [pieces.roles] in the settings; where its list is there already, add the name to that:\n%s\n",
			watch.Printable(l.Name), l.Role, l.Why, strings.Join(lines, "\n"))
	}
}

// print writes the document for people.
func (d *layersDocument) print(cmd *cobra.Command) error {
	out := cmd.OutOrStdout()
	unit := d.Units
	if unit == "none" {
		fmt.Fprintf(out, "%s: the header names no unit\n\n", d.File)
		unit = "units"
	} else {
		u, _ := dxfio.ParseUnit(unit)
		fmt.Fprintf(out, "%s: drawn in %s\n\n", d.File, u.Plural())
	}
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintf(w, "LAYER\tROLE\tPATTERN\tLENGTH (%s)\tENTITIES\n", unit)
	for _, l := range d.Layers {
		role := l.Role
		if role == "" {
			role = "-"
		}
		if l.Hidden {
			role += " (hidden)"
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%.1f\t%s\n", watch.Printable(l.Name), role, l.Pattern, l.CurveLength, entityList(l.Entities))
	}
	if err := w.Flush(); err != nil {
		return err
	}
	for _, u := range d.Unread {
		fmt.Fprintf(out, "not read: %d %s on layer %s: %s\n", u.Count, u.Type, watch.Printable(u.Layer), u.Why)
	}
	if unmapped := d.withoutRole(); len(unmapped) > 0 {
		fmt.Fprintf(out, "\nWithout a role: %s.\nPut the name of each into its role's list in the settings; `trueup settings > trueup.toml` writes them.\n"+
			"If %s holds outlines, for example (a list that is there already takes the name too):\n\n[pieces.roles]\n%s\n",
			watch.Printable(strings.Join(unmapped, ", ")), watch.Printable(unmapped[0]), rules.SettingOf(piece.OutlineRole, watch.Printable(unmapped[0])))
	}
	d.printDoubts(out)
	return nil
}

// withoutRole names the layers that hold curves and have no role.
func (d *layersDocument) withoutRole() []string {
	var names []string
	for _, l := range d.Layers {
		if l.Role == "" && l.CurveLength > 0 {
			names = append(names, l.Name)
		}
	}
	return names
}

func entityList(entities map[string]int) string {
	names := make([]string, 0, len(entities))
	for n := range entities {
		names = append(names, n)
	}
	slices.Sort(names)
	for i, n := range names {
		names[i] = fmt.Sprintf("%d %s", entities[n], n)
	}
	return strings.Join(names, ", ")
}
