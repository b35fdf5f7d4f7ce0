package watch

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func TestStatus(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		shop := newShop(t)
		for name, content := range map[string]string{
			"a.dxf": dxf("a"), "b.dxf": dxf("review"), "c.dxf": dxf("failed"), "photo.jpg": "", "d.dxf.part": "", "half.dxf": "0\nSECTION\n",
		} {
			put(t, shop, "drop/"+name, content)
		}
		s := testService(t, shop, fake{})
		s.owner = owner{"elsewhere", 3, "1"}
		s.name = s.owner.String()
		s.set.Patience = time.Hour
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Run(ctx) }()
		time.Sleep(5 * time.Second)
		put(t, shop, "drop/a.dxf", dxf("a"))
		time.Sleep(90 * time.Second)
		st, err := ReadStatus(shop)
		if err != nil {
			t.Fatal(err)
		}
		if want := (Tally{Ready: 1, Review: 1, Failed: 1, Duplicates: 1}); st.Today != want || st.Standing != want {
			t.Errorf("today %+v, standing %+v, want %+v", st.Today, st.Standing, want)
		}
		if !slices.Equal(st.Waiting, []string{"half.dxf"}) || st.Copying != 1 || len(st.Left) != 1 {
			t.Errorf("waiting %v, copying %d, left %v", st.Waiting, st.Copying, st.Left)
		}
		if len(st.Servers) != 1 || st.Servers[0].Server != s.name || st.Servers[0].Since.Ready != 1 || st.Servers[0].Dead {
			t.Errorf("servers %+v", st.Servers)
		}
		if !slices.Equal(st.Unended, st.Waiting) {
			t.Errorf("without their end: %v", st.Unended)
		}
		if len(st.Failures) != 1 || st.Failures[0].Job != "c" || !strings.Contains(st.Failures[0].Reason, "line 2") {
			t.Errorf("failures %+v", st.Failures)
		}
		var text bytes.Buffer
		if err := st.Write(&text); err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"elsewhere, process 3\n", "1 template, 1 copy in progress", "  half.dxf: does not end as a DXF ends", "  photo.jpg: not a .dxf; ",
			"1 ready, 1 in review, 1 failed, 0 returned; 1 dropped again", "  c, revision 1, ", "    c.dxf, line 2: words say so", st.At.Local().Format(" -07:00\n")} {
			if !strings.Contains(text.String(), want) {
				t.Errorf("no %q in\n%s", want, text.String())
			}
		}
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		if st, err = ReadStatus(shop); err != nil || len(st.Servers) != 0 {
			t.Errorf("after the end: servers %v, %v", st.Servers, err)
		}
		document, err := json.Marshal(st)
		if err != nil || strings.Contains(string(document), "null") {
			t.Errorf("%s, %v", document, err)
		}
	})
}

// What a status says of a server, by what its heartbeat says.
func TestServerLines(t *testing.T) {
	at := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	beat := Heartbeat{Server: "saw1-17-5", Version: "trueup 1.2.3", Started: at.Add(-time.Hour), At: at.Add(-4 * time.Second)}
	silent, troubled := beat, beat
	silent.At = at.Add(-10 * time.Minute)
	troubled.Trouble, troubled.Settings = "share gone", "trueup.toml, line 3: no such setting"
	for _, tc := range []struct {
		name string
		s    ServerStatus
		want []string
	}{
		{"alive", ServerStatus{Heartbeat: beat}, []string{"saw1, process 17", "last sign of life 4s ago", "trueup 1.2.3"}},
		{"ended", ServerStatus{beat, true}, []string{"", "ended without goodbye", ""}},
		{"silent", ServerStatus{Heartbeat: silent}, []string{"", "no sign of life for 10m0s; look whether", ""}},
		{"in trouble", ServerStatus{Heartbeat: troubled}, []string{"", "alive", "", "trouble: share gone", "settings not in force, those before still are: trueup.toml, line 3"}},
	} {
		got := tc.s.lines(at)
		if len(got) != len(tc.want) {
			t.Errorf("%s: %q, want %d lines", tc.name, got, len(tc.want))
			continue
		}
		for i, want := range tc.want {
			if !strings.Contains(got[i], want) {
				t.Errorf("%s, line %d: %q, want %q", tc.name, i+1, got[i], want)
			}
		}
	}
}

// A status of many names fits a screen, and no name steers the terminal.
func TestStatusIsBoundedAndPlain(t *testing.T) {
	st := Status{Left: map[string]string{}}
	for i := range 200 {
		name := strings.Repeat("x", i+1)
		st.Left[name], st.Unended, st.Working = "not a .dxf", append(st.Unended, name), append(st.Working, name)
		st.Failures = append(st.Failures, Failure{Job: "a\x1b[2J\nb", Reason: "line 1:\r\n\x07"})
	}
	var text bytes.Buffer
	if err := st.Write(&text); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(text.String(), "\n"); n > 60 {
		t.Errorf("%d lines", n)
	}
	if strings.ContainsAny(text.String(), "\x1b\a\r") || !strings.Contains(text.String(), "and 190 more") {
		t.Errorf("%q", text.String())
	}
}

func TestMetrics(t *testing.T) {
	s := testService(t, newShop(t), fake{})
	l, err := listenLoopback("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- s.serveMetrics(ctx, l) }()
	read := func(path string) (int, string) {
		r, err := http.Get("http://" + l.Addr().String() + path)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		body, err := io.ReadAll(r.Body)
		if err != nil {
			t.Fatal(err)
		}
		return r.StatusCode, string(body)
	}
	s.ledger.count(failedDir)
	code, body := read("/metrics")
	for _, want := range []string{`trueup_templates_total{outcome="failed"} 1`, `trueup_templates_total{outcome="ready"} 0`, "trueup_waiting 0", "go_goroutines"} {
		if code != http.StatusOK || !strings.Contains(body, want) {
			t.Errorf("%d, no %q", code, want)
		}
	}
	if code, _ := read("/health"); code != http.StatusOK {
		t.Errorf("health is %d", code)
	}
	s.ledger.trouble("share gone")
	if code, body := read("/health"); code != http.StatusServiceUnavailable || !strings.Contains(body, "the shop folder cannot be read") {
		t.Errorf("health in trouble is %d, %q", code, body)
	}
	s.ledger.trouble("")
	// Names of jobs, and of whatever else a customer's folder holds, are not for everybody on the machine.
	s.ledger.troubled(jobTrouble+"x", "work on secret is interrupted: open review/secret/1: input/output error")
	s.ledger.troubled(registerTrouble, "secret is in the way")
	s.ledger.update(func(h *Heartbeat) { h.Settings = "/srv/secret/trueup.toml, line 3" })
	s.ledger.begin("x", "secret")
	s.ledger.works["x"] = atWork{"secret", time.Now().Add(-24 * time.Hour)}
	s.ledger.pulses[loopOffice] = pulse{time.Now().Add(-time.Hour), time.Now().Add(-time.Hour)}
	code, body = read("/health")
	if code != http.StatusServiceUnavailable || strings.Contains(body, "secret") {
		t.Errorf("health in trouble is %d, %q", code, body)
	}
	for _, want := range []string{"work on 1 job is interrupted", "the register is not", "settings file is not in force", "1 job in work for longer than", "the look for decisions in review/ has not returned for 1h"} {
		if !strings.Contains(body, want) {
			t.Errorf("health says %q, want %q", body, want)
		}
	}
	cancel()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

func TestMetricsOnLoopbackOnly(t *testing.T) {
	for address, want := range map[string]bool{
		"127.0.0.1:0": true, "localhost:0": true, "0.0.0.0:0": false, ":0": false, "192.0.2.1:80": false, "example.org:80": false, "9117": false,
	} {
		l, err := listenLoopback(address)
		if got := err == nil; got != want {
			t.Errorf("%s: %v (%v), want %v", address, got, err, want)
		}
		if err == nil {
			if a := l.Addr().(*net.TCPAddr); !a.IP.IsLoopback() {
				t.Errorf("%s listens on %s", address, a)
			}
			l.Close()
		}
	}
}

func TestLog(t *testing.T) {
	file := filepath.Join(t.TempDir(), "trueup.log")
	log, closer, err := NewLog(nil, LogOptions{File: file, JSON: true})
	if err != nil {
		t.Fatal(err)
	}
	log.Info("published", "job", "hill/kitchen")
	log.Debug("not wanted")
	if err := closer.Close(); err != nil {
		t.Fatal(err)
	}
	var line map[string]any
	if err := json.Unmarshal([]byte(get(t, filepath.Dir(file), "trueup.log")), &line); err != nil || line["job"] != "hill/kitchen" {
		t.Errorf("%v: %v", line, err)
	}
	if _, _, err := NewLog(nil, LogOptions{File: filepath.Join(file, "below a file")}); err == nil {
		t.Error("a log file that cannot be made was accepted")
	}
}

// Everything that the status knows is told to people too, each under its title.
func TestStatusTellsAll(t *testing.T) {
	st := Status{
		Shop: "SHOP", At: time.Date(2026, 3, 1, 9, 30, 0, 0, time.UTC), Disk: "nearly full: 12 MB are free",
		Working: []string{"hill/kitchen"}, Standing: Tally{Review: 3, Superseded: 2},
		NotTaken: map[string]string{"a.dxf": "may not be read"}, Held: map[string]string{"review/b/1": "the workbook is open"},
		Missing: []Missing{{Job: "c", Revision: 2, What: []string{"F1: By is empty"}}},
		Twins:   []Twin{{Job: "d", Revision: 1, As: "e"}}, Again: []Again{{Job: "g", Revision: 4}},
	}
	var text bytes.Buffer
	if err := st.Write(&text); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"disk      nearly full: 12 MB are free\n", "in work   1: hill/kitchen\n", "3 in review", "; 2 more in review are superseded",
		"Cannot be taken from drop/:\n  a.dxf: may not be read\n", "Decisions that wait:\n  review/b/1: the workbook is open\n",
		"Decisions that lack something:\n  c, revision 2: F1: By is empty\n", "The same drawing under another name:\n  d, revision 1: the same drawing as e\n",
		"Dropped again today:\n  g, revision 4, ",
	} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("no %q in\n%s", want, text.String())
		}
	}
}
