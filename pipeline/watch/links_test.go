package watch

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// TestLinks puts links wherever somebody could, and looks that they lead nowhere.
func TestLinks(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		outside := fastDir(t)
		put(t, outside, "secret.dxf", dxf("secret"))
		for link, to := range map[string]string{
			"drop/link.dxf":  outside + "/secret.dxf",
			"drop/folder":    outside,
			"drop/up":        "..",
			"ready/escaping": outside,
			"drop/into.dxf":  "../trueup.toml",
		} {
			if err := os.Symlink(to, filepath.Join(shop, link)); err != nil {
				t.Fatal(err)
			}
		}
		put(t, shop, "drop/escaping/a.dxf", dxf("a"))
		s := testService(t, shop, fake{})
		run(t, s, time.Minute)
		if got := tree(t, outside, "."); !slices.Equal(got, []string{"secret.dxf"}) {
			t.Errorf("outside the shop: %v", got)
		}
		for place, content := range originals(t, shop) {
			if strings.Contains(content, "secret") && !strings.HasPrefix(place, dropDir) {
				t.Errorf("%s was followed", place)
			}
		}
		// What cannot be published inside the shop is given back when the service stops.
		if got := get(t, shop, "drop/escaping/a.dxf"); got != dxf("a") {
			t.Errorf("the template for a folder that leads outside holds %q", got)
		}
		left := s.ledger.snapshot().Left
		for _, name := range []string{"link.dxf", "folder", "up", "into.dxf"} {
			if !strings.Contains(left[name], "link") {
				t.Errorf("%s is listed as %q, want as a link", name, left[name])
			}
		}
	})
}
