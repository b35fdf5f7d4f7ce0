package pipeline

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"trueup/dxfio"
	"trueup/pipeline/settings"
	"trueup/report"
)

// names lists a folder.
func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, e := range entries {
		list = append(list, e.Name())
	}
	return list
}

// What a report of an earlier run leaves beside the report of another drawing,
// or beside the reason why there is none, can be cut by mistake.
func TestAReportReplacesTheEarlierOne(t *testing.T) {
	set := settings.Default()
	first := string(drawing(t, dxfio.UnitMillimetre, "OUTLINE 0,0 2400,0 2400,640 0,640", "OUTLINE 0,1000 900,1000 900,1500 0,1500"))
	second := string(drawing(t, dxfio.UnitMillimetre, "OUTLINE 0,0 900,0 900,500 0,500"))
	const cut = "  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n"
	whole := []string{CleanFile, MarkedFile, "piece-A.svg", WorkbookFile, ResultFile}
	for _, tc := range []struct {
		name  string
		runs  []string
		final []string
	}{
		{"fewer pieces", []string{first, second}, whole},
		{"failed after good", []string{first, cut}, []string{ReasonFile, ResultFile}},
		{"good after failed", []string{cut, second}, whole},
		{"good, failed, good", []string{first, cut, second}, whole},
	} {
		t.Run(tc.name, func(t *testing.T) {
			dir := t.TempDir()
			out := filepath.Join(dir, "out")
			own := map[string]string{"piece-mine.svg": "<svg><title>mine</title></svg>", "notes.txt": "mine", "order.pdf": "mine"}
			for i, text := range tc.runs {
				file := filepath.Join(dir, "job.dxf")
				if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
				items, err := Find([]string{file})
				if err != nil {
					t.Fatal(err)
				}
				checkFile(t.Context(), items[0], out, &set)
				if i == 0 {
					for name, content := range own {
						if err := os.WriteFile(filepath.Join(out, "job", name), []byte(content), 0o644); err != nil {
							t.Fatal(err)
						}
					}
				}
			}
			want := slices.Concat(tc.final, []string{"notes.txt", "order.pdf", "piece-mine.svg"})
			slices.Sort(want)
			if got := names(t, filepath.Join(out, "job")); !slices.Equal(got, want) {
				t.Errorf("the folder holds %v, want %v", got, want)
			}
			for name, content := range own {
				if have, err := os.ReadFile(filepath.Join(out, "job", name)); err != nil || string(have) != content {
					t.Errorf("%s was touched: %q, %v", name, have, err)
				}
			}
		})
	}
}

// text is a file of a report that holds the given words.
func text(name, words string) namedFile {
	return namedFile{name, func(w io.Writer) error { _, err := io.WriteString(w, words); return err }}
}

// Whichever rename fails or is the last before a crash, files of two drawings
// never stand beside each other; after a failure the earlier report stands whole.
func TestExchangeAtEveryInstant(t *testing.T) {
	earlier := []namedFile{text(WorkbookFile, "old"), text(CleanFile, "old"), text(ResultFile, "old"), text("piece-A.svg", "<desc id=\"d\">Drawing of piece A, old")}
	later := []namedFile{text(ResultFile, "new"), text(WorkbookFile, "new"), text(CleanFile, "new"), text(MarkedFile, "new")}
	errHeld, errCrash := errors.New("held open"), errors.New("crash")
	for _, end := range []error{errHeld, errCrash} {
		for n := range len(earlier) + len(later) {
			dir := t.TempDir()
			if err := exchangeFiles(dir, earlier); err != nil {
				t.Fatal(err)
			}
			renames := 0
			err := func() (err error) {
				defer func() {
					if p := recover(); p != nil {
						err = p.(error)
					}
				}()
				return exchangeBy(func(from, to string) error {
					if renames++; renames == n+1 {
						if end == errCrash {
							panic(end)
						}
						return end
					} else if renames > n+1 && end == errCrash {
						panic(end) // nothing is undone after a crash
					}
					return os.Rename(from, to)
				}, dir, later)
			}()
			if !errors.Is(err, end) {
				t.Fatalf("rename %d: %v", n, err)
			}
			seen, whole := map[string]bool{}, 0
			for _, name := range names(t, dir) {
				if strings.HasPrefix(name, temporaryMark) {
					continue
				}
				have, err := os.ReadFile(filepath.Join(dir, name))
				if err != nil {
					t.Fatal(err)
				}
				seen[string(have[max(0, len(have)-3):])] = true
				whole++
			}
			if len(seen) > 1 || end == errHeld && (whole != len(earlier) || !seen["old"]) {
				t.Errorf("%v at rename %d: files of %v in sight, %d of them", end, n, seen, whole)
			}
			// The next run makes it right, whatever was left.
			age(t, dir)
			if err := exchangeFiles(dir, later); err != nil {
				t.Fatal(err)
			}
			if got, want := names(t, dir), []string{CleanFile, MarkedFile, WorkbookFile, ResultFile}; !slices.Equal(got, want) {
				t.Errorf("%v at rename %d, then a run: %v, want %v", end, n, got, want)
			}
		}
	}
}

// age makes the temporary files of a folder old.
func age(t *testing.T, dir string) {
	t.Helper()
	for _, name := range names(t, dir) {
		if strings.HasPrefix(name, temporaryMark) {
			old := time.Now().Add(-2 * leftoverAge)
			if err := os.Chtimes(filepath.Join(dir, name), old, old); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// A workbook that somebody has open would be saved beside another drawing's files.
func TestAnOpenWorkbookKeepsItsReport(t *testing.T) {
	for _, mark := range []string{"~$report.xlsx", ".~lock.report.xlsx#"} {
		dir := t.TempDir()
		if err := exchangeFiles(dir, []namedFile{text(WorkbookFile, "old"), text(CleanFile, "old")}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, mark), nil, 0o644); err != nil {
			t.Fatal(err)
		}
		err := exchangeFiles(dir, []namedFile{text(ReasonFile, "new")})
		if err == nil || !strings.Contains(err.Error(), mark) || !strings.Contains(err.Error(), "close the workbook") {
			t.Errorf("%s: %v", mark, err)
		}
		if got, want := names(t, dir), 3; len(got) != want {
			t.Errorf("%s: %v", mark, got)
		}
	}
}

// DIR may hold the templates: kitchen.dxf and kitchen/clean.dxf are two of them.
func TestAReportNeverReplacesATemplate(t *testing.T) {
	dir := t.TempDir()
	set := settings.Default()
	text := string(drawing(t, dxfio.UnitMillimetre, "OUTLINE 0,0 900,0 900,500 0,500"))
	for _, name := range []string{"kitchen.dxf", "kitchen/clean.dxf"} {
		if err := os.MkdirAll(filepath.Join(dir, "kitchen"), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	items, err := Find([]string{dir})
	if err != nil {
		t.Fatal(err)
	}
	verdicts := map[string]report.Verdict{}
	err = Batch(t.Context(), items, 1, dir, &set, func(it Item, o *Outcome) error {
		verdicts[it.File] = o.Result.Verdict
		return nil
	})
	if err != nil || verdicts["kitchen.dxf"] != report.Failed || verdicts["kitchen/clean.dxf"] == report.Failed {
		t.Errorf("%v, %v", verdicts, err)
	}
	if have, err := os.ReadFile(filepath.Join(dir, "kitchen", "clean.dxf")); err != nil || string(have) != text {
		t.Errorf("the template was replaced: %v", err)
	}
}
