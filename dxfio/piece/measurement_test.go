package piece

import "testing"

// What people write on drawings; which is which is common practice, no source.
func TestMeasurements(t *testing.T) {
	for _, text := range []string{
		"2400", "640", "2400.5", "25,5", "25.5", "25 1/2", "1/2", `94 1/2"`, `96"`, `7'-10 1/2"`, "30 mm", "30mm", "30MM TYP", "R15", "R 15", "R1.5", "R3/8",
		"Ø35", "D 35", "DIA 35", "L = 2400", "W:640", "2400 x 640", "2400x640x30", "2400 (94 1/2)", "±2", "45°", "90 deg", "12 in", "3 ft", "1-1/2", "2400 / 640", "4''",
	} {
		if !isMeasurement(text) {
			t.Errorf("%q passes for a name", text)
		}
	}
	for _, text := range []string{
		"1", "12", "A", "A1", "T1", "L2", "R2", "M1", "2-1", "Island", "Island 1", "Bar 30 mm", "TOP 2400", "1st floor", "Kitchen 101", "B36", "12 Harbour Lane", "Unit 4B", "Mitre", "typ", "X",
	} {
		if isMeasurement(text) {
			t.Errorf("%q passes for a dimension", text)
		}
	}
}

// Of the texts on a piece a dimension names it never, a note does not, and a plain
// label does, on the layer of the top as on layer 0.
func TestNamesAreLabels(t *testing.T) {
	for _, tc := range []struct{ name, texts, want string }{
		{"a dimension on layer 0", "0: text 500,300 2400", "A"},
		{"a dimension on the top's own layer", `COUNTER: text 500,300 94 1/2"`, "A"},
		{"a dimension above a label", "0: text 500,500 2400\n0: text 500,300 Island", "Island"},
		{"a label on layer 0", "0: text 500,300 Island", "Island"},
		{"a piece's number on layer 0", "0: text 500,300 2", "2"},
		{"a number above a word", "0: text 500,500 25\n0: text 500,300 Island", "Island"},
		{"a note", "NOTES: text 500,300 do not cut", "A"},
		{"a label on the layer of the notes", "NOTES: text 500,500 do not cut\nNOTES: text 500,300 Sink run 2", "Sink run 2"},
		{"a label among the notes, and one on the top's layer", "NOTES: text 500,500 Harbour Lane\nCOUNTER: text 500,300 Island", "Island"},
		{"an annotation", "ANNOTATION: text 500,300 Island", "Island"},
		{"a label layer", "LABELS: text 500,300 Island", "Island"},
		{"a dimension on a label layer", "LABELS: text 500,300 2400", "A"},
		{"a dimension layer", "DIMS: text 500,300 Island", "A"},
		{"a text layer", "TEXT: text 500,300 Island", "Island"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := build(t, "COUNTER: 0,0 1000,0 1000,600 0,600 close\n"+tc.texts)
			if len(got.Pieces) != 1 || got.Pieces[0].ID != tc.want {
				t.Errorf("%s", describe(got))
			}
		})
	}
}
