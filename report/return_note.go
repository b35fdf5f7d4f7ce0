package report

import (
	"fmt"
	"strings"

	"trueup/dxfio"
	"trueup/rules"
)

// noteWidth is the width of the note to the templater, characters.
const noteWidth = 76

// ReturnNote writes the plain text that goes back to the templater: what is sent
// back and why, what else was found, and what to do. Lines end in a line feed.
// Lengths are in inches too where the drawing or the reports are, places in the
// unit of the drawing.
func ReturnNote(r *Result, decisions map[string]Decision, look Settings) string {
	units := newNoteUnits(r, look)
	var b strings.Builder
	title := "Template sent back: " + lineText(r.jobName())
	if r.Revision > 0 {
		title += ", revision " + itoa(r.Revision)
	}
	fmt.Fprintf(&b, "%s\n%s\nFile: %s\n", title, strings.Repeat("=", min(len([]rune(title)), noteWidth)), lineText(r.Source.File))
	n, other := 0, 0
	b.WriteString("\nPlease fix\n----------\n")
	for _, f := range r.Flags {
		if d, ok := decisions[f.Key]; ok && d.Choice == Return {
			n++
			units.flag(&b, n, f, &d)
		}
	}
	for _, f := range r.Flags {
		if _, ok := decisions[f.Key]; ok || f.Severity != string(rules.Stop) {
			continue
		}
		if other++; other == 1 {
			b.WriteString("\nAlso found, not decided yet\n---------------------------\n")
		}
		units.flag(&b, n+other, f, nil)
	}
	b.WriteString("\n" + fold("The drawing marked.dxf beside this note shows each place. Save the corrected drawing into the drop folder under the same name; it becomes the next revision.", "") + "\n")
	return b.String()
}

func (n noteUnits) flag(b *strings.Builder, number int, f Flag, d *Decision) {
	head := fmt.Sprintf("%d. %s, %s", number, f.ID, severityWord(f.Severity))
	if f.Piece != "" {
		head += ", piece " + lineText(f.Piece)
	}
	b.WriteString("\n" + fold(head+": "+lineText(f.Message), "   ") + "\n")
	if f.Unit != "" {
		limit := ", limit " + n.figure(f.Limit, f.Unit)
		if f.NoLimit {
			limit = ""
		}
		b.WriteString("   " + fold("Measured "+n.figure(f.Measured, f.Unit)+limit+", "+n.place(f.At)+".", "   ") + "\n")
	}
	if f.Remedy != "" && f.Rule != forOffice {
		b.WriteString("   " + fold("What to do: "+lineText(f.Remedy), "   ") + "\n")
	}
	if d != nil {
		b.WriteString("   " + fold("Sent back by "+lineText(d.By)+": "+lineText(d.Why), "   ") + "\n")
	}
}

// noteUnits are the units that a note to the templater is written in.
type noteUnits struct {
	drawing dxfio.Unit
	inches  bool // beside millimetres
	alone   bool // inches and pounds, as the sentences of the note have them
}

func newNoteUnits(r *Result, look Settings) noteUnits {
	u, _ := dxfio.ParseUnit(r.Units.Drawing) // an unknown one is shown as mm
	return noteUnits{drawing: u, inches: u.Imperial() || look.Units != UnitsMM, alone: look.Lengths(u).Inches}
}

// figure writes what a flag measured, or its limit: 30 mm [1 3/16"], or 1.18 in.
func (n noteUnits) figure(v float64, unit string) string {
	switch {
	case n.alone && unit != "share":
		shown, word := Settings{Units: UnitsInch}.measure(unit, v)
		return strings.TrimSpace(fmt.Sprintf("%g %s", float64(shown), word))
	case unit == "mm" && n.inches:
		return Settings{}.text(v)
	}
	return withUnit(v, unit)
}

// place writes a place as a CAD program shows it in the templater's drawing.
func (n noteUnits) place(at XY) string {
	if mm := n.drawing.Millimetres(); mm == 0 || mm == 1 {
		return fmt.Sprintf("at x %s, y %s mm in the drawing", mmText(at[0]), mmText(at[1]))
	}
	return fmt.Sprintf("in the drawing at x %s, y %s", n.drawing.Coordinate(at[0]), n.drawing.Coordinate(at[1]))
}

// forOffice is the rule whose remedy is the office's to do: the templater has
// neither the sheets nor the slab that it speaks of.
const forOffice = "changed-since-release"

// withUnit is a measure as the sentence about it says it: shares in percent.
func withUnit(v float64, unit string) string {
	if unit == "share" {
		return fmt.Sprintf("%g %%", roundTo(100*v, 10))
	}
	s := fmt.Sprintf("%g", float64(shown(unit, v)))
	if unit == "" {
		return s
	}
	return s + " " + unitWord(unit)
}

// fold breaks a text into lines of at most noteWidth characters at its blanks;
// all lines but the first begin with the indent.
func fold(text, indent string) string {
	var b strings.Builder
	at := 0
	for i, word := range strings.Fields(text) {
		n := len([]rune(word))
		switch {
		case i == 0:
		case at+1+n > noteWidth-len(indent):
			b.WriteString("\n" + indent)
			at = 0
		default:
			b.WriteByte(' ')
			at++
		}
		b.WriteString(word)
		at += n
	}
	return b.String()
}
