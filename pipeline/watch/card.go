package watch

import (
	"bytes"
	"encoding/json"
	"fmt"
	"path"
	"time"

	"trueup/report"
)

// card is the job.json of a claim and of a published revision: what the folder
// itself does not say. Fields may be added, never renamed or dropped.
type card struct {
	Schema   int    `json:"schema"`
	ID       string `json:"id"`   // of the claim, so that recovery knows what it did already
	Job      string `json:"job"`  // the name of its folder
	File     string `json:"file"` // path below drop/, as it was dropped
	Revision int    `json:"revision,omitempty"`
	SHA256   string `json:"sha256,omitempty"`
	Bytes    int64  `json:"bytes"`

	Modified  time.Time `json:"modified"` // the original's own time
	Claimed   time.Time `json:"claimed"`
	Unended   bool      `json:"unended,omitempty"`  // taken because its end did not come in time
	Restless  bool      `json:"restless,omitempty"` // taken because it did not stand still in time
	Published time.Time `json:"published,omitzero"`
	Server    string    `json:"server"`

	Made    string `json:"made,omitempty"`    // Settings.Made of the settings it was worked on with
	Crashes int    `json:"crashes,omitempty"` // times that a server ended while it worked on this; see suspect

	Verdict report.Verdict `json:"verdict,omitempty"`
	Error   string         `json:"error,omitempty"`
	Counts  Counts         `json:"counts"`
	Notes   []string       `json:"notes,omitempty"`
	Again   []again        `json:"dropped_again,omitempty"`
	// Workbook tells the workbook as published from one the office has saved.
	Workbook *stamp   `json:"workbook,omitempty"`
	Decided  *decided `json:"decided,omitempty"`
	Claim    string   `json:"claim,omitempty"` // the decision's that moved it here, so that recovery knows that it did
}

// again is a note that the same content was dropped once more.
type again struct {
	ID   string    `json:"id"` // of the claim
	File string    `json:"file"`
	At   time.Time `json:"at"`
}

// stamp is a file's size and time.
type stamp struct {
	Bytes    int64     `json:"bytes"`
	Modified time.Time `json:"modified"`
}

// decided is the office's word on a revision.
type decided struct {
	Verdict string    `json:"verdict"` // ready or returned
	By      string    `json:"by"`
	Why     string    `json:"why,omitempty"` // the reasons it gave, by flag
	At      time.Time `json:"at"`
}

const cardSchema = 1

func readCard(f *folder, dir string) (card, error) {
	name := path.Join(dir, cardFile)
	data, err := f.readFile(name)
	if err != nil {
		return card{}, err
	}
	var c card
	if err := json.Unmarshal(data, &c); err != nil {
		return card{}, fmt.Errorf("%s: %w", name, err)
	}
	return c, nil
}

func (c card) bytes() []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	// A struct of strings, numbers and times always encodes.
	e.Encode(c)
	return b.Bytes()
}
