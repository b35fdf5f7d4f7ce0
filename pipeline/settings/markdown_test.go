package settings

import (
	"strings"
	"testing"
)

// The reference names every setting once, in tables whose rows all have the
// columns of their head.
func TestMarkdownNamesEverySetting(t *testing.T) {
	text := Markdown()
	d := Default()
	for _, e := range d.Entries() {
		if inList(e.Key) {
			continue // a row of a table of its own
		}
		if n := strings.Count(text, "| `"+e.Key+"` |"); n != 1 {
			t.Errorf("%s stands there %d times", e.Key, n)
		}
	}
	for _, list := range []string{"shop.material", "shop.feed", "shop.slab", "rules.support.limit"} {
		if !strings.Contains(text, "`[["+list+"]]`") {
			t.Errorf("the list %s is missing", list)
		}
	}
	columns := 0
	for _, line := range strings.Split(text, "\n") {
		if !strings.HasPrefix(line, "|") {
			columns = 0
			continue
		}
		n := strings.Count(strings.ReplaceAll(line, `\|`, ""), "|")
		if columns != 0 && n != columns {
			t.Errorf("%d bars, %d in the head: %s", n, columns, line)
		}
		columns = n
	}
}

// inList reports whether a key lies in a list of tables.
func inList(key string) bool {
	for _, list := range []string{"shop.material.", "shop.feed.", "shop.slab.", "rules.support.limit."} {
		if strings.HasPrefix(key, list) {
			return true
		}
	}
	return false
}

func TestNearest(t *testing.T) {
	words := []string{"status", "start", "stop", "settings", "narrow-section", "too-big-for-slab"}
	for _, c := range []struct{ word, want string }{
		{"statsu", "status"}, {"stp", "stop"}, {"setings", "settings"}, {"stat", "start"}, // one letter, before status with two
		{"kitchen", ""}, {"settings", "settings"},
		{"narow", "narrow-section"}, {"slab", "too-big-for-slab"}, {"too", "too-big-for-slab"}, // a part of the word
	} {
		if got := Nearest(c.word, words); got != c.want {
			t.Errorf("%q: %q, want %q", c.word, got, c.want)
		}
	}
}

func TestPlainNumber(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want string
	}{
		{8589934592, "8589934592"}, {1e12, "1000000000000"}, {19.05, "19.05"}, {1.0 / 3, "0.3333"}, {0, "0"}, {-0.5, "-0.5"}, {1e15, "1e+15"}, {112.5, "112.5"},
	} {
		if got := plainNumber(c.x); got != c.want {
			t.Errorf("%g: %s, want %s", c.x, got, c.want)
		}
	}
}
