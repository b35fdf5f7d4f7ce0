package report

import (
	"fmt"
	"strings"

	"trueup/rules"
)

// noteWidth is the width of the note to the templater, characters.
const noteWidth = 76

// ReturnNote writes the plain text that goes back to the templater: what is sent
// back and why, what else was found, and what to do. Lines end in a line feed.
func ReturnNote(r *Result, decisions map[string]Decision) string {
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
			noteFlag(&b, n, f, &d)
		}
	}
	for _, f := range r.Flags {
		if _, ok := decisions[f.Key]; ok || f.Severity != string(rules.Stop) {
			continue
		}
		if other++; other == 1 {
			b.WriteString("\nAlso found, not decided yet\n---------------------------\n")
		}
		noteFlag(&b, n+other, f, nil)
	}
	b.WriteString("\n" + fold("The drawing marked.dxf beside this note shows each place. Save the corrected drawing into the drop folder under the same name; it becomes the next revision.", "") + "\n")
	return b.String()
}

func noteFlag(b *strings.Builder, n int, f Flag, d *Decision) {
	head := fmt.Sprintf("%d. %s, %s", n, f.ID, severityWord(f.Severity))
	if f.Piece != "" {
		head += ", piece " + lineText(f.Piece)
	}
	b.WriteString("\n" + fold(head+": "+lineText(f.Message), "   ") + "\n")
	if f.Unit != "" {
		limit := ", limit " + withUnit(f.Limit, f.Unit)
		if f.NoLimit {
			limit = ""
		}
		fmt.Fprintf(b, "   Measured %s%s, at x %s, y %s mm in the drawing.\n", withUnit(f.Measured, f.Unit), limit, mmText(f.At[0]), mmText(f.At[1]))
	}
	if f.Remedy != "" {
		b.WriteString("   " + fold("What to do: "+lineText(f.Remedy), "   ") + "\n")
	}
	if d != nil {
		b.WriteString("   " + fold("Sent back by "+lineText(d.By)+": "+lineText(d.Why), "   ") + "\n")
	}
}

func withUnit(v float64, unit string) string {
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
