package watch

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestAlarms(t *testing.T) {
	at := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	server := func(change func(*ServerStatus)) []ServerStatus {
		s := ServerStatus{Heartbeat: Heartbeat{Server: "a", At: at.Add(-4 * time.Second)}}
		change(&s)
		return []ServerStatus{s}
	}
	for _, tc := range []struct {
		name string
		st   Status
		want string
	}{
		{"all well", Status{Servers: server(func(*ServerStatus) {})}, ""},
		{"nobody", Status{}, "no server is alive"},
		{"dead", Status{Servers: server(func(s *ServerStatus) { s.Dead = true })}, "no server is alive"},
		{"silent", Status{Servers: server(func(s *ServerStatus) { s.At = at.Add(-time.Hour) })},
			"server a: no sign of life for 1h0m0s; look whether its machine is up and can write the folder; no server is alive"},
		{"one of two silent", Status{Servers: append(server(func(s *ServerStatus) { s.At = at.Add(-time.Hour) }), server(func(*ServerStatus) {})...)},
			"server a: no sign of life for 1h0m0s; look whether its machine is up and can write the folder"},
		{"silent by its own settings", Status{Servers: server(func(s *ServerStatus) { s.StaleSeconds = 3 })},
			"server a: no sign of life for 4s; look whether its machine is up and can write the folder; no server is alive"},
		{"dated ahead", Status{Servers: server(func(s *ServerStatus) { s.At = at.Add(time.Hour) })},
			"server a: its sign of life is dated 1h0m0s ahead of this machine's clock; set the clocks right, or nobody can tell whether it lives; no server is alive"},
		{"a look that hangs", Status{Servers: server(func(s *ServerStatus) { s.Stuck = []string{"the look hangs"} })}, "the look hangs"},
		{"work too old", Status{Servers: server(func(s *ServerStatus) { s.Overdue, s.WorkSeconds = []string{"hill/kitchen"}, 900 })},
			"hill/kitchen: in work for longer than 15m0s, which is the job time and the patience together; see the service's log"},
		{"not to be seen", Status{Unseen: "run this as another user"}, "run this as another user"},
		{"in trouble", Status{Servers: server(func(s *ServerStatus) { s.Trouble = "share gone" })}, "share gone"},
		{"bad settings", Status{Servers: server(func(s *ServerStatus) { s.Settings = "line 3" })}, "settings not in force: line 3"},
		{"full", Status{Servers: server(func(*ServerStatus) {}), Disk: "full"}, "the disk is full"},
	} {
		tc.st.At = at
		if got := strings.Join(tc.st.Alarms(), "; "); got != tc.want {
			t.Errorf("%s: %q, want %q", tc.name, got, tc.want)
		}
	}
}

// A hidden or temporary name is a copy in progress for two hours, then one that
// somebody forgot; what systems leave in folders is nobody's business.
func TestTemporaryNamesGrowOld(t *testing.T) {
	shop := newShop(t)
	old := time.Now().Add(-3 * time.Hour)
	for name, age := range map[string]time.Time{
		".Plan B.dxf": old, "~$kit.dxf": old, "bar.tmp": old, "now.part": time.Now(), "Thumbs.db": old, ".DS_Store": old, "._plan.dxf": old, "desktop.ini": old,
	} {
		put(t, shop, "drop/"+name, "x")
		if err := os.Chtimes(filepath.Join(shop, "drop", name), age, age); err != nil {
			t.Fatal(err)
		}
	}
	st, err := ReadStatus(shop)
	if err != nil {
		t.Fatal(err)
	}
	if st.Copying != 1 || len(st.Left) != 3 || len(st.Waiting) != 0 {
		t.Errorf("%d copies in progress, left %v, waiting %v", st.Copying, st.Left, st.Waiting)
	}
	for _, name := range []string{".Plan B.dxf", "~$kit.dxf", "bar.tmp"} {
		if !strings.Contains(st.Left[name], "no copy in progress any more") {
			t.Errorf("%s: %q", name, st.Left[name])
		}
	}
}
