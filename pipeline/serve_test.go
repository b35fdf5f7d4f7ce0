package pipeline

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"trueup/pipeline/settings"
	"trueup/pipeline/watch"
)

// A drawing that cannot be used is filed by the service with the sentence that
// check gives, whatever stops it: the reader, or outlines that do not close.
func TestServiceGivesTheReason(t *testing.T) {
	s := settings.Default()
	s.Watch.Settle, s.Watch.Rescan = 100*time.Millisecond, 100*time.Millisecond
	shop := t.TempDir()
	for _, dir := range []string{"drop", "review", "ready", "failed", "returned"} {
		if err := os.Mkdir(filepath.Join(shop, dir), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	open := "0\nSECTION\n2\nENTITIES\n"
	for _, l := range []string{"0 0 1000 0", "1000 0 1000 600", "1000 600 0 600"} {
		f := strings.Fields(l)
		open += "0\nLINE\n8\nOUTLINE\n10\n" + f[0] + "\n20\n" + f[1] + "\n11\n" + f[2] + "\n21\n" + f[3] + "\n"
	}
	open += "0\nENDSEC\n0\nEOF\n"
	fault := strings.Replace(open, "1000", "1e999", 1)
	service, err := watch.New(shop, watch.Options{Settings: WatchSettings(&s), Processor: Processor(&s)})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(context.Background(), 20*time.Second)
	defer stop()
	done := make(chan error, 1)
	go func() { done <- service.Run(ctx) }()
	for name, text := range map[string]string{"open": open, "fault": fault} {
		if err := os.WriteFile(filepath.Join(shop, "drop", name+".dxf"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, want := range map[string]string{"open": "stays open by 600 mm", "fault": "fault.dxf, line"} {
		page := filepath.Join(shop, "failed", name, "1", "reason.txt")
		var text []byte
		for len(text) == 0 && ctx.Err() == nil {
			text, _ = os.ReadFile(page) // not there yet
			time.Sleep(20 * time.Millisecond)
		}
		if !strings.Contains(string(text), want) {
			t.Errorf("%s: the page says %q, want %q", name, text, want)
		}
		if _, err := os.Stat(filepath.Join(shop, "failed", name, "1", ResultFile)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	stop()
	if err := <-done; err != nil {
		t.Error(err)
	}
}

// Settings that give another result are told apart; how the service runs is not.
func TestFingerprint(t *testing.T) {
	made := func(change func(*settings.Settings)) string {
		s := settings.Default()
		change(&s)
		return WatchSettings(&s).Made
	}
	plain := made(func(*settings.Settings) {})
	if plain == "" || plain != made(func(s *settings.Settings) { s.Watch.Settle, s.Watch.Workers = time.Minute, 3 }) {
		t.Errorf("settings of the service change %q", plain)
	}
	for name, change := range map[string]func(*settings.Settings){
		"a limit":  func(s *settings.Settings) { s.Rules.NarrowStop++ },
		"a role":   func(s *settings.Settings) { s.Pieces.Roles.Cutout = append(s.Pieces.Roles.Cutout, "*becken*") },
		"the unit": func(s *settings.Settings) { s.Units = "mm" },
	} {
		if made(change) == plain {
			t.Errorf("%s is not seen", name)
		}
	}
}
