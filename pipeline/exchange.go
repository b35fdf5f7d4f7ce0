package pipeline

import (
	"bufio"
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"trueup/pipeline/safefs"
)

// temporaryMark begins the names of files on their way into or out of a report.
const temporaryMark = ".trueup-"

// leftoverAge is how old a temporary file is before it is taken for one that a
// crash left behind; a report is written in seconds.
const leftoverAge = time.Hour

// namedFile is a file of a report and what writes it.
type namedFile struct {
	name  string
	write func(io.Writer) error
}

// exchangeFiles makes the given files the report in dir, in place of the one of
// an earlier run, of which nothing stays. Other files in dir are not touched.
//
// The new files are written whole first, under temporary names; then the earlier
// report is moved aside, file by file; then the new one moves in. When a move is
// refused, which a workbook held open does on Windows, the earlier report is put
// back as it was. So whatever is in sight at any instant, after a crash too, is of
// one drawing.
func exchangeFiles(dir string, files []namedFile) error {
	return exchangeBy(os.Rename, dir, files)
}

// exchangeBy is exchangeFiles with the rename that it is to use, so that tests
// can let any one of them fail.
func exchangeBy(rename func(from, to string) error, dir string, files []namedFile) (err error) {
	earlier, err := reportFiles(dir)
	if err != nil {
		return err
	}
	if slices.Contains(earlier, WorkbookFile) {
		if err := heldOpen(dir); err != nil {
			return err
		}
	}
	in, out := moves{rename: rename}, moves{rename: rename}
	defer func() {
		if err != nil {
			err = errors.Join(err, in.back())
			err = errors.Join(err, out.back())
			for _, m := range in.list {
				os.Remove(m.from) // an old temporary file is the next run's to remove
			}
		}
	}()
	for _, f := range files {
		name, err := writeTemporary(dir, f.write)
		if err != nil {
			return fmt.Errorf("%s: %w", f.name, err)
		}
		in.plan(name, filepath.Join(dir, f.name))
	}
	for _, name := range earlier {
		aside, err := freeName(dir)
		if err != nil {
			return err
		}
		out.plan(filepath.Join(dir, name), aside)
	}
	if err := out.do(); err != nil {
		return err
	}
	if err := in.do(); err != nil {
		return err
	}
	// The new report stands. What cannot be removed now is a hidden file, and the
	// next run's to remove.
	for _, m := range out.list {
		os.Remove(m.to)
	}
	return nil
}

// moves are renames that are planned, and how many of them are done.
type moves struct {
	rename func(from, to string) error
	list   []move
	done   int
}

type move struct{ from, to string }

func (m *moves) plan(from, to string) { m.list = append(m.list, move{from, to}) }

func (m *moves) do() error {
	for _, one := range m.list {
		if err := m.rename(one.from, one.to); err != nil {
			return err
		}
		m.done++
	}
	return nil
}

// back undoes what was done, the last first.
func (m *moves) back() error {
	var err error
	for ; m.done > 0; m.done-- {
		one := m.list[m.done-1]
		err = errors.Join(err, m.rename(one.to, one.from))
	}
	return err
}

// reportFiles lists the files of a report in dir, the workbook first because it
// is the one that people hold open, and removes old temporary files.
func reportFiles(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var list []string
	for _, e := range entries {
		switch {
		case e.IsDir():
		case e.Name() == WorkbookFile:
			list = slices.Insert(list, 0, e.Name())
		case isReportName(e.Name()):
			list = append(list, e.Name())
		case strings.HasPrefix(e.Name(), "piece-") && strings.HasSuffix(e.Name(), ".svg") && isPieceDrawing(filepath.Join(dir, e.Name())):
			list = append(list, e.Name())
		case strings.HasPrefix(e.Name(), temporaryMark):
			if info, err := e.Info(); err == nil && time.Since(info.ModTime()) > leftoverAge {
				os.Remove(filepath.Join(dir, e.Name())) // tried again by the next run
			}
		}
	}
	return list, nil
}

func isReportName(name string) bool {
	switch name {
	case WorkbookFile, CleanFile, MarkedFile, ResultFile, ReasonFile:
		return true
	}
	return false
}

// pieceMark stands in the head of every drawing of a piece that a report holds.
const pieceMark = `<desc id="d">Drawing of piece `

// pieceHead is where pieceMark is looked for: before it come a name of a piece
// and one of a job.
const pieceHead = 4 << 10

// isPieceDrawing tells a drawing of a piece from a user's file of such a name.
func isPieceDrawing(path string) bool {
	f, _, err := safefs.OpenPath(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head, err := io.ReadAll(io.LimitReader(f, pieceHead))
	return err == nil && bytes.Contains(head, []byte(pieceMark))
}

// heldOpen refuses a folder in which a mark of a spreadsheet program says that
// somebody has the workbook open: saved later, it would stand beside the files
// of another drawing. The marks are common practice of the programs, no source.
func heldOpen(dir string) error {
	for _, mark := range [...]string{"~$" + WorkbookFile, ".~lock." + WorkbookFile + "#"} {
		if _, err := os.Lstat(filepath.Join(dir, mark)); err == nil {
			return fmt.Errorf("%s is open in a spreadsheet program, as %s beside it says: the earlier report stays; close the workbook there, or remove %s when nobody has it open",
				filepath.Join(dir, WorkbookFile), mark, mark)
		}
	}
	return nil
}

// freeName is a name in dir that no file has.
func freeName(dir string) (string, error) {
	f, err := newTemporary(dir)
	if err != nil {
		return "", err
	}
	return f.Name(), f.Close()
}

// newTemporary creates a file under a temporary name, with the rights that this
// user gives new files: in a shop's folder the office has to save the workbook.
func newTemporary(dir string) (*os.File, error) {
	return os.OpenFile(filepath.Join(dir, temporaryMark+rand.Text()), os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
}

// writeTemporary writes a file under a temporary name in dir, and gives the name.
func writeTemporary(dir string, write func(io.Writer) error) (name string, err error) {
	f, err := newTemporary(dir)
	if err != nil {
		return "", err
	}
	b := bufio.NewWriterSize(f, 1<<16)
	err = write(b)
	if err == nil {
		err = b.Flush()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return "", errors.Join(err, os.Remove(f.Name()))
	}
	return f.Name(), nil
}

// isTemplateOf refuses a report whose files would take the place of a template
// that is being checked: DIR/JOB/clean.dxf may be one, when DIR holds templates.
func isTemplateOf(items []Item) func(dir string) error {
	taken := map[string]fs.FileInfo{}
	for _, it := range items {
		if !isReportName(filepath.Base(it.Path)) {
			continue
		}
		if info, err := os.Stat(it.Path); err == nil {
			taken[it.Path] = info
		}
	}
	return func(dir string) error {
		for path, info := range taken {
			there, err := os.Stat(filepath.Join(dir, filepath.Base(path)))
			if err == nil && os.SameFile(info, there) {
				return fmt.Errorf("%s is a template itself, and a report has a file of this name", path)
			}
		}
		return nil
	}
}
