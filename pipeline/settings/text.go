package settings

import (
	"bytes"
	"errors"
	"regexp"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"golang.org/x/text/encoding/unicode"
)

// plainText takes off the byte order mark that some editors put before a text,
// and turns UTF-16 with such a mark, which some command lines write when output
// is sent to a file, into UTF-8. Other text comes back as it is.
func plainText(data []byte) []byte {
	if text, ok := bytes.CutPrefix(data, []byte("\xef\xbb\xbf")); ok {
		return text
	}
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		text, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		if err == nil {
			return text
		}
	}
	return data
}

var (
	decimalComma = regexp.MustCompile(`=\s*[+-]?\d+,\d`)
	bareQuantity = regexp.MustCompile(`=\s*[+-]?[\d./ -]*\d\s*([^\d\s.,:/#_+\]}-]+)`)
)

// notTOML says where a text stops being TOML, and what people mostly mean by
// what stands there.
func notTOML(text []byte, err error) Fault {
	f := Fault{Found: strings.TrimPrefix(err.Error(), "toml: ")}
	var de *toml.DecodeError
	if !errors.As(err, &de) {
		return f
	}
	f.Line, _ = de.Position()
	line := ""
	if lines := strings.Split(string(text), "\n"); f.Line >= 1 && f.Line <= len(lines) {
		line = lines[f.Line-1]
	}
	switch {
	case strings.Contains(f.Found, "invalid UTF-8") || strings.Contains(f.Found, "invalid utf8"):
		f.Found = "a letter that is not UTF-8; save the file as UTF-8"
	case strings.Contains(f.Found, "already defined"):
		f.Found += "; take one of the two out"
	case decimalComma.MatchString(line):
		f.Found += "; write decimals with a point"
	case bareQuantity.MatchString(line):
		f.Found += `; put a value with its unit in quotes, as in "3/8 in"`
	default:
		f.Found += "; a line is KEY = VALUE, a text stands in quotes, a note begins with #"
	}
	return f
}
