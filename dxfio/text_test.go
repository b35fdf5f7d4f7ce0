package dxfio

import (
	"strings"
	"testing"

	"trueup/dxfio/geom"
)

// Codes of single-line texts: \U+XXXX, \M+nXXXX, caret and %% codes (DXF
// Reference and the control codes of its text entities).
func TestDecodeText(t *testing.T) {
	for _, tc := range []struct{ in, want string }{
		{"plain", "plain"},
		{"%%c35", "∅35"}, {"90%%d", "90°"}, {"%%p0.5", "±0.5"}, {"%%C %%D %%P", "∅ ° ±"},
		{"100%%%", "100%"}, {"%%176", "°"}, {"%%65%%066", "AB"}, {"%%uSINK%%u", "SINK"}, {"%%oA%%kB", "AB"},
		{"50%", "50%"}, {"%%", "%%"}, {"%%x", "%%x"}, {"%%999", "\uFFFD"},
		{`\U+00D8 35`, "Ø 35"}, {`\u+00d8`, "Ø"}, {`\U+D83D\U+DE00`, "😀"}, {`\U+D83Dx`, "\uFFFDx"}, {`\U+12`, `\U+12`}, {`\U+00ZZ`, `\U+00ZZ`},
		{`\M+18FA4`, "城"[:0] + "小"}, // 8FA4 in code page 932; see below
		{`\M+5C8CB`, "人"},           // C8CB in code page 936
		{`\M+9C8CB`, `\M+9C8CB`}, {`\M+4D0A1`, "\uFFFD"},
		{"a^Jb", "a\nb"}, {"a^Ib", "a b"}, {"a^ b", "a^b"}, {"^", "^"}, {"^M^J", "\n"}, {"bell^G", "bell"},
		{"a\u202eb", "ab"}, {"a\x00b", "ab"},
		{`C:\temp`, `C:\temp`},
	} {
		if tc.in == `\M+18FA4` {
			tc.want = mustDecode(t, "932", "\x8f\xa4")
		}
		if got := decodeText(tc.in); got != tc.want {
			t.Errorf("%q: %q, want %q", tc.in, got, tc.want)
		}
	}
}

func mustDecode(t *testing.T, page, s string) string {
	t.Helper()
	e, ok := codePage("ANSI_" + page)
	if !ok {
		t.Fatalf("page %s", page)
	}
	out, err := e.NewDecoder().String(s)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Format codes of multiline text (DXF Reference, MTEXT).
func TestDecodeMText(t *testing.T) {
	for _, tc := range []struct{ in, want string }{
		{`ISLAND\Pundermount`, "ISLAND\nundermount"},
		{`{\fArial|b0|i0|c0|p34;Plain} text`, "Plain text"},
		{`\H2.5x;\C1;Red \LUnder\l \Oover\o \Kstruck\k`, "Red Under over struck"},
		{`\pi-3,l3,t3;1.^Ifirst`, "1. first"},
		{`34\S1/2;"`, `34 1/2"`}, {`{34{\H0.7x;\S1#2;}}`, "34 1/2"},
		{`\S1/2; \S1#2; \S+0.1^-0.2;`, "1/2 1/2 +0.1 -0.2"},
		{`\A1;\T1.2;\Q15;\W0.8;wide`, "wide"},
		{`a\~b`, "a b"}, {`a\\b \{c\}`, `a\b {c}`}, {`%%c35 \U+00B0`, "∅35 °"},
		{`\fnever closed`, `\fnever closed`}, {`\S1/2`, `\S1/2`}, {`end\`, `end\`}, {`\z`, `\z`}, {`col\Numn`, "col\numn"},
	} {
		if got := decodeMText(tc.in); got != tc.want {
			t.Errorf("%q: %q, want %q", tc.in, got, tc.want)
		}
	}
}

// The same word in each encoding, bytes by the published code page tables.
func TestCodePages(t *testing.T) {
	for _, tc := range []struct{ header, raw, want string }{
		{"9\n$ACADVER\n1\nAC1015\n9\n$DWGCODEPAGE\n3\nANSI_1252\n", "K\xfcche", "Küche"},
		{"9\n$ACADVER\n1\nAC1015\n", "K\xfcche", "Küche"},                                    // ANSI_1252 when absent
		{"9\n$ACADVER\n1\nAC1015\n", "K\xc3\xbcche", "KÃ¼che"},                               // by its version no UTF-8
		{"9\n$ACADVER\n1\nAC1021\n9\n$DWGCODEPAGE\n3\nANSI_1252\n", "K\xc3\xbcche", "Küche"}, // UTF-8 from AC1021 on
		{"9\n$ACADVER\n1\nAC1032\n9\n$DWGCODEPAGE\n3\nANSI_1252\n", "K\xfcche", "Küche"},     // no UTF-8: by the code page
		{"", "K\xc3\xbcche", "Küche"},                                                        // nothing known: UTF-8 where valid
		{"", "K\xfcche", "Küche"},                                                            // and ANSI_1252 where not
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\ndos850\n", "K\x81che", "Küche"},        // 850: 81 is u umlaut
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\nANSI_1251\n", "\xd1\xf2\xee\xeb", "Стол"},
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\nANSI_932\n", "\x95\x5c", "表"}, // the second byte is a backslash
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\nANSI_936\n", "\xca\xaf", "石"},
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\nANSI_949\n", "\xb5\xb9", "돌"},
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\nANSI_950\n", "\xa5\xdb", "石"},
		// The ISO pages by the codecs of Python 3.11.
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\niso8859-2\n", "k\xe1men \xb3upek", "kámen łupek"},
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\niso8859_3\n", "\xf5ebla", "ġebla"},
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\niso8859-4\n", "akme\xf1\xb9", "akmeņš"},
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\niso8859_5\n", "\xc1\xe2\xde\xdb", "Стол"},
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\niso8859-6\n", "\xcd\xcc\xd1", "حجر"},
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\niso8859_7\n", "\xf0\xdd\xf4\xf1\xe1", "πέτρα"},
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\niso8859-8\n", "\xe0\xe1\xef", "אבן"},
		{"9\n$ACADVER\n1\nAC1009\n9\n$DWGCODEPAGE\n3\niso8859_9\n", "ta\xfe", "taş"},
	} {
		text := pairs("0 SECTION 2 HEADER") + tc.header + pairs("0 ENDSEC") +
			section("ENTITIES", "0 TEXT 8 TOP 10 1 20 2 40 3")[:len(section("ENTITIES", "0 TEXT 8 TOP 10 1 20 2 40 3"))-len(pairs("0 ENDSEC"))] +
			"1\n" + tc.raw + "\n" + pairs("0 ENDSEC 0 EOF")
		d := mustRead(t, text)
		if len(d.Texts) != 1 || d.Texts[0].Value != tc.want {
			t.Errorf("%q with %q: %+v, want %q", tc.raw, tc.header, d.Texts, tc.want)
		}
	}
	bom := "\xef\xbb\xbf" + section("HEADER", "9 $ACADVER 1 AC1009 9 $DWGCODEPAGE 3 ANSI_1252") + section("ENTITIES", "0 TEXT 8 TOP 10 1 20 2 40 3 1 K\xc3\xbcche") + pairs("0 EOF")
	if d := mustRead(t, bom); len(d.Texts) != 1 || d.Texts[0].Value != "Küche" {
		t.Errorf("byte-order mark: %+v", d.Texts)
	}
}

func TestUnknownCodePageIsReported(t *testing.T) {
	for _, page := range []string{"ANSI_4711", "johab", "ANSI_1361", "dos857", "dos864", "iso8859_10"} {
		d := mustRead(t, section("HEADER", "9 $ACADVER 1 AC1009 9 $DWGCODEPAGE 3 "+page)+section("ENTITIES", "")+pairs("0 EOF"))
		wantUnread(t, d, Unread{"$DWGCODEPAGE", "", "code page " + page + " is not known: texts are read as ANSI_1252", 1})
	}
}

func TestTexts(t *testing.T) {
	for _, tc := range []struct {
		name, content string
		want          Text
	}{
		{"first point", "0 TEXT 8 TOP 1 A 10 1 20 2 40 3", Text{Value: "A", At: geom.Point{X: 1, Y: 2}, Height: 3}},
		{"centred: the second point", "0 TEXT 8 TOP 1 A 10 0 20 0 11 5 21 6 72 1 40 3", Text{Value: "A", At: geom.Point{X: 5, Y: 6}, Height: 3}},
		{"raised: the second point", "0 TEXT 8 TOP 1 A 10 0 20 0 11 5 21 6 73 2 40 3", Text{Value: "A", At: geom.Point{X: 5, Y: 6}, Height: 3}},
		{"fitted between: the first point", "0 TEXT 8 TOP 1 A 10 1 20 2 11 5 21 6 72 5 40 3", Text{Value: "A", At: geom.Point{X: 1, Y: 2}, Height: 3}},
		{"mirrored system", "0 TEXT 8 TOP 1 A 10 1 20 2 40 3 230 -1", Text{Value: "A", At: geom.Point{X: -1, Y: 2}, Height: 3}},
		{"multiline, in parts", "0 MTEXT 8 TOP 10 1 20 2 40 3 3 {\\fArial;IS 3 LA 1 ND}\\Pnorth", Text{Value: "ISLAND\nnorth", At: geom.Point{X: 1, Y: 2}, Height: 3}},
		{"multiline with an embedded object", "0 MTEXT 8 TOP 10 1 20 2 40 3 1 A 101 Embedded~Object 70 1 10 99 20 99 1 B", Text{Value: "A", At: geom.Point{X: 1, Y: 2}, Height: 3}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := mustRead(t, entities(tc.content))
			if len(d.Texts) != 1 {
				t.Fatalf("%+v", d.Texts)
			}
			got := d.Texts[0]
			if got.Value != tc.want.Value || got.At != tc.want.At || got.Height != tc.want.Height {
				t.Errorf("%+v, want %+v", got, tc.want)
			}
		})
	}
}

func TestLayerNamesAreDecoded(t *testing.T) {
	d := mustRead(t, entities(`0 LINE 8 K\U+00FCche 10 0 20 0 11 1 21 0`))
	if d.Layers[0].Name != "Küche" {
		t.Errorf("layer %q", d.Layers[0].Name)
	}
	if strings.ContainsAny(d.Layers[0].Name, "\\") {
		t.Error("escape left")
	}
}
