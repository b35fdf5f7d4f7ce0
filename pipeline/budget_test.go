package pipeline

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trueup/pipeline/settings"
	"trueup/report"
)

// pairs is a DXF of sections of "code value" words; ~ stands for a blank in a value.
func pairs(words string) []byte {
	list := strings.Fields(words)
	var b strings.Builder
	for i := 0; i+1 < len(list); i += 2 {
		fmt.Fprintf(&b, "%s\n%s\n", list[i], strings.ReplaceAll(list[i+1], "~", " "))
	}
	b.WriteString("0\nEOF\n")
	return []byte(b.String())
}

const top = " 0 LWPOLYLINE 8 COUNTER 90 4 70 1 10 0 20 0 10 2400 20 0 10 2400 20 635 10 0 20 635 "

func amplifier(blocks, entities string) []byte {
	return pairs("0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 BLOCKS " + blocks + " 0 ENDSEC 0 SECTION 2 ENTITIES " + entities + " 0 ENDSEC")
}

// TestOutputIsBound lets drawings of a few bytes try to fill the disk. The files of each
// keep within 20 MB and 200 bytes a byte, what is missing is told in a sentence, and
// so is why one fails.
func TestOutputIsBound(t *testing.T) {
	long := strings.Repeat("WORD~", 4000)
	block := func(name, content string) string {
		return " 0 BLOCK 8 0 2 " + name + " 10 0 20 0 " + content + " 0 ENDBLK 8 0"
	}
	text := func(value string) string { return " 0 TEXT 8 NOTES 10 9000 20 9000 40 10 1 " + value }
	array := func(name string, n int) string {
		return fmt.Sprintf(" 0 INSERT 8 NOTES 2 %s 10 0 20 0 70 %d 71 %d 44 1 45 1", name, n, n)
	}
	layers := strings.Builder{}
	for i := range 5000 {
		fmt.Fprintf(&layers, " 0 LINE 8 %s%d 10 %d 20 9000 11 %d 21 9001", strings.Repeat("X", 200), i, i, i)
	}
	strays := strings.Builder{}
	for i := range 20_000 {
		fmt.Fprintf(&strays, " 0 LINE 8 COUNTER 10 %d 20 9000 11 %d 21 9001", 10*i, 10*i)
	}
	for _, tc := range []struct {
		name    string
		drawing []byte
		want    string // part of the sentence; "" the report is whole
		failed  bool
	}{
		{"an ordinary top", amplifier("", top), "", false},
		{"array of a text", amplifier(block("A", text("W")), top+array("A", 340)), MarkedFile, false},
		{"array of a text, no top", amplifier(block("A", text("W")), array("A", 340)), MarkedFile, true},
		{"array of more texts than are read", amplifier(block("A", text("W")), top+array("A", 1000)), "reading.expanded", true},
		{"array of a long text", amplifier(block("A", text(long)), top+array("A", 25)), MarkedFile, false},
		{"array of a long name of signs", amplifier(block("A", text(strings.Repeat("☃", 4000))), top+array("A", 20)), MarkedFile, false},
		{"array of arrays", amplifier(block("A", text("W"))+block("B", array("A", 20))+block("C", array("B", 4)), top+array("C", 4)), MarkedFile, false},
		{"array of a hatch", amplifier(block("A", " 0 HATCH 8 NOTES 10 0 20 0 30 0 2 SOLID 70 1 71 0 91 1 92 1 93 1 72 1 10 0 20 0 11 1 21 1 97 0 75 0 76 1"), top+array("A", 300)), "", false},
		{"array of holes in the stone", amplifier(block("A", " 0 CIRCLE 8 COUNTER 10 30 20 30 40 0.2"), top+array("A", 20)), "", false},
		{"array of many holes in the stone", amplifier(block("A", " 0 CIRCLE 8 COUNTER 10 30 20 30 40 0.2"), top+array("A", 70)), MarkedFile, false},
		{"many layers with long names", amplifier("", top+layers.String()), "", false},
		{"many strays", amplifier("", top+strays.String()), "", false},
		{"lines of a text", amplifier(block("A", " 0 MTEXT 8 NOTES 10 9000 20 9000 40 10 1 "+strings.Repeat("W\\P", 3000)), top+array("A", 8)), MarkedFile, false},
		{"array of more lines than are read", amplifier(block("A", " 0 MTEXT 8 NOTES 10 9000 20 9000 40 10 1 "+strings.Repeat("W\\P", 3000)), top+array("A", 20)), "reading.expanded", true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(t.TempDir(), "kitchen.dxf")
			if err := os.WriteFile(path, tc.drawing, 0o666); err != nil {
				t.Fatal(err)
			}
			s := settings.Default()
			o := checkFile(context.Background(), Item{Path: path, File: "kitchen.dxf", Job: "kitchen"}, dir, &s)
			most := int64(20_000_000 + 200*len(tc.drawing))
			if held := heldBytes(t, dir); held > most {
				t.Errorf("%d bytes of drawing gave %d bytes of files, at most %d are promised", len(tc.drawing), held, most)
			}
			said := o.Result.Error
			for _, l := range o.Result.LeftOut {
				said += " " + l.Why
			}
			_, err := os.Stat(filepath.Join(dir, "kitchen", MarkedFile))
			if tc.want == MarkedFile && err == nil || !strings.Contains(said, tc.want) {
				t.Errorf("it says %q (marked drawing: %v), want a word of %q", said, err, tc.want)
			}
			if failed := o.Result.Verdict == report.Failed; failed != tc.failed {
				t.Errorf("verdict %s: %s", o.Result.Verdict, o.Result.Error)
			}
		})
	}
}

// What cannot be left out fails the template, with a sentence of its own, and
// leaves nothing else behind.
func TestReportPastItsBoundFails(t *testing.T) {
	o := check(t, amplifier("", top), nil)
	read := o.Result.Source
	o.tooLarge()
	if o.Result.Verdict != report.Failed || o.Result.Source != read || !strings.Contains(o.Result.Error, "20 MB and 200 bytes for each of the") {
		t.Errorf("%+v", o.Result)
	}
	b := newBudget(10)
	b.left = 5
	dir := t.TempDir()
	err := exchangeFiles(dir, []namedFile{b.bound(text("a", "1234")), b.bound(text("b", "56"))})
	if err == nil || !strings.Contains(err.Error(), errOutput.Error()) {
		t.Errorf("error %v", err)
	}
	if left := names(t, dir); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// heldBytes are the bytes of all files below a folder.
func heldBytes(t *testing.T, dir string) int64 {
	t.Helper()
	var n int64
	err := filepath.WalkDir(dir, func(_ string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		info, err := e.Info()
		if err == nil {
			n += info.Size()
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}
