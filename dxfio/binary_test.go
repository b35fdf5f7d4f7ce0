package dxfio

import (
	"bytes"
	"encoding/binary"
	"math"
	"strconv"
	"strings"
	"testing"
)

// toBinary writes the pairs of an ASCII drawing as binary DXF with group codes
// of one or two bytes (DXF Reference, Binary DXF Files).
func toBinary(t testing.TB, text string, codeSize int) []byte {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	out := bytes.NewBufferString(binarySentinel)
	for i := 0; i+1 < len(lines); i += 2 {
		code, err := strconv.Atoi(strings.TrimSpace(lines[i]))
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case codeSize == 2:
			binary.Write(out, binary.LittleEndian, uint16(code))
		case code < 255:
			out.WriteByte(byte(code))
		default:
			out.WriteByte(255)
			binary.Write(out, binary.LittleEndian, uint16(code))
		}
		value := lines[i+1]
		switch kind, size := binaryLayout(code); kind {
		case textValue:
			out.WriteString(value + "\x00")
		case realValue:
			f, _ := strconv.ParseFloat(value, 64)
			binary.Write(out, binary.LittleEndian, math.Float64bits(f))
		case wholeValue:
			n, _ := strconv.ParseInt(value, 10, 64)
			b := binary.LittleEndian.AppendUint64(nil, uint64(n))
			out.Write(b[:size])
		case chunkValue:
			out.WriteByte(byte(len(value)))
			out.WriteString(value)
		}
	}
	return out.Bytes()
}

// everything is a drawing with all kinds of value.
var everything = section("HEADER", "9 $ACADVER 1 AC1015 9 $INSUNITS 70 4 9 $HANDSEED 5 FFFF") +
	section("TABLES", "0 TABLE 2 LAYER 70 1 0 LAYER 5 10 2 TOP 70 0 62 -7 0 LAYER 2 CUT 70 0 62 7 290 1 370 -3 390 F 0 ENDTAB") +
	section("BLOCKS", sink) +
	section("ENTITIES", "0 LINE 5 2AF 8 CUT 370 25 420 255 10 0.1 20 0.2 11 3.5 21 -4 1001 APP 1004 ABC 1040 3.5 1071 70000"+
		" 0 LWPOLYLINE 8 CUT 90 3 70 1 43 0 10 0 20 0 42 0.5 10 9 20 0 10 9 20 9"+
		" 0 INSERT 8 CUT 2 SINK 10 100 20 0 50 30 0 SPLINE 8 CUT 70 8 71 2 72 6 73 3 40 0 40 0 40 0 40 1 40 1 40 1 10 0 20 0 10 50 20 90 10 100 20 0"+
		" 0 IMAGE 8 CUT 310 xyz 160 5 0 TEXT 8 CUT 1 Sink~A 10 1 20 1 40 5 0 CIRCLE 8 TOP 10 0 20 0 40 1") +
	pairs("0 EOF")

func TestBinary(t *testing.T) {
	want := mustRead(t, everything)
	for _, size := range []int{1, 2} {
		got := mustRead(t, string(toBinary(t, everything, size))+"trash behind the end")
		if len(got.Curves) != len(want.Curves) || len(got.Curves) == 0 || got.Units != UnitMillimetre {
			t.Fatalf("codes of %d bytes: %d curves, want %d", size, len(got.Curves), len(want.Curves))
		}
		for i, c := range got.Curves {
			if w := want.Curves[i]; c.Curve != w.Curve || c.Layer != w.Layer || c.Handle != w.Handle || c.Type != w.Type {
				t.Errorf("curve %d: %+v, want %+v", i, c, w)
			}
		}
		if len(got.Texts) != 1 || got.Texts[0].Value != "Sink A" {
			t.Errorf("texts %+v", got.Texts)
		}
		wantUnread(t, got, want.Unread...)
	}
}

// Old binary drawings leave out the header: the width of the group codes shows
// in the first pair all the same.
func TestBinaryWithoutHeader(t *testing.T) {
	text := section("ENTITIES", "0 LINE 8 TOP 10 1 20 2 11 3 21 4") + pairs("0 EOF")
	for _, size := range []int{1, 2} {
		wantCurves(t, mustRead(t, string(toBinary(t, text, size))), curve(1, 2, 3, 4, 0))
	}
}

func TestBinaryCutAnywhere(t *testing.T) {
	for _, size := range []int{1, 2} {
		whole := toBinary(t, everything, size)
		complete := bytes.LastIndex(whole, []byte("ENDSEC\x00")) + len("ENDSEC\x00")
		for cut := range len(whole) {
			_, err := Read(bytes.NewReader(whole[:cut]), Options{})
			if (cut == complete) != (err == nil) {
				t.Fatalf("codes of %d bytes, cut at %d of %d (complete at %d): %v", size, cut, len(whole), complete, err)
			}
		}
	}
}

func TestBinaryFaults(t *testing.T) {
	start := pairs("0 SECTION 2 ENTITIES 0 LINE")
	for _, tc := range []struct {
		name string
		data []byte
		want string
	}{
		{"not a number", append(toBinary(t, start, 2), 10, 0, 1, 0, 0, 0, 0, 0, 0xf8, 0x7f), "byte 50: group 10 holds NaN, which is not a finite number"},
		{"text without an end", append(append(toBinary(t, start, 2), 1, 0), bytes.Repeat([]byte("x"), 3<<20)...), "reading.line_bytes"},
		{"cut in a number", append(toBinary(t, start, 2), 10, 0, 1, 0), "byte 50: the file ends inside a group"},
		{"sentinel alone", []byte(binarySentinel), "nothing"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if e := readError(t, string(tc.data), Options{}); !strings.Contains(e.Error(), tc.want) {
				t.Errorf("%v, want %q", e, tc.want)
			}
		})
	}
}
