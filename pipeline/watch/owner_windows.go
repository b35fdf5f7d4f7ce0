package watch

import (
	"errors"
	"strconv"

	"golang.org/x/sys/windows"
)

// machineMark is empty: host names are unique in a Windows network, and the
// creation time tells processes of different boots apart.
func machineMark() string { return "" }

// stillActive is the exit code of a process that runs (STILL_ACTIVE, WinBase).
const stillActive = 259

// processMark is the creation time of a running process.
func processMark(pid int) (string, bool) {
	h, err := windows.OpenProcess(windows.PROCESS_QUERY_LIMITED_INFORMATION, false, uint32(pid))
	if err != nil {
		return "", false
	}
	defer windows.CloseHandle(h)
	var code uint32
	if windows.GetExitCodeProcess(h, &code) != nil || code != stillActive {
		return "", false
	}
	var created, exited, kernel, user windows.Filetime
	if windows.GetProcessTimes(h, &created, &exited, &kernel, &user) != nil {
		return "", false
	}
	return strconv.FormatInt(created.Nanoseconds(), 10), true
}

// processGone tells whether there is no such process, or it has ended.
func processGone(pid int) bool {
	h, err := windows.OpenProcess(windows.PROCESS_QUERY_LIMITED_INFORMATION, false, uint32(pid))
	if err != nil {
		return errors.Is(err, windows.ERROR_INVALID_PARAMETER)
	}
	defer windows.CloseHandle(h)
	var code uint32
	return windows.GetExitCodeProcess(h, &code) == nil && code != stillActive
}
