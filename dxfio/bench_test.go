package dxfio

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"testing"
)

// benchDrawing returns an ASCII drawing of n lines, arcs and bulged polylines,
// laid out as CAD programs write them.
func benchDrawing(n int) []byte {
	rng := rand.New(rand.NewPCG(3, 3))
	var b bytes.Buffer
	b.WriteString("  0\nSECTION\n  2\nHEADER\n  9\n$ACADVER\n  1\nAC1015\n  9\n$INSUNITS\n 70\n     4\n  0\nENDSEC\n  0\nSECTION\n  2\nENTITIES\n")
	layers := []string{"COUNTER", "SINK", "CABINET", "SEAM"}
	number := func(code int, f float64) { fmt.Fprintf(&b, "%3d\n%s\n", code, strconv.FormatFloat(f, 'f', -1, 64)) }
	at := func() float64 {
		f := rng.Float64() * 4000
		if rng.IntN(2) == 0 {
			f, _ = strconv.ParseFloat(strconv.FormatFloat(f, 'f', 4, 64), 64) // drawn on a grid
		}
		return f
	}
	for i := range n {
		kind := []string{"LINE", "ARC", "LINE", "LWPOLYLINE"}[i%4]
		fmt.Fprintf(&b, "  0\n%s\n  5\n%X\n100\nAcDbEntity\n  8\n%s\n100\nAcDb\n", kind, i+256, layers[i/64%4])
		switch kind {
		case "LINE":
			for _, code := range []int{10, 20, 11, 21} {
				number(code, at())
			}
			number(30, 0)
			number(31, 0)
		case "ARC":
			for _, code := range []int{10, 20} {
				number(code, at())
			}
			number(30, 0)
			number(40, 1+at())
			number(50, rng.Float64()*360)
			number(51, rng.Float64()*360)
		case "LWPOLYLINE":
			b.WriteString(" 90\n        3\n 70\n     1\n 43\n0.0\n")
			for range 3 {
				number(10, at())
				number(20, at())
				number(42, rng.Float64())
			}
		}
	}
	b.WriteString("  0\nENDSEC\n  0\nEOF\n")
	return b.Bytes()
}

func BenchmarkRead(b *testing.B) {
	data := benchDrawing(20_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		d, err := Read(bytes.NewReader(data), Options{})
		if err != nil || len(d.Curves) == 0 {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadBinary(b *testing.B) {
	data := toBinary(b, string(benchDrawing(20_000)), 2)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(bytes.NewReader(data), Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReadSplines reads ellipses and splines, which become arcs.
func BenchmarkReadSplines(b *testing.B) {
	var content string
	for i := range 100 {
		content += fmt.Sprintf("0 ELLIPSE 8 TOP 10 %d 20 0 11 300 21 40 40 0.6 ", i)
		content += fmt.Sprintf("0 SPLINE 8 TOP 71 3 40 0 40 0 40 0 40 0 40 1 40 2 40 2 40 2 40 2 10 %d 20 0 10 100 20 300 10 300 20 -100 10 400 20 200 10 500 20 0 ", i)
	}
	text := entities(content)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(bytes.NewReader([]byte(text)), Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkBareLoop is the yardstick of BenchmarkRead: it only splits the file
// into pairs and parses the floating point values with strconv.
func BenchmarkBareLoop(b *testing.B) {
	data := benchDrawing(20_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := bareLoop(bytes.NewReader(data)); err != nil {
			b.Fatal(err)
		}
	}
}

func bareLoop(r io.Reader) (sum float64, err error) {
	br := bufio.NewReaderSize(r, bufferBytes)
	for {
		line, err := br.ReadSlice('\n')
		if err == io.EOF {
			return sum, nil
		}
		if err != nil {
			return sum, err
		}
		code, err := strconv.Atoi(string(bytes.TrimSpace(line)))
		if err != nil {
			return sum, err
		}
		if line, err = br.ReadSlice('\n'); err != nil {
			return sum, err
		}
		if code >= 10 && code < 60 {
			f, err := strconv.ParseFloat(string(bytes.TrimSpace(line)), 64)
			if err != nil {
				return sum, err
			}
			sum += f
		}
	}
}

// Reading costs no allocation per entity: a drawing ten times as long costs as
// many but for the growth of the curves.
func TestReadAllocates(t *testing.T) {
	allocations := func(n int) float64 {
		data := benchDrawing(n)
		return testing.AllocsPerRun(5, func() {
			if _, err := Read(bytes.NewReader(data), Options{}); err != nil {
				t.Fatal(err)
			}
		})
	}
	small, large := allocations(2000), allocations(20_000)
	if large-small > 12 {
		t.Errorf("%v allocations for 2,000 entities, %v for 20,000", small, large)
	}
}

// Where the size of the file is known, the room for the curves is estimated
// from it: little is left over, and little was copied on the way.
func TestReserveBySize(t *testing.T) {
	data := benchDrawing(60_000)
	known, err := Read(bytes.NewReader(data), Options{})
	if err != nil {
		t.Fatal(err)
	}
	unknown, err := Read(struct{ io.Reader }{bytes.NewReader(data)}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(known.Curves) != len(unknown.Curves) {
		t.Errorf("%d curves with the size, %d without", len(known.Curves), len(unknown.Curves))
	}
	if room := float64(cap(known.Curves)) / float64(len(known.Curves)); room > 1.15 {
		t.Errorf("room for %.2f times the curves", room)
	}
}
