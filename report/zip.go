package report

import (
	"archive/zip"
	"io"
	"strings"

	"github.com/klauspost/compress/flate"
	"github.com/xuri/excelize/v2"
)

// partWriter writes the parts of a workbook: pictures as they are, for they are
// compressed already, the rest at the fastest level.
type partWriter struct{ *zip.Writer }

func (p partWriter) Create(name string) (io.Writer, error) {
	method := zip.Deflate
	if strings.HasSuffix(name, ".png") {
		method = zip.Store
	}
	return p.CreateHeader(&zip.FileHeader{Name: name, Method: method})
}

// zip starts a workbook's file. The parts of a zip are written one after the
// other, so one compressor serves them all.
func (k *kit) zip(w io.Writer) excelize.ZipWriter {
	z := zip.NewWriter(w)
	z.RegisterCompressor(zip.Deflate, func(out io.Writer) (io.WriteCloser, error) {
		if k.deflate != nil {
			k.deflate.Reset(out)
			return k.deflate, nil
		}
		var err error
		k.deflate, err = flate.NewWriter(out, flate.BestSpeed)
		return k.deflate, err
	})
	return partWriter{z}
}
