package watch

import (
	"crypto/rand"
	"encoding/hex"
	"os"
	"strconv"
	"strings"
)

// owner is a running server as its claims name it: machine, process, and when
// the process began, so that a later process of the same number is another.
type owner struct {
	machine string // host name and, where there is one, the boot and process name space; only letters and digits
	pid     int
	started string // the system's mark of the process's start; "x" and a random number where it gives none
}

// self is this process.
func self() owner {
	o := owner{machine: machine(), pid: os.Getpid()}
	if mark, ok := processMark(o.pid); ok {
		o.started = mark
	} else {
		o.started = "x" + nonce()
	}
	return o
}

// String is a folder name: machine-pid-started.
func (o owner) String() string { return o.machine + "-" + strconv.Itoa(o.pid) + "-" + o.started }

func parseOwner(s string) (owner, bool) {
	parts := strings.Split(s, "-")
	if len(parts) != 3 {
		return owner{}, false
	}
	pid, err := strconv.Atoi(parts[1])
	return owner{parts[0], pid, parts[2]}, err == nil
}

// dead tells whether the process is certainly gone. Of a process on another
// machine or in another process name space it cannot tell, and
// says false.
func (o owner) dead() bool {
	if o.machine != machine() {
		return false
	}
	if mark, ok := processMark(o.pid); ok && !strings.HasPrefix(o.started, "x") {
		return mark != o.started
	}
	return processGone(o.pid)
}

// machine is the host name with the mark of this boot and process name space.
func machine() string {
	host, err := os.Hostname()
	if err != nil || host == "" {
		host = "unknown"
	}
	clean := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '_'
	}, host)
	return clean[:min(len(clean), 40)] + machineMark()
}

func nonce() string {
	var b [6]byte
	rand.Read(b[:])
	return hex.EncodeToString(b[:])
}
