package dxfio

import (
	"errors"
	"fmt"
	"io"
	"math"
)

// scanner cuts a stream into pairs of group code and value, ASCII or binary.
// Pairs are scanned in place in one buffer: val is valid until the next call.
// The first fault stays in err, and next returns false from then on.
type scanner struct {
	src     io.Reader
	limits  Limits
	file    string
	buf     []byte
	pos     int   // next byte to scan
	end     int   // bytes in buf
	base    int64 // offset in the file of buf[0]
	drained bool  // src is at its end
	closed  bool  // a line end was set behind the last line
	doubled bool  // line ends were translated twice: CR CR LF
	ended   bool  // no pair is left

	codeSize int   // bytes of a group code; 0: ASCII
	line     int64 // ASCII: line of the value of the current pair
	at       int64 // binary: offset of the current pair

	code  int
	val   []byte  // ASCII: the value's line; binary: text and chunks
	real  float64 // binary: floating point values
	whole int64   // binary: whole values
	kind  valueKind

	err *Error
}

const (
	bufferBytes = 256 << 10 // large enough that refills do not show in a profile
	commentCode = 999
)

// next moves to the following pair, comments left out.
func (s *scanner) next() bool {
	for s.err == nil && !s.ended {
		if s.codeSize != 0 {
			if s.nextBinary() {
				return true
			}
			continue
		}
		switch s.scanPair() {
		case pairDone:
			if s.code != commentCode {
				return true
			}
		case pairShort:
			s.more()
		}
	}
	return false
}

type pairState uint8

const (
	pairDone  pairState = iota
	pairShort           // the buffer ends inside the pair
	pairBad             // err is set
)

// scanPair scans one ASCII pair. Lines end by LF, CR LF or CR, mixed as they
// come; in a file whose first line ends by CR CR LF, also by that.
func (s *scanner) scanPair() pairState {
	b := s.buf[s.pos:s.end]
	i := 0
	for i < len(b) && (b[i] == ' ' || b[i] == '\t') {
		i++
	}
	code, first := 0, i
	negative := i < len(b) && b[i] == '-'
	if negative {
		i++
		first++
	}
	for i < len(b) {
		c := b[i] - '0'
		if c > 9 {
			break
		}
		if code < 1<<20 { // a longer number is no group code, and must not wrap into one
			code = code*10 + int(c)
		}
		i++
	}
	last := i
	for i < len(b) && (b[i] == ' ' || b[i] == '\t') {
		i++
	}
	if i == len(b) {
		return s.short(i)
	}
	if last == first || b[i] != '\n' && b[i] != '\r' {
		return s.badCode(b)
	}
	n := s.lineEnd(b, i)
	if n == 0 {
		return s.short(i)
	}
	i += n
	start := i
	for i < len(b) && b[i] != '\n' && b[i] != '\r' {
		i++
	}
	if i-start > s.limits.LineBytes {
		return s.lineTooLong(s.line + 2)
	}
	if n = s.lineEnd(b, i); n == 0 {
		return s.short(i - start)
	}
	if negative {
		code = -code
	}
	s.code = code
	s.val = b[start:i]
	s.pos += i + n
	s.line += 2
	return pairDone
}

// lineEnd returns how many bytes of b, from i, end the line: 0 when more bytes
// are needed to tell.
func (s *scanner) lineEnd(b []byte, i int) int {
	if i >= len(b) {
		return 0
	}
	if b[i] == '\n' {
		return 1
	}
	switch rest := b[i+1:]; {
	case len(rest) > 0 && rest[0] == '\n':
		return 2
	case len(rest) > 0 && (rest[0] != '\r' || !s.doubled):
		return 1
	case len(rest) > 1 && rest[1] == '\n':
		return 3
	case len(rest) > 1 || s.closed:
		return 1
	}
	return 0
}

// short says that the buffer ends inside a line of n bytes so far.
func (s *scanner) short(n int) pairState {
	if n > s.limits.LineBytes {
		return s.lineTooLong(s.line + 1)
	}
	return pairShort
}

func (s *scanner) lineTooLong(line int64) pairState {
	s.err = &Error{
		File: s.file, Line: line, Byte: -1,
		Found: fmt.Sprintf("line of more than %d bytes", s.limits.LineBytes),
		Do:    raise(keyLineBytes, s.limits.LineBytes),
	}
	return pairBad
}

// badCode reports a line that should be a group code. Blank lines up to the end
// of the file are no fault.
func (s *scanner) badCode(b []byte) pairState {
	found := quoteStart(firstLine(b)) // before a refill overwrites it
	if s.blankToEnd() {
		s.ended = true
		return pairBad
	}
	if s.err == nil {
		s.err = &Error{
			File: s.file, Line: s.line + 1, Byte: -1,
			Found: "group code expected, found " + found,
			Do:    "export the drawing again as DXF",
		}
	}
	return pairBad
}

// blankToEnd reports whether only blanks are left, and consumes them.
func (s *scanner) blankToEnd() bool {
	for {
		for _, c := range s.buf[s.pos:s.end] {
			if c != ' ' && c != '\t' && c != '\r' && c != '\n' && c != 0x1a {
				return false // 0x1a is the end mark of old DOS programs
			}
		}
		if s.drained {
			return true
		}
		s.base += int64(s.end)
		s.pos, s.end = 0, 0
		if !s.fill() {
			return false
		}
	}
}

// more brings further bytes into the buffer, or closes the last line.
func (s *scanner) more() {
	if !s.drained {
		if s.pos > 0 {
			copy(s.buf, s.buf[s.pos:s.end])
			s.base += int64(s.pos)
			s.end -= s.pos
			s.pos = 0
		}
		if s.end == len(s.buf) {
			s.buf = append(s.buf, make([]byte, len(s.buf))...)
		}
		s.fill()
		return
	}
	if s.blankToEnd() {
		s.ended = true
		return
	}
	if !s.closed {
		s.closed = true
		if last := s.buf[s.end-1]; last != '\n' && last != '\r' {
			s.buf = append(s.buf[:s.end], '\n')
			s.end++
		}
		return
	}
	s.err = &Error{
		File: s.file, Line: s.line + 1, Byte: -1,
		Found: "the file ends between a group code and its value",
		Do:    "the file is cut short: copy or export it again",
	}
}

// fill reads into the free end of the buffer. It reports false when reading
// failed; at the end of the source it sets drained.
func (s *scanner) fill() bool {
	for range 100 {
		n, err := s.src.Read(s.buf[s.end:])
		s.end += n
		if s.base+int64(s.end) > s.limits.FileBytes {
			s.err = &Error{
				File: s.file, Byte: -1,
				Found: fmt.Sprintf("file of more than %d bytes", s.limits.FileBytes),
				Do:    raise(keyFileBytes, s.limits.FileBytes),
			}
			return false
		}
		switch {
		case errors.Is(err, io.EOF):
			s.drained = true
			return true
		case err != nil:
			s.err = s.readFault(err)
			return false
		case n > 0:
			return true
		}
	}
	s.err = s.readFault(io.ErrNoProgress)
	return false
}

func (s *scanner) readFault(err error) *Error {
	return &Error{
		File: s.file, Line: s.line, Byte: -1, Found: "reading stopped: " + err.Error(),
		Do: "copy the file again", Err: err,
	}
}

// fail records a fault at the current pair, unless there is one already.
func (s *scanner) fail(found, do string) {
	if s.err != nil {
		return
	}
	s.err = &Error{File: s.file, Found: found, Do: do, Byte: -1}
	if s.codeSize == 0 {
		s.err.Line = s.line
	} else {
		s.err.Byte = s.at
	}
}

// float returns the value as a finite number within the limits, and 0 with a
// recorded fault when it is none.
func (s *scanner) float() float64 {
	var f float64
	if s.codeSize == 0 {
		var ok bool
		if f, ok = parseFloat(s.val); !ok {
			s.notANumber()
			return 0
		}
	} else {
		switch s.kind {
		case realValue:
			f = s.real
		case wholeValue:
			f = float64(s.whole)
		case textValue:
			s.notANumber()
			return 0
		}
	}
	if !(math.Abs(f) <= s.limits.Coordinate) {
		s.outOfRange(f)
		return 0
	}
	return f
}

func (s *scanner) notANumber() {
	do := "export the drawing again"
	for i, c := range s.val {
		if c == ',' && i > 0 {
			do = "export the drawing with a decimal point, not a comma"
		}
	}
	s.fail(fmt.Sprintf("group %d holds %s, which is not a number", s.code, quoteStart(s.val)), do)
}

func (s *scanner) outOfRange(f float64) {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		s.fail(fmt.Sprintf("group %d holds %v, which is not a finite number", s.code, f), "mend the entity in CAD and export the drawing again")
		return
	}
	s.fail(fmt.Sprintf("group %d holds %g, beyond the largest coordinate", s.code, f),
		fmt.Sprintf("move the drawing near its origin, or raise %s (now %g) in the settings", keyCoordinate, s.limits.Coordinate))
}

// int returns the value as a whole number, and 0 with a recorded fault when it
// is none.
func (s *scanner) int() int64 {
	if s.codeSize != 0 {
		switch {
		case s.kind == wholeValue:
			return s.whole
		case s.kind == realValue && s.real == math.Trunc(s.real) && math.Abs(s.real) <= 1<<53:
			return int64(s.real)
		}
	} else if v, ok := parseInt(s.val); ok {
		return v
	}
	s.fail(fmt.Sprintf("group %d holds %s, which is not a whole number", s.code, quoteStart(s.val)), "export the drawing again")
	return 0
}

// mark returns where the current pair is, for Source.Line.
func (s *scanner) mark() int32 {
	n := s.line - 1 // the line of the group code
	if s.codeSize != 0 {
		n = s.at
	}
	return int32(min(max(n, 0), math.MaxInt32))
}
