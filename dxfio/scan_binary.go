package dxfio

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
)

// binarySentinel starts every binary DXF (DXF Reference, Binary DXF Files).
const binarySentinel = "AutoCAD Binary DXF\r\n\x1a\x00"

type valueKind uint8

const (
	textValue  valueKind = iota // zero-terminated
	realValue                   // float64
	wholeValue                  // 1, 2, 4 or 8 bytes
	chunkValue                  // a length byte and that many bytes
)

// binaryLayout returns how the value of a group is stored: its kind and, for
// fixed sizes, its bytes (DXF Reference, Group Code Value Types).
func binaryLayout(code int) (valueKind, int) {
	switch {
	case code < 10:
		return textValue, 0
	case code < 60, code >= 110 && code < 150, code >= 210 && code < 240, code >= 460 && code < 470, code >= 1010 && code < 1060:
		return realValue, 8
	case code < 80, code >= 170 && code < 180, code >= 270 && code < 290, code >= 370 && code < 390,
		code >= 400 && code < 410, code >= 1060 && code < 1071:
		return wholeValue, 2
	case code >= 90 && code < 100, code >= 420 && code < 430, code >= 440 && code < 460, code == 1071:
		return wholeValue, 4
	case code >= 160 && code < 170:
		return wholeValue, 8
	case code >= 290 && code < 300:
		return wholeValue, 1
	case code >= 310 && code < 320, code == 1004:
		return chunkValue, 0
	}
	return textValue, 0
}

// startBinary tells the width of the group codes by the first pair, which is
// group 0 with the text SECTION: one byte before R13, two bytes since.
func (s *scanner) startBinary() {
	s.pos = len(binarySentinel)
	s.codeSize = 1
	head, ok := s.peek(3)
	if ok && head[0] == 0 && head[1] == 0 {
		s.codeSize = 2
	}
}

// peek returns the next n bytes without consuming them.
func (s *scanner) peek(n int) ([]byte, bool) {
	for s.end-s.pos < n {
		if s.drained || s.err != nil {
			return nil, false
		}
		if s.pos > 0 {
			copy(s.buf, s.buf[s.pos:s.end])
			s.base += int64(s.pos)
			s.end -= s.pos
			s.pos = 0
		}
		if s.end == len(s.buf) {
			s.buf = append(s.buf, make([]byte, len(s.buf))...)
		}
		if !s.fill() {
			return nil, false
		}
	}
	return s.buf[s.pos : s.pos+n], true
}

// nextBinary moves to the following binary pair.
func (s *scanner) nextBinary() bool {
	s.at = s.base + int64(s.pos)
	b, ok := s.peek(s.codeSize)
	if !ok {
		if s.err == nil && s.pos == s.end {
			s.ended = true
		} else {
			s.cutShort()
		}
		return false
	}
	used := s.codeSize
	s.code = int(b[0])
	if s.codeSize == 2 {
		s.code = int(int16(binary.LittleEndian.Uint16(b)))
	} else if b[0] == 255 { // escapes a two-byte code
		if b, ok = s.peek(3); !ok {
			s.cutShort()
			return false
		}
		s.code = int(binary.LittleEndian.Uint16(b[1:]))
		used = 3
	}
	s.pos += used
	return s.binaryValue()
}

func (s *scanner) binaryValue() bool {
	kind, size := binaryLayout(s.code)
	s.kind = kind
	if kind == textValue {
		return s.binaryText()
	}
	if kind == chunkValue {
		b, ok := s.peek(1)
		if !ok {
			s.cutShort()
			return false
		}
		size = 1 + int(b[0])
	}
	b, ok := s.peek(size)
	if !ok {
		s.cutShort()
		return false
	}
	s.pos += size
	s.val = b
	switch {
	case kind == realValue:
		s.real = math.Float64frombits(binary.LittleEndian.Uint64(b))
	case kind == chunkValue:
		s.val = b[1:]
	case size == 1:
		s.whole = int64(b[0])
	case size == 2:
		s.whole = int64(int16(binary.LittleEndian.Uint16(b)))
	case size == 4:
		s.whole = int64(int32(binary.LittleEndian.Uint32(b)))
	case size == 8:
		s.whole = int64(binary.LittleEndian.Uint64(b))
	}
	return true
}

// binaryText scans a zero-terminated text.
func (s *scanner) binaryText() bool {
	for have := 0; ; {
		b := s.buf[s.pos:s.end]
		if i := bytes.IndexByte(b[have:], 0); i >= 0 {
			if have+i > s.limits.LineBytes {
				s.textTooLong()
				return false
			}
			s.val = b[:have+i]
			s.pos += have + i + 1
			return true
		}
		have = len(b)
		if have > s.limits.LineBytes {
			s.textTooLong()
			return false
		}
		if _, ok := s.peek(have + 1); !ok {
			s.cutShort()
			return false
		}
	}
}

func (s *scanner) textTooLong() {
	s.fail(fmt.Sprintf("text value of more than %d bytes", s.limits.LineBytes), raise(keyLineBytes, s.limits.LineBytes))
}

// cutShort reports that the file ends inside a pair.
func (s *scanner) cutShort() {
	s.fail("the file ends inside a group", "the file is cut short: copy or export it again")
}
