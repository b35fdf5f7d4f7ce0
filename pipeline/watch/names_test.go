package watch

import (
	"path"
	"strings"
	"testing"
	"unicode/utf8"
)

// The hashes in the names come from `printf NAME | sha256sum`.
func TestJobName(t *testing.T) {
	long := strings.Repeat("long ", 50) // 250 bytes, the most that a file system holds with .dxf
	for _, tc := range []struct{ name, drop, want string }{
		{"plain", "kitchen.dxf", "kitchen"},
		{"upper case", "Kitchen.DXF", "Kitchen"},
		{"in folders", "Hill Street/4b/kitchen.dxf", "Hill Street/4b/kitchen"},
		{"two dots", "kitchen.v2.dxf", "kitchen.v2"},
		{"form D becomes form C", "ku\u0308che.dxf", "k\u00fcche"},
		{"dots and blanks at the end", "kitchen. ..dxf", "kitchen"},
		{"blanks around", " kitchen .dxf", "kitchen"},
		{"device", "con.dxf", "_con~1143da2b"},
		{"device with a suffix", "Aux.old.dxf", "_Aux.old~e8fdfb3c"},
		{"no device", "console.dxf", "console"},
		{"signs that Windows refuses", `a<b>c:d"e|f?g*h\i.dxf`, `a_b_c_d_e_f_g_h_i~9797afda`},
		{"line break", "a\nb.dxf", "a_b~7e18f737"},
		{"turned writing", "a\u202efxd.dxf", "a_fxd~0cfb1556"},
		{"a number at the top", "12.dxf", "12"},
		{"a number below", "hill/12.dxf", "hill/_12~6b51d431"},
		{"a long number below", "hill/1043.dxf", "hill/1043"},
		{"only dots", "hill/...dxf", "hill/_~e3b0c442"},
		{"too long", long + ".dxf", "long long long long long long long long long long long long long long l~db22f87d"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, changed := jobName(tc.drop)
			if got != tc.want {
				t.Errorf("%q is job %q, want %q", tc.drop, got, tc.want)
			}
			if same := got == strings.TrimSuffix(tc.drop, path.Ext(tc.drop)); changed == same {
				t.Errorf("changed is %v", changed)
			}
		})
	}
}

func TestJobNameStaysInside(t *testing.T) {
	r := seeded(t)
	signs := []rune("ab./\\: \u0308\u202e\x00\n\u00fc1~$CON")
	for range 20_000 {
		var b strings.Builder
		for range 1 + r.IntN(40) {
			b.WriteRune(signs[r.IntN(len(signs))])
		}
		checkJobName(t, b.String()+".dxf")
	}
}

func FuzzJobName(f *testing.F) {
	f.Add("kitchen.dxf")
	f.Add("../../etc/passwd.dxf")
	f.Add("\xff\xfe/a.dxf")
	f.Fuzz(func(t *testing.T, name string) { checkJobName(t, name+".dxf") })
}

// checkJobName checks what every job's name must be, wherever it came from.
func checkJobName(t *testing.T, drop string) {
	t.Helper()
	job, _ := jobName(drop)
	if len(job) > maxJobBytes+maxElementBytes || !utf8.ValidString(job) {
		t.Fatalf("%q: job %q", drop, job)
	}
	for i, e := range strings.Split(job, "/") {
		bad := e == "" || len(e) > maxElementBytes || e != strings.TrimSpace(e) || strings.HasSuffix(e, ".") || strings.HasPrefix(e, ".") ||
			strings.ContainsAny(e, "<>:\"|?*\\\x00\n") || isDevice(e) || i > 0 && isRevision(e)
		if bad {
			t.Fatalf("%q: element %q of job %q", drop, e, job)
		}
	}
	if again, changed := jobName(job + ".dxf"); again != job || changed {
		t.Fatalf("%q: job %q becomes %q", drop, job, again)
	}
}

func TestJobKey(t *testing.T) {
	same := [][2]string{{"Kitchen", "kITCHEN"}, {"k\u00fcche", "KU\u0308CHE"}, {"stra\u00dfe", "STRASSE"}}
	for _, p := range same {
		if jobKey(p[0]) != jobKey(p[1]) {
			t.Errorf("%q and %q are two jobs", p[0], p[1])
		}
	}
	if jobKey("a/b") == jobKey("a-b") {
		t.Error("a/b and a-b are one job")
	}
}

func TestKindOfName(t *testing.T) {
	for name, want := range map[string]nameKind{
		"a.dxf": nameTemplate, "a.DXF": nameTemplate, "a.dxf.part": nameTemporary, "~a.dxf": nameTemporary, ".a.dxf": nameTemporary,
		"a.dxf~": nameTemporary, "a.tmp": nameTemporary, "~$a.xlsx": nameTemporary, "a.dwg": nameOther, "a": nameOther, "dxf": nameOther,
	} {
		if got := kindOfName(name); got != want {
			t.Errorf("%s: %d, want %d", name, got, want)
		}
	}
}
