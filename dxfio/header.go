package dxfio

import "strings"

// readHeader takes version, code page and unit from the HEADER section.
func (r *reader) readHeader() {
	variable := ""
	for r.err == nil && !r.ended && r.code != 0 {
		switch {
		case r.code == 9:
			variable = r.keyword()
		case r.code == 1 && variable == "$ACADVER":
			r.setVersion(r.keyword())
		case r.code == 3 && variable == "$DWGCODEPAGE":
			r.setCodePage(string(trimBlanks(r.val)))
		case r.code == 70 && variable == "$INSUNITS":
			u := Unit(0)
			if n := r.int(); n > 0 && n < unitCodesBehind {
				u = Unit(n)
			}
			r.setUnit(u)
		}
		r.next()
	}
}

// setVersion tells the encoding by the drawing's version.
func (r *reader) setVersion(version string) {
	r.d.Version = version
	r.text.guess = false
	// Versions are words like AC1009 and AC1032: they sort as text.
	if strings.HasPrefix(version, "AC") && version >= unicodeVersion {
		r.text.utf8 = true
	}
}

// setCodePage takes the encoding of an older drawing. A page that nobody knows
// is reported; its texts are read as ANSI_1252.
func (r *reader) setCodePage(name string) {
	r.text.guess = false
	page, ok := codePage(name)
	if !ok {
		shown := clean(strings.ToValidUTF8(name[:min(len(name), quotedBytes)], "?"))
		r.unread[Unread{Type: "$DWGCODEPAGE", Why: "code page " + shown + " is not known: texts are read as ANSI_1252"}]++
		return
	}
	r.text.page, r.text.decoder = page, nil
}
