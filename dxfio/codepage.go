package dxfio

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
)

// unicodeVersion is the first $ACADVER whose texts are UTF-8; older drawings
// use $DWGCODEPAGE.
const unicodeVersion = "AC1021"

// codePage returns the encoding of a $DWGCODEPAGE value, such as ANSI_1252 or
// dos850, and false when it is not known.
func codePage(name string) (encoding.Encoding, bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	for _, prefix := range []string{"ansi_", "ansi", "dos_", "dos", "cp", "windows-"} {
		if rest, ok := strings.CutPrefix(name, prefix); ok {
			name = rest
			break
		}
	}
	switch name {
	case "874":
		return charmap.Windows874, true
	case "932":
		return japanese.ShiftJIS, true
	case "936", "gb2312", "gbk":
		return simplifiedchinese.GBK, true
	case "949", "ksc5601":
		return korean.EUCKR, true
	case "950", "big5":
		return traditionalchinese.Big5, true
	case "utf-8", "utf8", "65001":
		return encoding.Nop, true
	}
	return singleBytePage(name)
}

// singleBytePage returns the Windows, DOS, ISO and Macintosh pages.
func singleBytePage(name string) (encoding.Encoding, bool) {
	switch name {
	case "1250":
		return charmap.Windows1250, true
	case "1251":
		return charmap.Windows1251, true
	case "1252", "", "ascii", "iso8859-1", "iso8859_1", "latin1":
		return charmap.Windows1252, true
	case "1253":
		return charmap.Windows1253, true
	case "1254":
		return charmap.Windows1254, true
	case "1255":
		return charmap.Windows1255, true
	case "1256":
		return charmap.Windows1256, true
	case "1257":
		return charmap.Windows1257, true
	case "1258":
		return charmap.Windows1258, true
	case "437":
		return charmap.CodePage437, true
	case "850":
		return charmap.CodePage850, true
	case "852":
		return charmap.CodePage852, true
	case "855":
		return charmap.CodePage855, true
	case "858":
		return charmap.CodePage858, true
	case "860":
		return charmap.CodePage860, true
	case "862":
		return charmap.CodePage862, true
	case "863":
		return charmap.CodePage863, true
	case "865":
		return charmap.CodePage865, true
	case "866":
		return charmap.CodePage866, true
	case "mac-roman", "macintosh":
		return charmap.Macintosh, true
	}
	return isoPage(name)
}

// isoPage returns the ISO pages that drawings from Unix name. Of the pages that
// drawings may name, those that nothing here decodes are dos857 (Turkish), dos861
// (Icelandic), dos864 (Arabic), dos869 (Greek) and the Korean Johab (1361).
func isoPage(name string) (encoding.Encoding, bool) {
	switch strings.TrimLeft(strings.TrimPrefix(name, "iso"), "_-") {
	case "8859_2", "8859-2":
		return charmap.ISO8859_2, true
	case "8859_3", "8859-3":
		return charmap.ISO8859_3, true
	case "8859_4", "8859-4":
		return charmap.ISO8859_4, true
	case "8859_5", "8859-5":
		return charmap.ISO8859_5, true
	case "8859_6", "8859-6":
		return charmap.ISO8859_6, true
	case "8859_7", "8859-7":
		return charmap.ISO8859_7, true
	case "8859_8", "8859-8":
		return charmap.ISO8859_8, true
	case "8859_9", "8859-9":
		return charmap.ISO8859_9, true
	}
	return nil, false
}

// textDecoder turns the bytes of a text value into Unicode.
type textDecoder struct {
	utf8    bool              // UTF-8 first: by version or byte-order mark
	guess   bool              // neither version nor code page is known: UTF-8 where valid
	page    encoding.Encoding // nil until the header names one: ANSI_1252
	decoder *encoding.Decoder
}

// text decodes one value. Bytes that are no UTF-8 in a UTF-8 drawing are read
// by its code page, since some exporters declare the one and write the other;
// bytes the page does not know become U+FFFD.
func (t *textDecoder) text(b []byte) string {
	if isASCII(b) {
		return string(b)
	}
	if (t.utf8 || t.guess || t.page == encoding.Nop) && utf8.Valid(b) {
		return string(b)
	}
	if t.decoder == nil {
		page := t.page
		if page == nil || page == encoding.Nop {
			page = charmap.Windows1252
		}
		t.decoder = page.NewDecoder()
	}
	out, err := t.decoder.Bytes(b)
	if err != nil {
		return string(bytes.ToValidUTF8(b, []byte("\uFFFD")))
	}
	return string(out)
}

func isASCII(b []byte) bool {
	for _, c := range b {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// multibytePage returns the encoding of the digit n in \M+nXXXX.
func multibytePage(n byte) encoding.Encoding {
	switch n {
	case '1':
		return japanese.ShiftJIS // 932
	case '2':
		return traditionalchinese.Big5 // 950
	case '3':
		return korean.EUCKR // 949
	case '5':
		return simplifiedchinese.GBK // 936
	}
	return nil // 4 is the Johab page 1361, which nothing decodes any more
}
