package watch

import (
	"os"
	"os/exec"
	"testing"
	"time"
)

// Whose claims may be taken over: only those of a process that is certainly gone.
func TestWhoIsDead(t *testing.T) {
	me := self()
	if again, ok := parseOwner(me.String()); !ok || again != me || me.started == "" {
		t.Fatalf("%q reads as %+v", me, again)
	}
	child := exec.Command("sleep", "60")
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	ended := false
	t.Cleanup(func() {
		if !ended {
			child.Process.Kill()
			child.Wait()
		}
	})
	mark, ok := processMark(child.Process.Pid)
	if !ok {
		t.Fatal("a running process has no mark")
	}
	running := owner{machine(), child.Process.Pid, mark}
	unmarked := owner{machine(), child.Process.Pid, "x0123"} // where the system gave no mark
	want := func(when string, o owner, dead bool) {
		t.Helper()
		if o.dead() != dead {
			t.Errorf("%s: %v is dead: %v, want %v", when, o, !dead, dead)
		}
	}
	want("this process", me, false)
	want("running", running, false)
	want("running, without a mark", unmarked, false)
	want("a later process of the same number", owner{machine(), child.Process.Pid, mark + "0"}, true)
	want("on another machine", owner{"elsewhere", 1 << 30, "1"}, false)
	want("a number that no process has", owner{machine(), 1 << 30, "1"}, true)
	want("a number that no process has, without a mark", owner{machine(), 1 << 30, "x0123"}, true)

	if err := child.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	for wait := time.Millisecond; ; wait *= 2 { // until only its remains are left: nobody has waited for it
		if _, ok := processMark(child.Process.Pid); !ok {
			break
		}
		if wait > 20*time.Second {
			t.Fatal("the process does not end")
		}
		time.Sleep(wait)
	}
	want("ended, not waited for", running, true)
	want("ended, not waited for, without a mark", unmarked, true)
	child.Wait()
	ended = true
	want("gone", running, true)
	want("gone, without a mark", unmarked, true)
	if _, ok := processMark(os.Getpid()); !ok {
		t.Error("this process has no mark")
	}
}
