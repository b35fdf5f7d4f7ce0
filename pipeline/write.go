package pipeline

import (
	"errors"
	"fmt"
	"io"
	"slices"

	"trueup/dxfio"
	"trueup/report"
	"trueup/rules"
)

// The files of a report.
const (
	WorkbookFile = "report.xlsx"
	CleanFile    = "clean.dxf"
	MarkedFile   = "marked.dxf"
	ResultFile   = "result.json"
	ReasonFile   = "reason.txt" // of a failed template, instead of the first three
)

// Write makes the report the one in dir, which exists: all its files are written
// beside their places before the first is renamed into its own, and nothing stays of
// a report that was there before. Other files in dir are not touched.
// Earlier is the result of the revision before, nil when there is none; notes
// stand on the workbook's first sheet.
func (o *Outcome) Write(dir string, earlier *report.Result, notes []string) error {
	return o.write(dir, earlier, notes, true)
}

// write writes the files of the report; a reason only where it is asked for: in
// a shop's folder the service writes its own page. A report that would pass the bound
// of its files becomes a failure that says so.
func (o *Outcome) write(dir string, earlier *report.Result, notes []string, reason bool) error {
	err := o.writeFiles(dir, earlier, notes, reason)
	if !errors.Is(err, errOutput) {
		return err
	}
	o.tooLarge()
	return o.writeFiles(dir, earlier, notes, reason)
}

func (o *Outcome) writeFiles(dir string, earlier *report.Result, notes []string, reason bool) error {
	b := newBudget(o.Result.Source.Bytes)
	marked := o.drawing != nil
	if marked {
		fits, err := o.markedFits(b.left)
		if err != nil {
			return fmt.Errorf("%s: %w", MarkedFile, err)
		}
		if !fits {
			marked = false
			o.Result.LeftOut = []report.LeftOut{{File: MarkedFile, Why: o.markedTooLarge()}}
			notes = append(slices.Clone(notes), o.markedTooLarge())
		}
	}
	files := []namedFile{{ResultFile, func(w io.Writer) error { return o.Result.WriteJSON(w, true) }}}
	if o.Template == nil || len(o.Template.Pieces) == 0 {
		if reason {
			files = append(files, namedFile{ReasonFile, o.writeReason})
		}
	} else {
		unit := o.unit()
		book, err := report.NewWriter(o.workbookInput(earlier, notes), &o.shop.tools)
		if err != nil {
			return fmt.Errorf("%s: %w", WorkbookFile, err)
		}
		defer book.Close()
		files = append(files,
			namedFile{WorkbookFile, book.Workbook},
			namedFile{CleanFile, func(w io.Writer) error { return dxfio.Write(w, report.CleanDrawing(o.Template, unit)) }},
		)
		names := report.PieceFiles(o.Result)
		for _, p := range o.Result.Pieces { // in order: a fault names the same file each time
			files = append(files, namedFile{names[p.ID], func(w io.Writer) error { return book.PieceSVG(w, p.ID) }})
		}
	}
	if marked {
		files = append(files, namedFile{MarkedFile, o.writeMarked})
	}
	for i := range files {
		files[i] = b.bound(files[i])
	}
	return exchangeFiles(dir, files)
}

func (o *Outcome) writeMarked(w io.Writer) error {
	return dxfio.Write(w, report.MarkedDrawing(o.drawing, o.Template.Shift, o.Result, o.unit()))
}

func (o *Outcome) workbookInput(earlier *report.Result, notes []string) report.WorkbookInput {
	return report.WorkbookInput{
		Result: o.Result, Template: o.Template, Limits: limits(o.shop.entries(), o.shop.settings, o.Template),
		Earlier: earlier, Notes: notes, Settings: o.shop.settings.Report,
	}
}

// unit returns the unit of the drawings written.
func (o *Outcome) unit() dxfio.Unit {
	switch o.shop.settings.CleanUnit {
	case "mm":
		return dxfio.UnitMillimetre
	case "in":
		return dxfio.UnitInch
	default:
		return o.Template.Units.Drawing
	}
}

func (o *Outcome) writeReason(w io.Writer) error {
	_, err := fmt.Fprintf(w, "%s\n\nThe template was not used. Nothing was cut, nothing was changed.\nfile:   %s\nsha256: %s\nbytes:  %d\n",
		o.Result.Error, o.Result.Source.File, o.Result.Source.SHA256, o.Result.Source.Bytes)
	if err != nil {
		return err
	}
	for _, f := range o.Result.Flags {
		if f.Severity == string(rules.Stop) {
			if _, err := fmt.Fprintf(w, "\n%s %s\n   %s\n", f.ID, f.Message, f.Remedy); err != nil {
				return err
			}
		}
	}
	return nil
}
