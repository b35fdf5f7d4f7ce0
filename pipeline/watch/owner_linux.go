package watch

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"strconv"

	"golang.org/x/sys/unix"
)

// machineMark tells boots and process name spaces apart: only within one of
// each do process numbers mean the same.
func machineMark() string {
	boot, _ := os.ReadFile("/proc/sys/kernel/random/boot_id")
	space, _ := os.Readlink("/proc/self/ns/pid")
	sum := sha256.Sum256(append(boot, space...))
	return "_" + hex.EncodeToString(sum[:4])
}

// processMark is the start time of a process in clock ticks since boot
// (proc(5), field 22 of stat).
func processMark(pid int) (string, bool) {
	stat, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/stat")
	if err != nil {
		return "", false
	}
	// The name in field 2 may hold blanks and brackets: count after its end.
	fields := bytes.Fields(stat[bytes.LastIndexByte(stat, ')')+1:])
	const state, start = 0, 19
	if len(fields) <= start || string(fields[state]) == "Z" || string(fields[state]) == "X" {
		return "", false
	}
	return string(fields[start]), true
}

// processGone tells whether there is no such process, or only its remains. It
// asks by signal 0, because /proc may hide the processes of other users.
func processGone(pid int) bool {
	switch err := unix.Kill(pid, 0); {
	case errors.Is(err, unix.ESRCH):
		return true
	case err != nil && !errors.Is(err, unix.EPERM):
		return false
	}
	stat, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/stat")
	if err != nil {
		return false
	}
	fields := bytes.Fields(stat[bytes.LastIndexByte(stat, ')')+1:])
	return len(fields) > 0 && (string(fields[0]) == "Z" || string(fields[0]) == "X")
}
