package main

import (
	"runtime/debug"
	"testing"
)

func TestRevision(t *testing.T) {
	for _, tc := range []struct {
		found []debug.BuildSetting
		want  string
	}{
		{nil, ""},
		{[]debug.BuildSetting{{Key: "vcs.revision", Value: "0f3a"}, {Key: "vcs.modified", Value: "false"}}, "0f3a"},
		{[]debug.BuildSetting{{Key: "vcs.modified", Value: "true"}, {Key: "vcs.revision", Value: "0f3a"}}, "0f3a with changes"},
		{[]debug.BuildSetting{{Key: "vcs.modified", Value: "true"}}, ""},
	} {
		if got := revision(tc.found); got != tc.want {
			t.Errorf("%v: %q, want %q", tc.found, got, tc.want)
		}
	}
}
