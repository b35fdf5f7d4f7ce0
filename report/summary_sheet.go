package report

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"trueup/dxfio"
	"trueup/report/draw"
	"trueup/rules"
)

// Layout of the summary: twelve columns over the width of an upright page.
const (
	summaryColumns = 12
	summaryWide    = 188.0 // mm
	summaryPicture = 108.0 // mm high, less where there are many flags
	leastPicture   = 84.0  // mm high
	flagHigh       = 9.0   // mm of a line of a flag, as it mostly comes
	fewFlags       = 5     // that leave the picture its height
	pixelsPerMM    = 6     // of all pictures: about 150 to the inch, which an office printer shows sharp
	mostSummary    = 8     // rows of each list but the flags
	mostFlags      = 12
)

// summarySheet is the page the office decides from.
func summarySheet(b *book) error {
	s := b.summary
	widths := make([]float64, summaryColumns)
	for i := range widths {
		widths[i] = summaryWide * mmPixels / summaryColumns
	}
	s.columns(widths...)
	s.page(false, 1)
	row := s.heading()
	row = s.banner(row)
	row = s.figures(row)
	row = s.overview(row)
	for _, n := range b.in.Notes {
		s.span(row, 1, summaryColumns, n, look{wrap: true, bold: true, fill: fillInput, border: lineSoft})
		s.fitRow(row, n, 10, true, 1, summaryColumns)
		row++
	}
	row = s.decide(row)
	row = s.pieceLines(row)
	row = s.notChecked(row)
	s.cautions(row)
	return s.finish()
}

func (s *worksheet) heading() int {
	r := s.book.in.Result
	title := r.jobName()
	revision := ""
	if r.Revision > 0 {
		revision = "Revision " + itoa(r.Revision)
	}
	s.span(1, 1, 9, lineText(title), look{size: 20, bold: true, wrap: true})
	s.span(1, 10, 12, revision, look{size: 14, bold: true, align: "right"})
	s.height(1, 30)
	s.fitRow(1, lineText(title), 20, true, 1, 9)
	units := ""
	if r.Units.Drawing != "" {
		u, _ := dxfio.ParseUnit(r.Units.Drawing)
		units = ", drawn in " + u.Plural() + " (" + r.Units.From + ")"
	}
	line := fmt.Sprintf("Template review of %s, %d bytes%s", lineText(r.Source.File), r.Source.Bytes, units)
	s.span(2, 1, summaryColumns, line, look{color: inkQuiet, wrap: true})
	s.fitRow(2, line, 10, false, 1, summaryColumns)
	s.span(3, 1, summaryColumns, "SHA-256 "+r.Source.SHA256, look{color: inkQuiet, size: 7})
	return 4
}

// words says the verdict as one would.
func words(r *Result) string {
	t := Counts(r)
	switch r.Verdict {
	case Ready:
		blind := ""
		if n := len(blindStops(r)); n > 0 {
			blind = ", but " + plural(n, "stop check was", "stop checks were") + " not made"
		}
		if t.Stop > 0 {
			return fmt.Sprintf("READY: every stop flag is accepted (%d)%s", t.Stop, blind)
		}
		return "READY: nothing stops this template" + blind
	case Failed:
		return "FAILED: no piece could be made"
	}
	var parts []string
	if t.Undecided > 0 {
		if r.Revision > 0 {
			parts = append(parts, plural(t.Undecided, "stop flag", "stop flags")+" to decide on sheet Flags")
		} else {
			parts = append(parts, plural(t.Undecided, "stop flag waits", "stop flags wait")+" for a decision on sheet Flags")
		}
	}
	if t.Returned > 0 {
		parts = append(parts, plural(t.Returned, "flag is", "flags are")+" sent back")
	}
	if r.Revision > 0 {
		return "FOR REVIEW when made: " + strings.Join(parts, ", ")
	}
	return "REVIEW: " + strings.Join(parts, ", ")
}

// afterReview stands below the headline of a report in a shop's folders. The
// workbook goes on to ready/ or returned/ as the office saved it, and nobody writes into it:
// both lines have to be as true then as before.
const afterReview = "What was decided since stands in " + DecidedFile + " beside this workbook. Without that file nothing is decided: do not cut."

// DecidedFile is the name of the page beside a workbook that says what was decided.
const DecidedFile = "decided.txt"

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return itoa(n) + " " + many
}

func (s *worksheet) banner(row int) int {
	r := s.book.in.Result
	l := look{size: 15, bold: true, color: white, indent: 1}
	l.fill = map[Verdict]string{Ready: fillReady, Review: fillStop, Failed: fillFailed}[r.Verdict]
	below := ""
	switch {
	case r.Verdict == Ready:
		below = blindWords(r)
	case r.Verdict == Review && r.Revision > 0:
		below = afterReview // the machines get this sheet too, once it is decided
	}
	if below != "" {
		l.color, l.fill = inkWarn, fillWarn
	}
	s.span(row, 1, summaryColumns, words(r), l)
	s.height(row, 32)
	if below != "" { // on the same ground: it is part of what the headline says
		row++
		s.span(row, 1, summaryColumns, below, look{bold: true, wrap: true, color: inkWarn, fill: fillWarn, indent: 1})
		s.fitRow(row, below, 10, true, 1, summaryColumns)
	}
	if r.Error != "" {
		row++
		s.span(row, 1, summaryColumns, r.Error, look{size: 11, wrap: true, border: lineStrong})
		s.fitRow(row, r.Error, 11, false, 1, summaryColumns)
	}
	s.height(row+1, 6)
	return row + 2
}

// figures are the counts, two columns each.
func (s *worksheet) figures(row int) int {
	r, t := s.book.in.Result, Counts(s.book.in.Result)
	var area, mass float64
	for _, p := range r.Pieces {
		area, mass = area+p.Area, mass+p.Mass
	}
	type card struct {
		name, format string
		value        float64
		to           *worksheet
	}
	b := s.book
	cards := []card{
		{"Stop flags", formatCount, float64(t.Stop), b.flags}, {"Warnings", formatCount, float64(t.Warn), b.flags}, {"Notes", formatCount, float64(t.Note), b.flags},
		{"Pieces", formatCount, float64(len(r.Pieces)), b.pieces}, {"Stone, m²", `0.00`, area / metre2, b.pieces}, {"Mass, kg", formatCount, mass, b.pieces},
		{"Cutouts", formatCount, float64(countCutouts(r)), b.cutouts}, {"Seams", formatCount, float64(len(r.Seams)), b.seams}, {"Repairs", formatCount, float64(len(r.Repairs)), b.repairs},
		{"Not checked", formatCount, float64(len(r.Unchecked)), b.unchecked}, {"Not read", formatCount, float64(countUnread(r)), b.unchecked}, {"Run time, min", formatCount, runMinutes(r), b.setup},
	}
	if !b.in.Settings.metric() {
		cards[4], cards[5] = card{"Stone, ft²", `0.0`, area / foot2, b.pieces}, card{"Mass, lb", formatCount, mass / pound, b.pieces}
	}
	for i, c := range cards {
		at := row + i/6*2
		from := i%6*2 + 1
		s.span(at, from, from+1, c.value, look{size: 15, bold: true, format: c.format, align: "center", fill: fillBand})
		s.span(at+1, from, from+1, c.name, look{size: 9, align: "center", fill: fillBand, under: lineSoft, link: c.to != nil})
		if c.to != nil {
			s.link(at+1, from, c.to, "A1", "Open sheet "+c.to.name)
		}
		s.height(at, 22)
		s.height(at+1, 13)
	}
	s.height(row+4, 6)
	return row + 5
}

func countCutouts(r *Result) (n int) {
	for _, p := range r.Pieces {
		n += len(p.Cutouts)
	}
	return n
}

func countUnread(r *Result) (n int) {
	for _, u := range r.Unread {
		n += u.Count
	}
	return n
}

func runMinutes(r *Result) (sum float64) {
	for _, p := range r.Pieces {
		sum += p.Setup.RunMinutes
	}
	return sum
}

func (s *worksheet) overview(row int) int {
	b := s.book
	if b.in.Template == nil || len(b.in.Result.Pieces) == 0 {
		return row
	}
	high := summaryPicture - flagHigh*float64(max(0, min(len(b.in.Result.Flags), mostFlags)-fewFlags))
	high = max(high, leastPicture)
	canvas, ratio := templateDrawing(b.in.Template, b.in.Result, b.fonts, b.in.Settings, summaryWide, high)
	s.block(row, row, 1, summaryColumns, nil, look{})
	s.height(row, high*mmPoints+6)
	s.drawing(row, 1, canvas, 0, 3, "Template", templateAlt(b.in.Result, ratio))
	return row + 1
}

// drawing puts a canvas on the sheet at its true size.
func (s *worksheet) drawing(row, column int, canvas *draw.Canvas, offsetX, offsetY float64, name, alt string) {
	var png bytes.Buffer
	if err := canvas.PNG(&png, s.book.fonts, pixelsPerMM); err != nil {
		s.fail(err)
		return
	}
	pixels := func(mm float64) int { return int(math.Ceil(mm * pixelsPerMM)) }
	s.stretched(row, column, png.Bytes(), pixels(canvas.Width), pixels(canvas.Height), canvas.Width, canvas.Height, offsetX, offsetY, name, alt)
}

func (s *worksheet) section(row int, title string) int {
	s.span(row, 1, summaryColumns, title, look{bold: true, fill: fillHead, under: lineStrong})
	s.height(row, 16)
	return row + 1
}

// decide lists the gravest flags.
func (s *worksheet) decide(row int) int {
	b := s.book
	if len(b.in.Result.Flags) == 0 {
		row = s.section(row, "Flags")
		s.span(row, 1, summaryColumns, "None.", look{})
		return row + 1
	}
	row = s.section(row, "Flags, gravest first")
	shown := 0
	for _, severity := range [...]rules.Severity{rules.Stop, rules.Warn, rules.Note} {
		for i, f := range b.in.Result.Flags {
			if f.Severity != string(severity) || shown == mostFlags {
				continue
			}
			shown++
			text := f.Message
			if f.Decision != nil {
				text = fmt.Sprintf("%s (%s)", strings.TrimRight(text, "."), decided(f.Decision, b.in.Result.Revision))
			}
			s.set(row, 1, f.ID, look{link: true, under: lineSoft, align: "center"})
			s.link(row, 1, b.flags, cellName(1, flagRow(i)), "Open this flag")
			s.span(row, 2, 3, severityWord(f.Severity), severityLook(f.Severity))
			s.span(row, 4, 12, text, look{wrap: true, under: lineSoft})
			s.fitRow(row, text, 10, false, 4, 12)
			row++
		}
	}
	if more := len(b.in.Result.Flags) - shown; more > 0 {
		s.span(row, 1, summaryColumns, fmt.Sprintf("and %s on sheet %s", plural(more, "more", "more"), b.flags.name), look{italic: true, color: inkQuiet})
		row++
	}
	return row
}

func severityWord(severity string) string {
	if severity == string(rules.Warn) {
		return "warning"
	}
	return severity
}

func severityLook(severity string) look {
	switch rules.Severity(severity) {
	case rules.Stop:
		return look{bold: true, color: white, fill: fillStop, align: "center", under: lineSoft}
	case rules.Warn:
		return look{bold: true, color: inkWarn, fill: fillWarn, align: "center", under: lineSoft}
	}
	return look{color: inkNote, fill: fillNote, align: "center", under: lineSoft}
}

// decided says what was decided, in which revision and by whom.
func decided(d *Decision, current int) string {
	verb := map[string]string{Accept: "accepted", Return: "sent back"}[d.Choice]
	if verb == "" {
		verb = d.Choice
	}
	if d.Revision > 0 && d.Revision != current {
		verb += " in revision " + itoa(d.Revision)
	}
	if d.By != "" {
		verb += " by " + lineText(d.By)
	}
	return verb
}

func (s *worksheet) pieceLines(row int) int {
	b := s.book
	if len(b.in.Result.Pieces) == 0 {
		return row
	}
	row = s.section(row, "Pieces")
	for i, p := range b.in.Result.Pieces {
		if i == mostSummary {
			s.span(row, 1, summaryColumns, fmt.Sprintf("and %d more on sheet %s", len(b.in.Result.Pieces)-i, b.pieces.name), look{italic: true, color: inkQuiet})
			row++
			break
		}
		l := look{under: lineSoft}
		s.span(row, 1, 3, p.ID, look{bold: true, wrap: true, under: lineSoft, link: b.piece[i] != nil})
		s.fitRow(row, p.ID, 10, true, 1, 3)
		if b.piece[i] != nil {
			s.link(row, 1, b.piece[i], "A1", "Drawing and set-up of this piece")
		}
		s.span(row, 4, 9, b.in.Settings.text(p.Length)+" × "+b.in.Settings.text(p.Width)+" × "+mmText(p.Thickness)+" mm", l)
		stone := b.massText(p.Mass) + ", " + lineText(p.Material)
		s.span(row, 10, 12, stone, look{under: lineSoft, wrap: true, align: "right"})
		s.fitRow(row, stone, 10, false, 10, 12)
		row++
	}
	if n := len(b.in.Result.Pieces); int64(n) > b.in.Settings.PieceSheets && b.in.Template != nil {
		s.span(row, 1, summaryColumns, fmt.Sprintf("Only the first %d pieces have a sheet of their own (setting report.piece_sheets).", b.in.Settings.PieceSheets), look{italic: true, wrap: true})
		row++
	}
	return row
}

func (b *book) massText(kg float64) string {
	metric, imperial := fmt.Sprintf("%.0f kg", kg), fmt.Sprintf("%.0f lb", kg/pound)
	switch b.in.Settings.Units {
	case UnitsMM:
		return metric
	case UnitsInch:
		return imperial
	}
	return metric + " [" + imperial + "]"
}

func (s *worksheet) notChecked(row int) int {
	b := s.book
	row = s.section(row, "Not checked, and why")
	if len(b.in.Result.Unchecked) == 0 {
		s.span(row, 1, summaryColumns, "Every rule looked.", look{})
		return row + 1
	}
	for i, u := range b.in.Result.Unchecked {
		if i == mostSummary {
			s.span(row, 1, summaryColumns, fmt.Sprintf("and %d more on sheet %s", len(b.in.Result.Unchecked)-i, b.unchecked.name), look{italic: true, color: inkQuiet})
			return row + 1
		}
		s.span(row, 1, 3, u.Rule, look{under: lineSoft})
		s.span(row, 4, 12, u.Why, look{wrap: true, under: lineSoft})
		s.fitRow(row, u.Why, 10, false, 4, 12)
		row++
	}
	return row
}

func (s *worksheet) cautions(row int) {
	row = s.section(row, "Cautions")
	for _, c := range cautions() {
		s.span(row, 1, summaryColumns, c, look{size: 8, wrap: true, valign: "top"})
		s.fitRow(row, c, 8, false, 1, summaryColumns)
		row++
	}
}
