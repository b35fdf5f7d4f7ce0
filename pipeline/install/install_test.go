package install

import (
	"os"
	"os/user"
	"path/filepath"
	"runtime"
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
		{"memory for all workers", Options{Shop: "/srv/shop", User: "stone", Memory: 6 << 30}, []string{"MemoryMax=6144M", "OOMPolicy=continue"}, nil},
		{"no limit known", Options{Shop: "/srv/shop", User: "stone"}, []string{"OOMPolicy=continue"}, []string{"MemoryMax=0M"}},
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
	o := Options{Shop: t.TempDir(), User: ordinaryUser(t)}
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

// What print shows is what install writes, to the byte.
func TestPrintShowsWhatInstallWrites(t *testing.T) {
	o := Options{Shop: shopFolder(t), User: ordinaryUser(t), Name: "second"}
	said, err := Control("print", o)
	if err != nil {
		t.Fatal(err)
	}
	if err := o.complete(); err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "linux" {
		if said != o.registration() {
			t.Errorf("printed\n%s\nregistered\n%s", said, o.registration())
		}
		return
	}
	script, _ := o.config().Option["SystemdScript"].(string)
	if head := "# /etc/systemd/system/second.service\n"; said+"\n" != head+script || !strings.Contains(script, "User="+o.User+"\n") {
		t.Errorf("printed\n%s\ninstalled\n%s", said, script)
	}
}

// On systems without unit files IT reads the account and the command line.
func TestRegistration(t *testing.T) {
	o := Options{Name: "trueup", Shop: `D:\shop`, User: `NT AUTHORITY\LocalService`, Args: []string{"--log-file", `D:\log files\trueup.log`}, program: `C:\Program Files\trueup\trueup.exe`}
	for _, want := range []string{
		`command line    "C:\Program Files\trueup\trueup.exe" "watch" "--log-file" "D:\log files\trueup.log" "D:\shop"`,
		`account         NT AUTHORITY\LocalService`, "name            trueup", "started again after 5s",
	} {
		if !strings.Contains(o.registration(), want) {
			t.Errorf("no %s in\n%s", want, o.registration())
		}
	}
}

// Other service managers of Linux would run the service as root.
func TestManagedBySystemdOnly(t *testing.T) {
	for _, tc := range []struct {
		system, manager string
		ok              bool
	}{
		{"linux", "linux-systemd", true}, {"linux", "unix-systemv", false}, {"linux", "linux-openrc", false}, {"linux", "", false},
		{"windows", "windows-service", true}, {"darwin", "darwin-launchd", true},
	} {
		if err := managed(tc.system, tc.manager); (err == nil) != tc.ok {
			t.Errorf("%s on %s: %v", tc.manager, tc.system, err)
		}
	}
}

func TestControlRefusesNames(t *testing.T) {
	for _, name := range []string{"../x", "a b", "-x", "a/b", "a;b", "é"} {
		if _, err := Control("status", Options{Name: name}); err == nil || !strings.Contains(err.Error(), "--name") {
			t.Errorf("%q: %v", name, err)
		}
	}
}

func shopFolder(t *testing.T) string {
	t.Helper()
	shop := t.TempDir()
	for _, dir := range []string{"drop", ".work"} {
		if err := os.Mkdir(filepath.Join(shop, dir), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	return shop
}

// ordinaryUser is the user of this test, or where that is root another one that
// every system of the kind has.
func ordinaryUser(t *testing.T) string {
	t.Helper()
	u, err := user.Current()
	if err != nil {
		t.Fatal(err)
	}
	if u.Uid == "0" {
		return "daemon"
	}
	return u.Username
}
