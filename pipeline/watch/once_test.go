package watch

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// TestWalkOnce holds the walk of a status to that of the register.
func TestWalkOnce(t *testing.T) {
	shop := t.TempDir()
	write := func(name, text string) {
		at := filepath.Join(shop, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, dir := range []string{dropDir, "ready/empty/1", "review/job.json as a folder/1/job.json"} {
		if err := os.MkdirAll(filepath.Join(shop, filepath.FromSlash(dir)), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"10", "9", "2", "a", "B"} {
		write("ready/site "+name+"/top/1/job.json", `{"job":"site `+name+`/top","revision":1,"sha256":"00"}`)
	}
	write("ready/top/10/job.json", `{"job":"top","revision":10}`)
	write("ready/top/9/job.json", `{"job":"top","revision":9}`)
	write("ready/numbers/7/deeper/1/job.json", `{"job":"numbers/7/deeper","revision":1}`) // a folder of other jobs
	write("review/spoilt/1/job.json", `{`)
	write("review/only original/3/original.dxf", "EOF")
	write("review/waits/1/job.json", `{"job":"waits","revision":1}`)
	write("review/waits/1/"+missingFile, "Missing:\r\n\r\n"+missingMark+"who decided\r\n")
	write("failed/bad/1/job.json", `{"job":"bad","revision":1,"error":"empty"}`)
	f, err := openFolder(shop, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	defer f.close()
	want, err := new(shelf).walk(f)
	if err != nil {
		t.Fatal(err)
	}
	have, err := walkOnce(f)
	if err != nil {
		t.Fatal(err)
	}
	same := func(a, b filed) bool {
		return a.revision == b.revision && a.key == b.key && slices.Equal(a.missing, b.missing) && string(a.card.bytes()) == string(b.card.bytes())
	}
	if len(want) != 12 || !slices.EqualFunc(have, want, same) {
		t.Errorf("listed %d revisions, the register %d, or not the same:\n%+v\n%+v", len(have), len(want), have, want)
	}
}
