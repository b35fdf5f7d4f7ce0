package report

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"trueup/rules"
)

// Titles of the columns that decisions are read back from.
const (
	titleFlag     = "No."
	titleDecision = "Decision"
	titleBy       = "By"
	titleWhy      = "Why"
	titleUnit     = "Unit"
	titleDecided  = "Decided"
	titleKey      = "Key (do not change)"
)

// flagsSheetName is the sheet that decisions are read back from.
const flagsSheetName = "Flags"

// flagHeader is the row of the titles of the flags' table.
const flagHeader = 3

func flagRow(index int) int { return flagHeader + 1 + index }

// flagsSheet lists the flags with columns for the decisions. Only these are
// unlocked; the protection has no password, it keeps honest people from slips.
func flagsSheet(b *book) error {
	// What is printed is as narrow as it can be: its width sets the size of the type.
	printed := [][]column{
		{{titleFlag, 44, countColumn}, {"Severity", 78, textColumn}, {"Piece", 82, wrapColumn}, {"What is wrong", 236, wrapColumn}},
		{{"What to do", 196, wrapColumn}, {titleDecision, 82, inputColumn}, {titleBy, 84, inputColumn}, {titleWhy, 130, inputColumn}},
		{{"Measured", 74, countColumn}, {"Limit", 54, countColumn}, {titleUnit, 46, textColumn}},
	}
	if b.in.Settings.Units == UnitsBoth {
		printed = append(printed, []column{{"Measured\nin", 74, countColumn}, {"Limit\nin", 62, countColumn}})
	}
	// Earlier decisions, places, rules and keys are for the screen.
	screen := [][]column{{{titleDecided, 120, wrapColumn}}, b.placeColumns(70, "Where x", "Where y"), {{"Rule", 130, textColumn}, {titleKey, 280, textColumn}}}
	t := b.newScreenTable(b.flags, "Flags", "Choose accept or return for each stop flag, in its yellow cells, and write your name and the reason. Any flag may be returned, and one return sends the template back. Save and close the workbook; the rest is done by itself.", printed, screen)
	t.set(1, t.column(titleKey), markOf(b.in.Result).String(), look{color: inkQuiet, size: 7})
	for i, f := range b.in.Result.Flags {
		t.flag(i, f)
	}
	if len(b.in.Result.Flags) == 0 {
		t.none("No flags: everything that was checked is within the limits.")
	} else {
		t.decisions(b.in.Result.Flags)
	}
	t.fail(b.file.ProtectSheet(t.name, &excelize.SheetProtectionOptions{
		SelectLockedCells: true, SelectUnlockedCells: true, AutoFilter: true, Sort: true, FormatColumns: true, FormatRows: true,
	}))
	return t.close()
}

func (t *table) flag(i int, f Flag) {
	b := t.book
	measured, unit := b.in.Settings.measure(f.Unit, f.Measured)
	row := []any{nil, severityWord(f.Severity), piecesOf(&f), f.Message, f.Remedy, nil, nil, nil, measured, nil, unit}
	switch {
	case f.Unit == "" && f.Measured == 0 && f.Limit == 0:
		row[len(row)-3] = nil // there is nothing to measure: 0 would read as a finding
	case !f.NoLimit:
		row[len(row)-2], _ = b.in.Settings.measure(f.Unit, f.Limit)
	}
	if b.in.Settings.Units == UnitsBoth {
		switch {
		case f.Unit != "mm":
			row = append(row, nil, nil)
		case f.NoLimit:
			row = append(row, shownInches(f.Measured), nil)
		default:
			row = append(row, shownInches(f.Measured), shownInches(f.Limit))
		}
	}
	choice, by, why, when := "", "", "", ""
	if d := f.Decision; d != nil {
		choice, by, why, when = d.Choice, d.By, d.Why, decided(d, b.in.Result.Revision)
	}
	at := t.next
	row = append(row, when, f.At[0], f.At[1], f.Rule, f.Key)
	t.add(row...)
	t.set(at, 1, f.ID, look{under: lineSoft, bold: true, align: "center", link: true})
	if target, cell := b.drawingOf(f); i < mostLinks {
		t.link(at, 1, target, cell, "Open the drawing")
	}
	t.set(at, 2, severityWord(f.Severity), severityLook(f.Severity))
	input := look{border: lineSoft, unlocked: true, wrap: true, format: formatText, align: "left", indent: 1}
	if f.Severity == string(rules.Stop) { // only these wait for an answer
		input.fill = fillInput
	}
	first := t.column(titleDecision)
	t.set(at, first, choice, input)
	t.set(at, first+1, by, input)
	t.set(at, first+2, why, input)
	t.fitRow(at, why, 10, false, first+2, first+2)
}

// piecesOf names the piece of a flag, or both.
func piecesOf(f *Flag) string {
	if f.Other == "" {
		return f.Piece
	}
	return f.Piece + " and " + f.Other
}

// mostLinks keeps the time for links, which grows with their square, small.
const mostLinks = 2000

// drawingOf returns where a flag is drawn: on its piece's sheet, otherwise on
// the summary.
func (b *book) drawingOf(f Flag) (*worksheet, string) {
	for i, p := range b.in.Result.Pieces {
		if p.ID == f.Piece && b.piece[i] != nil {
			return b.piece[i], "A1"
		}
	}
	return b.summary, "A1"
}

// column returns the number of the column with a title.
func (t *table) column(title string) int {
	for i, c := range t.columns {
		if c.title == title {
			return i + 1
		}
	}
	panic("report: no column " + title)
}

// shown rounds a measurement as a shop reads it: lengths to the tenth, shares to
// the thousandth. The exact number stands in the result document.
func shown(unit string, v float64) number {
	step := 10.0
	switch unit {
	case "share":
		step = 1000
	case "", "mm2":
		step = 1
	}
	return number(roundTo(v, step))
}

func unitWord(unit string) string {
	switch unit {
	case "mm2":
		return "mm²"
	case "kg/m3":
		return "kg/m³"
	}
	return unit
}

// decisions lets the decision cells take only the words that their flags take, and asks
// for a name and a reason.
func (t *table) decisions(flags []Flag) {
	first, last := flagHeader+1, t.next-1
	column := t.column(titleDecision)
	var both, back []string // runs of rows
	for from := 0; from < len(flags); {
		only := returnOnly(&flags[from])
		to := from
		for to < len(flags) && returnOnly(&flags[to]) == only {
			to++
		}
		run := cellName(column, first+from) + ":" + cellName(column, first+to-1)
		if only {
			back = append(back, run)
		} else {
			both = append(both, run)
		}
		from = to
	}
	t.choices(both, []string{Accept, Return}, "accept: cut it as it is. return: send the template back.")
	t.choices(back, []string{Return}, "return: send the template back. This flag cannot be accepted: because of it other checks did not look.")
	text := excelize.NewDataValidation(true)
	text.Sqref = cellName(column+1, first) + ":" + cellName(column+2, last)
	t.fail(text.SetRange(0, mostDecisionText, excelize.DataValidationTypeTextLength, excelize.DataValidationOperatorBetween))
	text.SetError(excelize.DataValidationErrorStyleStop, "Too long", "At most "+itoa(mostDecisionText)+" characters.")
	t.fail(t.book.file.AddDataValidation(t.name, text))
}

// choices lets cells take some words only.
func (t *table) choices(cells, words []string, help string) {
	if len(cells) == 0 {
		return
	}
	list := excelize.NewDataValidation(true)
	list.Sqref = strings.Join(cells, " ")
	t.fail(list.SetDropList(words))
	list.SetError(excelize.DataValidationErrorStyleStop, "Decision", "Write "+strings.Join(words, " or ")+", or leave the cell empty.")
	list.SetInput("Decision", help)
	t.fail(t.book.file.AddDataValidation(t.name, list))
}

// returnOnly reports whether a flag can only be sent back.
func returnOnly(f *Flag) bool {
	r, known := rules.Find(f.Rule)
	return known && r.ReturnOnly
}
