package watch

import (
	"fmt"
	"strings"
)

// Twin is a revision whose drawing stands under another job's name too: both may be
// cut. A templater who renames a drawing between two deliveries makes one.
type Twin struct {
	Job      string `json:"job"`
	Revision int    `json:"revision"`
	As       string `json:"same_as"` // the job and revision that came first
}

// sameDrawings names, by folder, the revision of another job that came first with
// the same content.
func sameDrawings(list []filed) map[string]string {
	first := map[string]filed{}
	for _, r := range list {
		sum := r.card.SHA256
		if sum == "" || r.foreign() {
			continue
		}
		if was, ok := first[sum]; !ok || r.card.Claimed.Before(was.card.Claimed) {
			first[sum] = r
		}
	}
	twins := map[string]string{}
	for _, r := range list {
		if was, ok := first[r.card.SHA256]; ok && !r.foreign() && was.key != r.key {
			twins[r.dir()] = fmt.Sprintf("%s, revision %d", was.job, was.number)
		}
	}
	return twins
}

// remarks are what the register says of a revision beside what became of it.
func remarks(r filed, twins map[string]string) string {
	var list []string
	if as, ok := twins[r.dir()]; ok {
		list = append(list, "same drawing as "+as)
	}
	if n := len(r.card.Again); n > 0 {
		times := ""
		if n > 1 {
			times = fmt.Sprintf("%d times, last ", n)
		}
		list = append(list, "dropped again "+times+r.card.Again[n-1].At.Local().Format(clockText))
	}
	return strings.Join(list, "; ")
}
