package piece

import (
	"testing"
)

// noDifference fails the test where drawing and release differ.
func noDifference(t testing.TB, got *Template) {
	t.Helper()
	found, ok, err := got.Differences(nil)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	for _, d := range found {
		t.Errorf("difference: %+v", d)
	}
}
