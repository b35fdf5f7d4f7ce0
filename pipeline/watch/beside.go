package watch

import (
	"errors"
	"io/fs"
	"path"
	"strings"
)

// besideMark ends the name of a note in drop/ that stands beside a file which a
// templater may take for delivered. The note goes when the file does.
const besideMark = " - not taken.txt"

// besideEnd ends each note; it tells them from somebody's own file of such a name.
const besideEnd = "This note goes when the file is removed.\r\n"

// besideBytes is more than any note has.
const besideBytes = 4 << 10

// isNote tells a note of the service from another file.
func isNote(f *folder, name string) bool {
	info, err := f.lstat(name)
	if err != nil || !info.Mode().IsRegular() || info.Size() > besideBytes {
		return false
	}
	data, err := f.readFile(name)
	return err == nil && strings.HasSuffix(string(data), besideEnd)
}

// wantsNote tells the files that get a note: drawings of another format and
// archives with drawings. Others, such as photos, would litter the folder.
func wantsNote(name string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".dwg", ".dxb", ".zip", ".7z", ".rar", ".gz":
		return true
	}
	return false
}

// noteBeside writes a note beside each file in drop/ that is no .dxf and that a
// templater may believe to be on its way, and takes away those whose file has
// gone. Where drop/ may not be written the status alone tells.
func (s *Service) noteBeside(f *folder, in *intake) {
	for name, why := range in.others {
		if !wantsNote(name) || in.notes[name+besideMark] {
			continue
		}
		text := path.Base(name) + " was not taken: " + why + ".\r\n" + besideEnd
		err := f.writeFile(path.Join(dropDir, name+besideMark), []byte(text))
		if err != nil && !errors.Is(err, fs.ErrExist) {
			s.log.Debug("no note beside a file in drop/", "file", name, "error", err)
		}
	}
	for note := range in.notes {
		if _, there := in.others[strings.TrimSuffix(note, besideMark)]; there || !isNote(f, path.Join(dropDir, note)) {
			continue
		}
		if err := f.remove(path.Join(dropDir, note)); err != nil {
			s.log.Debug("a note in drop/ stays", "file", note, "error", err)
		}
	}
}
