package report

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

func registerRows() []RegisterRow {
	at := func(day, hour int) time.Time { return time.Date(2026, 3, day, hour, 5, 0, 0, time.FixedZone("", 3600)) }
	return []RegisterRow{
		{Job: "harbour/kitchen 7", Revision: 1, File: "kitchen.dxf", State: "returned", Folder: "returned/harbour/kitchen 7/1", Report: "report.xlsx", Received: at(3, 9), Pieces: 3, Stops: 2, DecidedBy: "Ana Brandt", DecidedAt: at(3, 11), Newer: "superseded by revision 2", Remarks: "same drawing as b, revision 1"},
		{Job: "harbour/kitchen 7", Revision: 2, File: "kitchen.dxf", State: "ready", Folder: "ready/harbour/kitchen 7/2", Report: "report.xlsx", Received: at(4, 8), Pieces: 3, Warnings: 1},
		{Job: "a:b", Revision: 1, File: "a.dxf", State: "failed", Folder: "failed/a:b/1", Received: at(2, 8), Reason: "a.dxf, line 3: found; do"},
		{Job: "=1+1", Revision: 1, File: "#1 100%?.dxf", State: "review", Folder: "review/#1 100%?", Report: "report.xlsx", Received: at(4, 8)},
	}
}

func TestRegister(t *testing.T) {
	var out bytes.Buffer
	if err := Register(&out, registerRows(), Default()); err != nil {
		t.Fatal(err)
	}
	f := open(t, out.Bytes())
	rows, err := f.GetRows("Register")
	if err != nil {
		t.Fatal(err)
	}
	var jobs []string
	for _, r := range rows[3:] {
		jobs = append(jobs, r[1]+" "+r[2]+" "+r[3])
	}
	if got, want := strings.Join(jobs, "; "), "=1+1 1 review; harbour/kitchen 7 2 ready; harbour/kitchen 7 1 returned; a:b 1 failed"; got != want {
		t.Errorf("rows: %s\nwant: %s", got, want)
	}
	if got := strings.Join(rows[5][15:], "; "); got != "superseded by revision 2; same drawing as b, revision 1" {
		t.Errorf("beside the reason stands %q", got)
	}
	if rows[5][0] != "2026-03-03 09:05" {
		t.Errorf("received %q", rows[5][0])
	}
	for cell, want := range map[string]string{"E4": "review/%231%20100%25%3F/report.xlsx", "E5": "ready/harbour/kitchen%207/2/report.xlsx"} {
		if ok, link, err := f.GetCellHyperLink("Register", cell); !ok || link != want || err != nil {
			t.Errorf("%s leads to %q, want %q", cell, link, want)
		}
	}
	if ok, _, _ := f.GetCellHyperLink("Register", "E7"); ok {
		t.Error("a row without a report has a link")
	}
}

// RFC 3986, section 4.2: a first segment with a colon needs a dot segment before it.
func TestRelativeLink(t *testing.T) {
	for in, want := range map[string]string{"a:b/c": "./a:b/c", "ü/x y": "%C3%BC/x%20y", "a/b": "a/b"} {
		if got := relativeLink(in); got != want {
			t.Errorf("%s: %s, want %s", in, got, want)
		}
	}
}

func TestEmptyRegister(t *testing.T) {
	var out bytes.Buffer
	if err := Register(&out, nil, Default()); err != nil {
		t.Fatal(err)
	}
	if got, _ := open(t, out.Bytes()).GetCellValue("Register", "A4"); got != "Nothing came in yet." {
		t.Errorf("got %q", got)
	}
}
