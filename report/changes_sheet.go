package report

import (
	"fmt"
	"math"
	"strings"

	"trueup/dxfio"
	"trueup/dxfio/piece"
	"trueup/rules"
)

// changed is the least difference between revisions that is shown: what a tape
// could tell, mm.
const changed = 0.1

// changesSheet compares with the revision before: pieces by id, flags by key.
func changesSheet(b *book) error {
	if b.in.Earlier == nil {
		return nil
	}
	title := "Changes"
	if b.in.Earlier.Revision > 0 {
		title = "Changes since revision " + itoa(b.in.Earlier.Revision)
	}
	t := b.newTable(b.changes, title, "Pieces are matched by their name, flags by what is wrong and where. A difference under "+b.in.Settings.Lengths(dxfio.UnitNone).Of(changed)+" is none.",
		[]column{{"What", 70, textColumn}, {"Which", 110, wrapColumn}, {"Change", 90, textColumn}, {"Detail", 330, wrapColumn}},
		b.lengthColumns("Before"), b.lengthColumns("Now"), b.fineColumns("Difference"))
	t.pieceChanges(b.in.Earlier.Pieces, b.in.Result.Pieces)
	t.flagChanges(b.in.Earlier.Flags, b.in.Result.Flags)
	if t.next == t.header+1 {
		t.none("Nothing changed.")
	}
	return t.close()
}

func (t *table) change(what, which, change, detail string, before, now any) {
	row := append([]any{what, which, change, detail}, t.book.both(before)...)
	row = append(row, t.book.both(now)...)
	var difference any
	if b, ok := before.(float64); ok {
		if n, ok := now.(float64); ok {
			difference = n - b
		}
	}
	t.add(append(row, t.book.both(difference)...)...)
}

func (t *table) pieceChanges(before, now []Piece) {
	old := map[string]Piece{}
	for _, p := range before {
		old[p.ID] = p
	}
	size := func(p Piece) string {
		return t.book.in.Settings.text(p.Length) + " × " + t.book.in.Settings.text(p.Width)
	}
	for _, p := range now {
		was, ok := old[p.ID]
		delete(old, p.ID)
		if !ok {
			t.change("piece", p.ID, "added", size(p), nil, nil)
			continue
		}
		for _, d := range []struct {
			name   string
			b, now float64
		}{
			{"length", was.Length, p.Length}, {"width", was.Width, p.Width}, {"thickness", was.Thickness, p.Thickness},
			{"perimeter", was.Perimeter, p.Perimeter}, {"finished edges", finishedLength(was), finishedLength(p)},
		} {
			if math.Abs(d.b-d.now) >= changed {
				t.change("piece", p.ID, "changed", d.name, d.b, d.now)
			}
		}
		if len(was.Cutouts) != len(p.Cutouts) {
			t.change("piece", p.ID, "changed", "cutouts: "+itoa(len(was.Cutouts))+" before, "+itoa(len(p.Cutouts))+" now", nil, nil)
		}
		t.cutoutChanges(was, p)
		if was.Kind != p.Kind {
			t.change("piece", p.ID, "changed", was.Kind+" before, "+p.Kind+" now", nil, nil)
		}
		if was.Material != p.Material {
			t.change("piece", p.ID, "changed", "material: "+was.Material+" before, "+p.Material+" now", nil, nil)
		}
	}
	for _, p := range before {
		if _, gone := old[p.ID]; gone {
			t.change("piece", p.ID, "gone", size(p), nil, nil)
		}
	}
}

// finishedLength is how much of a piece's edge is finished, mm.
func finishedLength(p Piece) float64 {
	sum := 0.0
	for _, e := range p.Edges {
		if e.Finish == string(piece.Finished) {
			sum += e.Length
		}
	}
	return sum
}

// cutoutChanges compares cutouts of the same id in kind, in size and in place
// against the piece's own corner.
func (t *table) cutoutChanges(was, now Piece) {
	old := map[string]Cutout{}
	for _, c := range was.Cutouts {
		old[c.ID] = c
	}
	for _, c := range now.Cutouts {
		o, ok := old[c.ID]
		if !ok {
			continue
		}
		if o.Kind != c.Kind {
			t.change("cutout", c.ID, "changed", o.Kind+" before, "+c.Kind+" now", nil, nil)
		}
		for _, d := range []struct {
			name   string
			b, now float64
		}{
			{"length", o.Length, c.Length}, {"width", o.Width, c.Width}, {"least radius", o.MinRadius, c.MinRadius},
			{"centre from the piece's left", o.Centroid[0] - was.BoundingBox[0], c.Centroid[0] - now.BoundingBox[0]},
			{"centre from the piece's bottom", o.Centroid[1] - was.BoundingBox[1], c.Centroid[1] - now.BoundingBox[1]},
		} {
			if math.Abs(d.b-d.now) >= changed {
				t.change("cutout", c.ID, "changed", d.name, d.b, d.now)
			}
		}
	}
}

// flagChanges says what became of each flag. Flags are the same where decisions
// are carried from one to the other: by the same key, a key next to it, or one decision
// that both have.
func (t *table) flagChanges(before, now []Flag) {
	was, gone := pairFlags(before, now)
	for i, f := range now {
		var b, n any
		if f.Unit == "mm" {
			n = f.Measured
			if was[i] != nil {
				b = was[i].Measured
			}
		}
		word, detail := flagChange(was[i], &f, t.book.in.Result.Revision)
		t.change("flag", f.ID, word, detail, b, n)
	}
	for _, f := range gone {
		t.change("flag", "was "+f.ID, "cleared", flagLine(f), nil, nil)
	}
}

// flagChange names what became of a flag since the revision before, in which it
// was was; nil when it was not there.
func flagChange(was, f *Flag, revision int) (word, detail string) {
	accepted := func(g *Flag) bool { return g.Decision != nil && g.Decision.Choice == Accept }
	switch {
	case was == nil && accepted(f) && f.Decision.Revision < revision:
		return "there again", flagLine(*f)
	case was == nil:
		return "new", flagLine(*f)
	case accepted(was) && f.Decision == nil:
		d := *was.Decision
		if d.Key == "" {
			d.Measured = was.Measured
		}
		return "got worse", fmt.Sprintf("%s (%s at %s: decide again)", strings.TrimRight(flagLine(*f), "."), decided(&d, revision), withUnit(d.Measured, f.Unit))
	}
	return "still there", flagLine(*f)
}

// pairFlags finds for each flag the one that it was, nil for none, and lists
// what is there no longer.
func pairFlags(before, now []Flag) (was []*Flag, gone []Flag) {
	pairs := rules.NewPairing(len(before), len(now))
	key, decided := func(f *Flag) string { return f.Key }, func(f *Flag) string {
		if f.Decision == nil {
			return ""
		}
		return f.Decision.Key
	}
	pairs.Equal(namesOf(before, key), namesOf(now, key))
	pairs.Equal(namesOf(before, decided), namesOf(now, decided))
	pairs.Near(namesOf(before, key), namesOf(now, key))
	was = make([]*Flag, len(now))
	for n, b := range pairs.Was {
		if b >= 0 {
			was[n] = &before[b]
		}
	}
	for _, b := range pairs.Left() {
		gone = append(gone, before[b])
	}
	return was, gone
}

func namesOf(flags []Flag, name func(*Flag) string) []string {
	out := make([]string, len(flags))
	for i := range flags {
		out[i] = name(&flags[i])
	}
	return out
}

func flagLine(f Flag) string { return severityWord(f.Severity) + ": " + strings.TrimSpace(f.Message) }

func roundTo(v, parts float64) float64 { return math.Round(v*parts) / parts }
