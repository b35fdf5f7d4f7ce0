package watch

import "fmt"

// diskLow is the room under which a disk is said to be nearly full: that of some
// hundred reports.
const diskLow = 32 << 20

// diskTrouble says what is wrong with the room on the disk of a folder; "" when
// nothing is, or when the system does not tell.
func diskTrouble(folder string) string {
	free, known := freeBytes(folder)
	switch {
	case !known || free >= diskLow:
		return ""
	case free < probeBytes:
		return "full: no report can be written, work waits; make room, and it goes on by itself"
	}
	return fmt.Sprintf("only %d MB free; make room", free>>20)
}
