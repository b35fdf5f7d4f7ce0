package main

import (
	"os/exec"
	"runtime"
	"testing"
)

// What a message proposes to type reaches the program as the one word it was;
// the system's own shell is asked.
func TestTypedIsOneWordToTheShell(t *testing.T) {
	if runtime.GOOS == "windows" {
		if got := typed(`D:\stone shop`); got != `"D:\stone shop"` {
			t.Errorf("got %s", got)
		}
		return
	}
	for _, word := range []string{"plain/path.dxf", "two words", "it's", `a"b`, "$HOME", "a&b", "c*", "", "100%", "#1", "Küche", "a\tb", "~root", `a\b`} {
		said, err := exec.Command("sh", "-c", "printf %s "+typed(word)).Output()
		if err != nil || string(said) != word {
			t.Errorf("%q is typed as %s and reaches a program as %q, %v", word, typed(word), said, err)
		}
	}
	if got := typed("plain/path.dxf"); got != "plain/path.dxf" {
		t.Errorf("quotes where none are needed: %s", got)
	}
}
