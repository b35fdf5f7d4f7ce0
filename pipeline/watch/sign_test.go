package watch

import (
	"os"
	"path/filepath"
	"testing"
)

// A server replaces its sign of life while somebody reads it: between the look at the
// file and its opening another one is in its place.
func TestSignReplacedWhileRead(t *testing.T) {
	shop := newShop(t)
	sign := filepath.Join(shop, serversDir, "stone-1-1.json")
	if err := os.WriteFile(sign, []byte(`{"server":"stone-1-1"}`), 0o600); err != nil {
		t.Fatal(err)
	}
	replaced := 0
	f, err := openFolder(shop, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	defer f.close()
	f.root.Step = func(op, name string) {
		if op != "open" || replaced > 0 {
			return
		}
		replaced++
		next := sign + ".next"
		if err := os.WriteFile(next, []byte(`{"server":"stone-1-1","beat":2}`), 0o600); err != nil {
			t.Error(err)
		}
		if err := os.Rename(next, sign); err != nil {
			t.Error(err)
		}
	}
	var st Status
	if err := st.readWork(f); err != nil || len(st.Servers) != 1 || replaced != 1 {
		t.Errorf("servers %+v, error %v, replaced %d times", st.Servers, err, replaced)
	}
}
