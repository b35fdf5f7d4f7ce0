package watch

import (
	"crypto/sha256"
	"encoding/hex"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// Limits of a job's name. Spreadsheet programs refuse paths past some 218
// characters, so that a long name must leave room for the share's own path.
const (
	maxElementBytes = 80
	maxJobBytes     = 120
	// maxRevision bounds revision numbers, so that a folder named by more digits
	// is never mistaken for one.
	maxRevision = 999
)

// jobName is the job of a file in drop/, given its path below drop/.
//
// Elements are put into Unicode form C; spaces around them and dots at their
// end go. What some system cannot store (reserved device names, < > : " | ? * \,
// control and format characters, more than 80 bytes), and below the top a number
// that could be taken for a revision, is replaced and marked with a hash of the
// whole, so that two different files never become one job by it. changed tells
// whether the name is another than the path.
func jobName(dropPath string) (job string, changed bool) {
	raw := dropPath[:len(dropPath)-len(path.Ext(dropPath))]
	elements := strings.Split(raw, "/")
	for i, e := range elements {
		elements[i] = cleanElement(e, i > 0)
	}
	job = strings.Join(elements, "/")
	if last := len(elements) - 1; len(job) > maxJobBytes && last > 0 {
		folders := strings.Join(elements[:last], "/")
		job = shorten(elements[0], folders, maxJobBytes-maxElementBytes-1) + "/" + elements[last]
	}
	return job, job != raw
}

// cleanElement is one element of a path as a folder name that every system can hold.
func cleanElement(raw string, below bool) string {
	whole := strings.TrimRight(strings.TrimSpace(norm.NFC.String(strings.ToValidUTF8(raw, "\uFFFD"))), ". ")
	s := strings.Map(func(r rune) rune {
		if strings.ContainsRune(`<>:"|?*\/`, r) || r == utf8.RuneError || unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return '_'
		}
		return r
	}, whole)
	if s == "" || isDevice(s) || below && isRevision(s) || strings.HasPrefix(s, ".") {
		s = "_" + s
	}
	if s == whole && utf8.ValidString(raw) && len(s) <= maxElementBytes {
		return s
	}
	if !utf8.ValidString(raw) {
		whole = raw // the bytes tell such names apart, their repair would not
	}
	return shorten(s, whole, maxElementBytes)
}

// shorten cuts s so that with the mark of the whole it has at most limit bytes.
func shorten(s, whole string, limit int) string {
	sum := sha256.Sum256([]byte(fold(whole)))
	mark := "~" + hex.EncodeToString(sum[:4])
	if room := limit - len(mark); len(s) > room {
		for !utf8.RuneStart(s[room]) {
			room--
		}
		s = strings.TrimRight(s[:room], " .")
	}
	return s + mark
}

// isDevice tells whether Windows takes a name for a device: CON, NUL, COM1 ...
// whatever follows after a dot (Microsoft, "Naming Files, Paths, and Namespaces").
func isDevice(name string) bool {
	stem, _, _ := strings.Cut(strings.ToUpper(name), ".")
	stem = strings.TrimRight(stem, " ")
	switch stem {
	case "CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$":
		return true
	}
	digit, ok := strings.CutPrefix(stem, "COM")
	if !ok {
		digit, ok = strings.CutPrefix(stem, "LPT")
	}
	return ok && utf8.RuneCountInString(digit) == 1 && strings.ContainsAny(digit, "0123456789¹²³")
}

// isRevision tells whether a folder's name is a revision number, 1 to 999.
func isRevision(name string) bool {
	n, ok := revisionNumber(name)
	return ok && n > 0
}

func revisionNumber(name string) (int, bool) {
	if len(name) == 0 || len(name) > 3 || name[0] == '0' {
		return 0, false
	}
	n := 0
	for _, r := range []byte(name) {
		if r < '0' || r > '9' {
			return 0, false
		}
		n = n*10 + int(r-'0')
	}
	return n, true
}

// fold maps names that differ by case or Unicode form only to one spelling.
func fold(name string) string {
	return norm.NFC.String(cases.Fold().String(norm.NFC.String(name)))
}

// jobKey identifies a job: 32 hex digits, the same for names that differ only
// by case or Unicode form, because the share may not tell those apart.
func jobKey(job string) string {
	sum := sha256.Sum256([]byte(fold(job)))
	return hex.EncodeToString(sum[:16])
}

// nameKind says how the intake treats a name in drop/.
type nameKind int

const (
	nameTemplate  nameKind = iota // a .dxf
	nameTemporary                 // a copy in progress: waited for
	nameOther                     // listed once, left alone
)

// isLitter tells what systems leave in every folder that somebody looks into
// (common practice of the systems, no source): nobody has to be told of it.
func isLitter(name string) bool {
	switch strings.ToLower(name) {
	case "thumbs.db", "desktop.ini", ".ds_store":
		return true
	}
	return strings.HasPrefix(name, "._")
}

// kindOfName tells templates, temporary names of copy programs and others apart.
func kindOfName(name string) nameKind {
	lower := strings.ToLower(name)
	if strings.HasPrefix(lower, ".") || strings.HasPrefix(lower, "~") || strings.HasSuffix(lower, "~") {
		return nameTemporary
	}
	switch path.Ext(lower) {
	case ".dxf":
		return nameTemplate
	case ".tmp", ".temp", ".part", ".partial", ".filepart", ".crdownload", ".download":
		return nameTemporary
	}
	return nameOther
}
