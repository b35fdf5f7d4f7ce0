package dxfio

import (
	"bytes"
	"strings"
)

// foreign are the starts of files that people mistake for DXF, and what to do.
var foreign = []struct{ start, found, do string }{
	{"AC10", "a DWG drawing", "export it as DXF"},
	{"AC1.", "a DWG drawing", "export it as DXF"},
	{"AC2.", "a DWG drawing", "export it as DXF"},
	{"MC0.0", "a DWG drawing", "export it as DXF"},
	{"AutoCAD DXB", "a DXB file", "export it as DXF"},
	{"\xff\xfe", "UTF-16 text", "save the DXF as ASCII, UTF-8 or binary DXF"},
	{"\xfe\xff", "UTF-16 text", "save the DXF as ASCII, UTF-8 or binary DXF"},
	{"PK\x03\x04", "a ZIP archive", "unpack it and use the DXF inside"},
	{"\x1f\x8b", "a gzip archive", "unpack it and use the DXF inside"},
	{"7z\xbc\xaf", "a 7z archive", "unpack it and use the DXF inside"},
	{"%PDF", "a PDF document", "export the drawing as DXF"},
	{"\xff\xd8\xff", "a JPEG picture", "export the drawing as DXF"},
	{"\x89PNG", "a PNG picture", "export the drawing as DXF"},
	{"ISO-10303", "a STEP file", "export the drawing as DXF"},
	{"<", "XML, SVG or HTML text", "export the drawing as DXF"},
	{"{", "JSON text", "export the drawing as DXF"},
}

// byteOrderMark is U+FEFF in UTF-8.
const byteOrderMark = "\xef\xbb\xbf"

// sniffBytes is how much of the file the first look needs.
const sniffBytes = 64

// start takes the first look at the file: it refuses what is no DXF by name and
// tells ASCII from binary. It reports whether a UTF-8 byte-order mark was there.
func (s *scanner) start() (utf8 bool) {
	s.peek(sniffBytes) // a shorter file is looked at as far as it goes
	if s.err != nil {
		return false
	}
	b := s.buf[:s.end]
	if len(b) == 0 {
		s.refuse("the file is empty", "copy or export it again")
		return false
	}
	if bytes.HasPrefix(b, []byte(binarySentinel)) {
		s.startBinary()
		return false
	}
	if bytes.HasPrefix(b, []byte(binarySentinel[:len("AutoCAD Binary DXF")])) {
		s.refuse("a binary DXF with a damaged start", "transfer the file in binary mode, or export it again")
		return false
	}
	if bytes.HasPrefix(b, []byte(byteOrderMark)) {
		s.pos = len(byteOrderMark)
		utf8 = true
		b = b[s.pos:]
	}
	for _, f := range foreign {
		if strings.HasPrefix(string(b[:min(len(b), len(f.start))]), f.start) {
			s.refuse(f.found+", not a DXF", f.do)
			return utf8
		}
	}
	if i := bytes.IndexByte(b[:min(len(b), sniffBytes)], 0); i >= 0 {
		if utf16Like(b[:min(len(b), sniffBytes)]) {
			s.refuse("UTF-16 text, not a DXF", "save the DXF as ASCII, UTF-8 or binary DXF")
		} else {
			s.refuse("not a DXF: zero bytes at its start", "export the drawing as DXF")
		}
	}
	s.skipBlankLines()
	if i := bytes.IndexByte(s.buf[s.pos:s.end], '\r'); i >= 0 {
		s.doubled = bytes.HasPrefix(s.buf[s.pos+i:s.end], []byte("\r\r\n"))
	}
	return utf8
}

// refuse records that the file as a whole is no drawing.
func (s *scanner) refuse(found, do string) {
	s.err = &Error{File: s.file, Byte: -1, Found: found, Do: do}
}

// utf16Like reports whether every other byte is zero.
func utf16Like(b []byte) bool {
	zeros := [2]int{}
	for i, c := range b {
		if c == 0 {
			zeros[i%2]++
		}
	}
	return len(b) >= 4 && max(zeros[0], zeros[1]) > len(b)/4 && min(zeros[0], zeros[1]) == 0
}

// skipBlankLines passes blank lines before the first group code.
func (s *scanner) skipBlankLines() {
	for i := s.pos; i < s.end; i++ {
		switch c := s.buf[i]; c {
		case ' ', '\t', '\r':
		case '\n':
			s.pos = i + 1
			s.line++
		default:
			return
		}
	}
}
