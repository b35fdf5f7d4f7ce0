package install

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestUnitNamesOneShopOnly(t *testing.T) {
	for _, tc := range []struct {
		name string
		o    Options
		want []string // lines
		not  []string
	}{
		{"plain", Options{Shop: "/srv/shop", User: "stone"},
			[]string{`ExecStart=/usr/bin/trueup "watch" "/srv/shop"`, "User=stone", `ReadWritePaths="/srv/shop"`, "RestrictAddressFamilies=AF_UNIX", "IPAddressDeny=any", "NoNewPrivileges=yes"},
			[]string{"IPAddressAllow=localhost"}},
		// systemd.unit(5): % starts a specifier; systemd.service(5): $ expands in command lines, \ and " are escaped
		{"signs that systemd expands", Options{Shop: `/srv/50% off $HOME "q" \x`, User: "stone"},
			[]string{`ExecStart=/usr/bin/trueup "watch" "/srv/50%% off $$HOME \"q\" \\x"`, `ReadWritePaths="/srv/50%% off $HOME \"q\" \\x"`}, nil},
		{"metrics and log", Options{Shop: "/srv/shop", User: "stone", Network: true, Writable: []string{"/var/log/trueup"}, Args: []string{"--log-file", "/var/log/trueup/log"}},
			[]string{`ExecStart=/usr/bin/trueup "watch" "--log-file" "/var/log/trueup/log" "/srv/shop"`, `ReadWritePaths="/srv/shop" "/var/log/trueup"`, "IPAddressAllow=localhost", "RestrictAddressFamilies=AF_UNIX AF_INET AF_INET6"}, nil},
		{"a line break in a name adds no setting", Options{Shop: "/srv/a\nUser=root", User: "stone"},
			[]string{"User=stone"}, []string{"User=root"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			lines := map[string]bool{}
			for l := range strings.Lines(tc.o.unit("/usr/bin/trueup")) {
				lines[strings.TrimSuffix(l, "\n")] = true
			}
			for _, w := range tc.want {
				if !lines[w] {
					t.Errorf("no line %s in\n%s", w, tc.o.unit("/usr/bin/trueup"))
				}
			}
			for _, n := range tc.not {
				if lines[n] {
					t.Errorf("line %s", n)
				}
			}
		})
	}
}

func TestCompleteWantsAShop(t *testing.T) {
	o := Options{Shop: t.TempDir(), User: "stone"}
	if err := o.complete(); err == nil {
		t.Error("a folder without drop/ was accepted")
	}
	if err := os.Mkdir(filepath.Join(o.Shop, "drop"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := o.complete(); err != nil {
		t.Error(err)
	}
}

func TestControlRefusesUnknownActions(t *testing.T) {
	if _, err := Control("restart", Options{}); err == nil || !strings.Contains(err.Error(), "uninstall") {
		t.Errorf("got %v, want an error that lists the actions", err)
	}
}

// TestWriteUnit writes the unit for systemd-analyze to judge, when told where.
func TestWriteUnit(t *testing.T) {
	file := os.Getenv("TRUEUP_TEST_UNIT")
	if file == "" {
		file = filepath.Join(t.TempDir(), "trueup.service")
	}
	o := Options{Shop: os.TempDir(), User: "nobody"}
	if err := os.WriteFile(file, []byte(o.unit("/bin/true")), 0o666); err != nil {
		t.Fatal(err)
	}
}
