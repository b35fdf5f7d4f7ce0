package pipeline

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"trueup/dxfio"
	"trueup/report"
)

// The files of one template hold at most outputBase bytes and outputPerByte for each
// byte that was read: an ordinary report takes some 250 kB, and 200 times the drawing is
// more than any sheet or picture of it needs. Without a bound a few hundred bytes (an array
// of an array of a text) would fill the share's disk. Common practice, no source.
const (
	outputBase    = 20_000_000
	outputPerByte = 200
)

// errOutput says that a template's files would pass their bound.
var errOutput = errors.New("more bytes than a drawing of this size may give")

// budget is what the files of one template may still take, bytes.
type budget struct{ left int64 }

func newBudget(read int64) *budget { return &budget{outputBase + outputPerByte*read} }

// bound makes a file count against the budget; its writing ends with errOutput once
// nothing is left.
func (b *budget) bound(f namedFile) namedFile {
	return namedFile{f.name, func(w io.Writer) error { return f.write(&boundWriter{w, &b.left}) }}
}

type boundWriter struct {
	w    io.Writer
	left *int64
}

func (b *boundWriter) Write(p []byte) (int, error) {
	if *b.left -= int64(len(p)); *b.left < 0 {
		return 0, errOutput
	}
	return b.w.Write(p)
}

// markedShare is the part of the budget that the marked drawing may take: it repeats
// what was read, and the other files are worth more than it is.
const markedShare = 2

// markedFits tells whether the marked drawing keeps within its share. Only one that
// could be too large is written to find out, to nowhere.
func (o *Outcome) markedFits(left int64) (bool, error) {
	share := left / markedShare
	if markedAtMost(o.drawing, o.Result) <= share {
		return true, nil
	}
	if markedAtLeast(o.drawing) > share {
		return false, nil
	}
	err := o.writeMarked(&boundWriter{io.Discard, &share})
	if errors.Is(err, errOutput) {
		return false, nil
	}
	return true, err
}

// Bounds of what things take in a DXF, bytes: each number at most 25, each group
// code 5, and a layer's name as long as a line of the file may be is shared by few.
const (
	curveAtMost  = 400
	curveAtLeast = 10
	labelAtMost  = 500
	runeAtMost   = 7 // \U+263A
)

// markedAtLeast is less than the marked drawing takes.
func markedAtLeast(d *dxfio.Drawing) int64 {
	n := int64(len(d.Curves)) * curveAtLeast
	for _, t := range d.Texts {
		n += int64(len(strings.TrimSpace(t.Value))) / 2 // blanks and signs that are not written
	}
	return n
}

// markedAtMost is more than the marked drawing can take unless names of layers are
// very long.
func markedAtMost(d *dxfio.Drawing, r *report.Result) int64 {
	longest := 0
	for _, l := range d.Layers {
		longest = max(longest, len(l.Name))
	}
	name := int64(runeAtMost * longest)
	n := int64(len(d.Layers)) * (labelAtMost + name)
	n += int64(len(d.Curves)) * (curveAtMost + name)
	for _, t := range d.Texts {
		lines := int64(1 + strings.Count(t.Value, "\n"))
		n += runeAtMost*int64(len(t.Value)) + lines*(labelAtMost+name)
	}
	for _, f := range r.Flags {
		n += int64(2+len(f.Further)) * 2 * labelAtMost
	}
	return n
}

// markedTooLarge is the sentence about a marked drawing that was left out.
func (o *Outcome) markedTooLarge() string {
	return fmt.Sprintf("%s was left out: it would take more than half of what the files of a drawing of %d bytes may hold; "+
		"the drawing repeats something very often (arrays of blocks, long texts): take that out and drop it again", MarkedFile, o.Result.Source.Bytes)
}

// tooLarge makes the outcome the failure of a template whose report passes its
// bound, and gives the files of that.
func (o *Outcome) tooLarge() {
	s := o.Result.Source
	err := fmt.Errorf("%s: its report would hold more than %d MB, which is 20 MB and %d bytes for each of the %d bytes of the drawing; "+
		"take out what the stone does not need (arrays of blocks, long texts, many layers), and export it again",
		s.File, (outputBase+outputPerByte*s.Bytes)/1_000_000, outputPerByte, s.Bytes)
	*o = Outcome{Result: report.FailedResult(s, o.Result.Job, o.Result.Revision, err), shop: o.shop}
}
