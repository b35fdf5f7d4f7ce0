//go:build !windows

package pipeline

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// The rights of a report's files are what the user gives new files: the service's
// unit has the umask 0002, so that the office may save the workbook.
func TestRightsFollowTheUmask(t *testing.T) {
	for umask, want := range map[int]os.FileMode{0o002: 0o664, 0o022: 0o644, 0o027: 0o640} {
		dir := t.TempDir()
		before := syscall.Umask(umask)
		err := exchangeFiles(dir, []namedFile{text(WorkbookFile, "new")})
		syscall.Umask(before)
		if err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(filepath.Join(dir, WorkbookFile))
		if err != nil || info.Mode().Perm() != want {
			t.Errorf("umask %03o: %v, %v; want %v", umask, info.Mode(), err, want)
		}
	}
}
